package feature_test

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"haulm/lang/diag"
	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lsp/feature"
)

var update = flag.Bool("update", false, "write what the marker cases give into their files")

// A case is an archive of plan files and what must come back. A comment in a plan marks a place by a ^
// under the line above it, or by @N for its column N, and says what is asked there:
//
//	row(bench, at = 4 * ft)
//	#   ^ hover
//
// "-- farm.star now --" is the text in the editor when that differs from what was evaluated; markers stand
// in it then. "crlf" in the archive's comment gives every line of the plans the line end CRLF. The section
// "want" holds what must come back, marker by marker; -update writes it.
func TestMarkers(t *testing.T) {
	cases, err := filepath.Glob("testdata/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, cases)
	for _, path := range cases {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txt"), func(t *testing.T) {
			archive, err := txtar.ParseFile(path)
			require.NoError(t, err)
			got := newBench(archive).run(t)
			i := slices.IndexFunc(archive.Files, func(f txtar.File) bool { return f.Name == "want" })
			if *update {
				want := txtar.File{Name: "want", Data: []byte(got)}
				if i < 0 {
					archive.Files = append(archive.Files, want)
				} else {
					archive.Files[i] = want
				}
				require.NoError(t, os.WriteFile(path, txtar.Format(archive), 0o644))
				return
			}
			require.GreaterOrEqual(t, i, 0, "no want section: run with -update and read what it wrote")
			require.Equal(t, string(archive.Files[i].Data), got)
		})
	}
}

// bench holds a case ready to be asked.
type bench struct {
	plan  *feature.Plan
	texts []*source.File // in the editor, in the order of the archive
}

func newBench(archive *txtar.Archive) *bench {
	files := fstest.MapFS{}
	b := &bench{}
	crlf := slices.Contains(strings.Fields(string(archive.Comment)), "crlf")
	for _, f := range archive.Files {
		text := string(f.Data)
		if crlf {
			text = strings.ReplaceAll(text, "\n", "\r\n")
		}
		name, now := strings.CutSuffix(f.Name, " now")
		if strings.HasSuffix(name, ".csv") {
			files[name] = &fstest.MapFile{Data: []byte(text)}
		}
		if !strings.HasSuffix(name, ".star") {
			continue
		}
		if !now {
			files[name] = &fstest.MapFile{Data: []byte(text)}
		}
		b.texts = slices.DeleteFunc(b.texts, func(f *source.File) bool { return f.Path == name })
		b.texts = append(b.texts, source.New(name, text))
	}
	b.plan = feature.NewPlan(plan.Check(context.Background(), files, "farm.star"), files)
	b.plan.LookBack()
	return b
}

var marker = regexp.MustCompile(`^[ \t]*#[ \t]*(?:\^|@(\d+)) ?(.*)$`)

func (b *bench) run(t *testing.T) string {
	var out strings.Builder
	for _, f := range b.texts {
		d := feature.NewDoc(f, b.plan)
		above := 0
		for n := 1; n <= f.Lines(); n++ {
			line := f.Line(n)
			m := marker.FindStringSubmatch(line)
			if m == nil {
				above = n
				continue
			}
			col := utf8.RuneCountInString(line[:max(strings.IndexByte(line, '^'), 0)]) + 1
			if m[1] != "" {
				col, _ = strconv.Atoi(m[1])
			}
			at := source.Point{Line: int32(above), Col: int32(col)}
			method, arg, _ := strings.Cut(m[2], " ")
			fmt.Fprintf(&out, "%s:%d:%d %s\n", f.Path, above, col, m[2])
			answer := strings.TrimRight(ask(t, d, b, at, method, arg), "\n")
			for _, l := range strings.Split(answer, "\n") {
				out.WriteString(strings.TrimRight("    "+strings.TrimSuffix(l, "\r"), " ") + "\n")
			}
		}
	}
	return out.String()
}

func ask(t *testing.T, d *feature.Doc, b *bench, at source.Point, method, arg string) string {
	switch method {
	case "hover":
		return showHover(d.Hover(at))
	case "complete":
		n, err := strconv.Atoi(arg)
		if err != nil {
			n = 12
		}
		return showCompletions(d.Complete(at), n)
	case "document":
		for _, c := range d.Complete(at).Items {
			if c.Label == arg {
				return d.Document(c.Key)
			}
		}
		return "no such completion"
	case "signature":
		return showSignature(d.Signature(at))
	case "definition":
		return showSpans(d.Definition(at))
	case "declaration":
		return showSpans(d.Declaration(at))
	case "type":
		return showSpans(d.TypeDefinition(at))
	case "references":
		return showReferences(d.References(at))
	case "highlight":
		return showReferences(d.Highlights(at))
	case "rename":
		return showRename(d, at, arg)
	case "outline":
		return showSymbols(d.Outline(), "")
	case "symbols":
		return showSymbols(b.plan.Symbols(arg), "")
	}
	if answer, ok := askAbout(t, d, b, at, method, arg); ok {
		return answer
	}
	require.Fail(t, "no such method", method)
	return ""
}

