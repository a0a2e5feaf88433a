package feature_test

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"haulm/lang/diag"
	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lsp/feature"
)

// askAbout asks what is about stretches of text: of the marked line, or with "-N" of the N lines before it
// too, up to the marked place; with "all" of the whole file.
func askAbout(t *testing.T, d *feature.Doc, b *bench, at source.Point, method, arg string) (string, bool) {
	word, rest, _ := strings.Cut(arg, " ")
	in := source.Span{File: d.File, Start: at, End: at}
	if n, err := strconv.Atoi(word); err == nil && strings.HasPrefix(word, "-") {
		in.Start = source.Point{Line: at.Line + int32(n), Col: 1}
		arg = rest
	} else if word == "all" {
		in, arg = d.File.Span(0, len(d.File.Text)), rest
	}
	switch method {
	case "hints":
		return showHints(d.Hints(in, func(k feature.HintKind) bool { return arg == "" || slices.Contains(strings.Fields(arg), string(k)) })), true
	case "lenses":
		return showLenses(d.Lenses()), true
	case "tokens":
		return showTokens(d.SemanticTokensIn(in)), true
	case "folds":
		return showFolds(d.Folds()), true
	case "select":
		return showSelection(d.Selection(at)), true
	case "links":
		var lines []string
		for _, l := range d.Links() {
			lines = append(lines, fmt.Sprintf("%s %q to %s", l.Span, l.Span.Text(), l.Path))
		}
		return orNothing(lines), true
	case "linked":
		return showSpans(d.Linked(at)), true
	case "flow":
		return showFlow(d, at, arg), true
	case "format":
		edits, err := d.Format()
		if err != nil {
			return "not possible: " + err.Error(), true
		}
		return changed(t, d.File, edits), true
	case "layout":
		return changed(t, d.File, d.FormatIn(in)), true
	case "typed":
		return changed(t, d.File, d.FormatTyped(at, strings.ReplaceAll(arg, "newline", "\n"))), true
	case "actions":
		return showActions(t, b, d.Actions(in)), true
	case "apply":
		return showApplied(t, d, b, in, arg), true
	case "fixall":
		a, ok := d.FixAll()
		if !ok {
			return "nothing", true
		}
		return a.Title + "\n" + changed(t, d.File, a.Edits), true
	}
	return "", false
}

func orNothing(lines []string) string {
	if len(lines) == 0 {
		return "nothing"
	}
	return strings.Join(lines, "\n")
}

func showHints(hints []feature.Hint) string {
	var lines []string
	for _, h := range hints {
		stale := ""
		if h.Stale {
			stale = " (stale)"
		}
		lines = append(lines, fmt.Sprintf("%d:%d %s [%s]%s", h.At.Line, h.At.Col, h.Kind, h.Label, stale))
		for _, l := range strings.Split(h.Tip, "\n") {
			lines = append(lines, "  "+l)
		}
	}
	return orNothing(lines)
}

func showLenses(lenses []feature.Lens) string {
	var lines []string
	for _, l := range lenses {
		lines = append(lines, fmt.Sprintf("%s %s (stale: %t)", l.Span, l.Title, l.Stale))
	}
	return orNothing(lines)
}

func showTokens(tokens []feature.SemanticToken) string {
	var lines []string
	for _, k := range tokens {
		line := fmt.Sprintf("%d:%d %q %s", k.Span.Start.Line, k.Span.Start.Col, k.Span.Text(), feature.TokenTypes()[k.Type])
		for i, name := range feature.TokenModifiers() {
			if k.Mods&(1<<i) != 0 {
				line += " " + name
			}
		}
		lines = append(lines, line)
	}
	return orNothing(lines)
}

func showFolds(folds []feature.Fold) string {
	var lines []string
	for _, f := range folds {
		lines = append(lines, fmt.Sprintf("%d to %d %s", f.From, f.To, []string{"code", "comment", "loads"}[f.Kind]))
	}
	return orNothing(lines)
}

func showSelection(spans []source.Span) string {
	var lines []string
	for i, s := range spans {
		if i > 0 {
			before := spans[i-1]
			if before.Start.Before(s.Start) || s.End.Before(before.End) {
				lines = append(lines, "NOT WITHIN THE NEXT:")
			}
		}
		text := s.Text()
		if n := len([]rune(text)); n > 60 {
			text = string([]rune(text)[:25]) + " ... " + string([]rune(text)[n-25:])
		}
		lines = append(lines, fmt.Sprintf("%q", text))
	}
	return orNothing(lines)
}