func showHover(h *feature.Hover) string {
	if h == nil {
		return "nothing"
	}
	return fmt.Sprintf("%q\n%s", h.Span.Text(), h.Text)
}

func showCompletions(list feature.Completions, n int) string {
	if len(list.Items) == 0 {
		return "nothing"
	}
	var out strings.Builder
	for _, c := range list.Items[:min(n, len(list.Items))] {
		out.WriteString(c.Label)
		if c.Detail != "" {
			out.WriteString(" (" + c.Detail + ")")
		}
		if c.Note != "" {
			out.WriteString(" | " + c.Note)
		}
		switch {
		case c.Snippet != "":
			fmt.Fprintf(&out, " | snippet %q", c.Snippet)
		case c.Insert != c.Label:
			fmt.Fprintf(&out, " | insert %q", c.Insert)
		}
		if text := c.Replace.Text(); text != "" {
			fmt.Fprintf(&out, " | over %q", text)
		}
		for _, e := range c.Extra {
			fmt.Fprintf(&out, " | at %s %q", e.Span, e.Text)
		}
		out.WriteString("\n")
	}
	if len(list.Items) > n {
		out.WriteString("and more")
	}
	return out.String()
}

func showSignature(s *feature.Signature) string {
	if s == nil {
		return "nothing"
	}
	text := s.Label + "\n"
	if s.Active >= 0 {
		p := s.Params[s.Active]
		text += "at " + s.Label[p.Start:p.End] + "\n" + p.Doc + "\n"
	}
	return text + s.Doc
}

func showSpans(spans []source.Span) string {
	if len(spans) == 0 {
		return "nothing"
	}
	var lines []string
	for _, s := range spans {
		lines = append(lines, fmt.Sprintf("%s %q", s, s.Text()))
	}
	return strings.Join(lines, "\n")
}

func showReferences(list []feature.Reference) string {
	if len(list) == 0 {
		return "nothing"
	}
	var lines []string
	for _, r := range list {
		line := fmt.Sprintf("%s %q", r.Span, r.Span.Text())
		if r.Writes {
			line += " writes"
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "\n")
}

func showRename(d *feature.Doc, at source.Point, to string) string {
	span, text, err := d.Renaming(at)
	if err != nil {
		return "not possible: " + err.Error()
	}
	head := fmt.Sprintf("%s %q\n", span, text)
	edits, err := d.Rename(at, to)
	if err != nil {
		return head + "not possible: " + err.Error()
	}
	return head + showEdits(edits)
}

// showEdits shows the lines that edits change, as they are then.
func showEdits(edits []diag.Edit) string {
	lines := map[string][]diag.Edit{}
	var order []string
	for _, e := range edits {
		key := fmt.Sprintf("%s:%d", e.Span.File.Path, e.Span.Start.Line)
		if lines[key] == nil {
			order = append(order, key)
		}
		lines[key] = append(lines[key], e)
	}
	var out strings.Builder
	for _, key := range order {
		f := lines[key][0].Span.File
		n := int(lines[key][0].Span.Start.Line)
		line := []rune(f.Line(n))
		for _, e := range slices.Backward(lines[key]) {
			line = slices.Concat(line[:e.Span.Start.Col-1], []rune(e.Text), line[e.Span.End.Col-1:])
		}
		fmt.Fprintf(&out, "%s %s\n", key, string(line))
	}
	return out.String()
}

func showSymbols(list []feature.Symbol, indent string) string {
	if len(list) == 0 {
		return "nothing"
	}
	var out strings.Builder
	for _, s := range list {
		fmt.Fprintf(&out, "%s%s | %s", indent, s.Name, s.Detail)
		if s.In != "" {
			out.WriteString(" | in " + s.In)
		}
		fmt.Fprintf(&out, " | %s to %d, %q\n", s.Span, s.Span.End.Line, s.Head.Text())
		if len(s.Inside) > 0 {
			out.WriteString(showSymbols(s.Inside, indent+"  "))
		}
	}
	return out.String()
}