func showFlow(d *feature.Doc, at source.Point, way string) string {
	var lines []string
	show := func(indent string, items []feature.FlowItem) {
		for _, i := range items {
			lines = append(lines, fmt.Sprintf("%s%s %s | %s | %s %q", indent, strings.ReplaceAll(i.Kind, "_", " "), i.Name, i.Detail, i.Span, i.NameSpan.Text()))
		}
	}
	for _, i := range d.Flow(at) {
		show("", []feature.FlowItem{i})
		show("  feeds ", d.Feeds(i.Order))
		show("  fed by ", d.FedBy(i.Order))
	}
	return orNothing(lines)
}

// changed shows a text after edits, only the lines that changed with one on each side.
func changed(t *testing.T, f *source.File, edits []diag.Edit) string {
	if len(edits) == 0 {
		return "nothing"
	}
	after := applied(t, f, edits)
	before, now := strings.Split(f.Text, "\n"), strings.Split(after, "\n")
	head := 0
	for head < min(len(before), len(now)) && before[head] == now[head] {
		head++
	}
	tail := 0
	for tail < min(len(before), len(now))-head && before[len(before)-1-tail] == now[len(now)-1-tail] {
		tail++
	}
	var lines []string
	for _, l := range before[head : len(before)-tail] {
		lines = append(lines, "- "+l)
	}
	for _, l := range now[head : len(now)-tail] {
		lines = append(lines, "+ "+l)
	}
	return strings.ReplaceAll(strings.Join(lines, "\n"), "\r", "\\r")
}

func applied(t *testing.T, f *source.File, edits []diag.Edit) string {
	texts, err := diag.Apply(diag.Fix{Title: "test", Edits: edits})
	require.NoError(t, err)
	if text, ok := texts[f]; ok {
		return text
	}
	return f.Text
}

func showActions(t *testing.T, b *bench, actions []feature.Action) string {
	var lines []string
	for _, a := range actions {
		line := string(a.Kind) + " | " + a.Title
		if a.Finding != nil {
			line += " | " + a.Finding.Code()
		}
		if a.Preferred {
			line += " | preferred"
		}
		lines = append(lines, line)
		b.hold(t, a)
	}
	return orNothing(lines)
}

// showApplied shows what the first action does whose title begins so.
func showApplied(t *testing.T, d *feature.Doc, b *bench, in source.Span, title string) string {
	for _, a := range d.Actions(in) {
		if strings.HasPrefix(a.Title, title) {
			b.hold(t, a)
			return a.Title + "\n" + changed(t, d.File, a.Edits)
		}
	}
	return "no such action"
}

// hold applies an action to the plan and checks what its kind promises: a loop and other units leave the
// farm as it is, an accept lets its finding pass, a safe fix mends it. A plan that is edited since is left
// alone.
func (b *bench) hold(t *testing.T, a feature.Action) {
	for _, f := range b.texts {
		if old := b.plan.File(f.Path); old == nil || old.Text != f.Text {
			return
		}
	}
	files := fstest.MapFS{}
	for _, f := range b.texts {
		files[f.Path] = &fstest.MapFile{Data: []byte(f.Text)}
	}
	texts, err := diag.Apply(diag.Fix{Title: a.Title, Edits: a.Edits})
	require.NoError(t, err)
	for f, text := range texts {
		files[f.Path] = &fstest.MapFile{Data: []byte(text)}
	}
	after := plan.Check(context.Background(), files, "farm.star")
	switch {
	case a.Kind == feature.ActionExtract || strings.HasPrefix(a.Title, "Write "):
		require.Equal(t, places(b.plan.Snapshot), places(after), a.Title)
	case strings.HasPrefix(a.Title, "Accept "):
		require.Len(t, after.Accepted, len(b.plan.Accepted)+1, "%s at %s: %v", a.Title, a.Finding.Primary.Span, a.Edits)
		require.Len(t, after.Findings, len(b.plan.Findings)-1, a.Title)
	case a.Kind == feature.ActionRewrite:
		require.LessOrEqual(t, errors(after), errors(b.plan.Snapshot), a.Title)
	case a.Preferred:
		require.Less(t, counted(after, a.Finding.Code()), counted(b.plan.Snapshot, a.Finding.Code()), a.Title)
	}
}

func counted(s *plan.Snapshot, code string) int {
	n := 0
	for i := range s.Findings {
		if s.Findings[i].Code() == code {
			n++
		}
	}
	return n
}

func errors(s *plan.Snapshot) int {
	n := 0
	for i := range s.Findings {
		if s.Findings[i].Rule.Severity == diag.Error {
			n++
		}
	}
	return n
}

// places tells a plan's plantings apart by where and when they stand.
func places(s *plan.Snapshot) []string {
	var list []string
	for _, p := range s.Facts.Plantings {
		list = append(list, fmt.Sprintf("%s %s at %.4f %s: %d, %.4f to %.4f, %v to %v", p.Row.Plot.Decl.Name.Value, p.Row.Name(),
			p.Row.Center, p.Decl.Crop.Title(), p.Plants, p.First, p.Last, p.Plant, p.Clear))
	}
	return list
}
