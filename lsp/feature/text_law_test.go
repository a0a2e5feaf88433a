package feature_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/diag"
	"haulm/lang/format"
	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lsp/feature"
)

func example(t require.TestingT, name string) *feature.Plan {
	files := os.DirFS(filepath.Join("../../examples", name))
	snap := plan.Check(context.Background(), files, "farm.star")
	require.NoError(t, snap.Trouble)
	return feature.NewPlan(snap, files)
}

func everyKind(feature.HintKind) bool { return true }

// What is given for whole files, over plans that are as they should be.
func TestWholeFiles(t *testing.T) {
	hints := 0
	for _, name := range []string{"first", "metric", "season"} {
		p := example(t, name)
		for _, f := range p.Files {
			d := feature.NewDoc(f, p)
			all := f.Span(0, len(f.Text))
			edits, err := d.Format()
			require.NoError(t, err)
			require.Empty(t, edits, f.Path)
			require.Empty(t, d.FormatIn(all), f.Path)
			require.Equal(t, d.SemanticTokens(), d.SemanticTokensIn(all), f.Path)
			hints += len(d.Hints(all, everyKind))
			checkTexts(t, d)
			var byLine []feature.Hint
			for n := range f.Lines() {
				at := source.Point{Line: int32(n + 1), Col: 1}
				for _, h := range d.Hints(source.Span{File: f, Start: at, End: at}, everyKind) {
					if !slices.Contains(byLine, h) {
						byLine = append(byLine, h)
					}
				}
			}
			require.ElementsMatch(t, d.Hints(all, everyKind), byLine, f.Path)
		}
	}
	require.Greater(t, hints, 100)
}

// checkTexts holds what is given for a whole file to what editors rely on.
func checkTexts(t require.TestingT, d *feature.Doc) {
	f := d.File
	lines := int32(f.Lines())
	inside := func(s source.Span) {
		require.True(t, s.File == f && s.Start.Line >= 1 && s.End.Line <= lines && !s.End.Before(s.Start), "%v", s)
	}
	last := source.Point{Line: 1, Col: 1}
	for _, h := range d.Hints(f.Span(0, len(f.Text)), everyKind) {
		require.LessOrEqual(t, utf8.RuneCountInString(h.Label), 40)
		require.NotEmpty(t, h.Tip)
		require.False(t, h.At.Before(last))
		last = h.At
		require.LessOrEqual(t, h.At.Line, lines)
		require.Equal(t, h.Stale, strings.HasPrefix(h.Label, "was "))
	}
	last = source.Point{Line: 1, Col: 1}
	for _, k := range d.SemanticTokens() {
		inside(k.Span)
		require.Equal(t, k.Span.Start.Line, k.Span.End.Line)
		require.NotEmpty(t, k.Span.Text())
		require.False(t, k.Span.Start.Before(last), "%v after %v", k.Span, last)
		last = k.Span.End
	}
	fold := feature.Fold{}
	for _, n := range d.Folds() {
		require.True(t, fold.From < n.From && n.From < n.To && n.To <= lines, "%v", n)
		fold = n
	}
	for _, l := range d.Links() {
		inside(l.Span)
	}
	for _, l := range d.Lenses() {
		inside(l.Span)
	}
}

// checkPlace holds what is given at a place to what editors rely on.
func checkPlace(t require.TestingT, d *feature.Doc, at source.Point) {
	f := d.File
	whole := f.Span(0, len(f.Text))
	spans := d.Selection(at)
	require.Equal(t, whole, spans[len(spans)-1])
	for i, s := range spans[1:] {
		inner := spans[i]
		require.False(t, inner.Start.Before(s.Start) || s.End.Before(inner.End) || s == inner, "%v in %v", inner, s)
	}
	in := source.Span{File: f, Start: at, End: at}
	for _, a := range d.Actions(in) {
		require.NotEmpty(t, a.Edits)
		require.Regexp(t, "^[A-Z]", a.Title)
		_, err := diag.Apply(diag.Fix{Edits: a.Edits})
		require.NoError(t, err, a.Title)
		for _, e := range a.Edits {
			require.Contains(t, []*source.File{f, d.Plan.File(e.Span.File.Path)}, e.Span.File, a.Title)
		}
	}
	for _, typed := range feature.Typed() {
		for _, e := range d.FormatTyped(at, typed) {
			require.Equal(t, at.Line, e.Span.Start.Line)
			require.Empty(t, strings.Trim(e.Span.Text(), " \t"))
		}
	}
	_, err := diag.Apply(diag.Fix{Edits: d.FormatIn(in)})
	require.NoError(t, err)
	for _, i := range d.Flow(at) {
		for _, next := range append(d.Feeds(i.Order), d.FedBy(i.Order)...) {
			require.NotEqual(t, i.Order, next.Order)
		}
	}
	linked := d.Linked(at)
	for _, s := range linked {
		require.Equal(t, linked[0].Text(), s.Text())
	}
}

// In text that is edited at random, nothing fails and everything keeps to the text.
func TestEditedTexts(t *testing.T) {
	plans := []*feature.Plan{example(t, "first"), example(t, "season")}
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(plans).Draw(t, "plan")
		f := rapid.SampledFrom(p.Files).Draw(t, "file")
		text := f.Text
		for range rapid.IntRange(1, 3).Draw(t, "edits") {
			cut := rapid.IntRange(0, len(text)).Draw(t, "cut")
			gone := rapid.IntRange(0, min(len(text)-cut, 60)).Draw(t, "gone")
			fresh := rapid.SampledFrom([]string{
				"", "(", ")", "\"", "\"\"\"", "\n", "\r\n", "#", ",", "x = ", "é🌽", "plant(", "\tsow(a, b, fill = True)\n", "\\\n", ";",
				"for a in [1]:", "18 * inch", "degf(3", "]", "def f(",
			}).Draw(t, "new")
			text = text[:cut] + fresh + text[cut+gone:]
		}
		text = strings.ToValidUTF8(text, "?")
		d := feature.NewDoc(source.New(f.Path, text), p)
		checkTexts(t, d)
		at := d.File.Point(rapid.IntRange(0, len(text)).Draw(t, "at"))
		checkPlace(t, d, at)
		edits, err := d.Format()
		if err == nil {
			_, err = diag.Apply(diag.Fix{Edits: edits})
			require.NoError(t, err)
		}
		if a, ok := d.FixAll(); ok {
			_, err := diag.Apply(diag.Fix{Edits: a.Edits})
			require.NoError(t, err)
		}
	})
}

// Everywhere in a plan that is as it should be, what is offered keeps its promise.
func TestOfferedEverywhere(t *testing.T) {
	p := example(t, "first")
	f := p.Files[0]
	b := &bench{plan: p, texts: []*source.File{f}}
	d := feature.NewDoc(f, p)
	titles := map[string]bool{}
	for offset := 0; offset < len(f.Text); offset += 3 {
		at := f.Point(offset)
		checkPlace(t, d, at)
		for _, a := range d.Actions(source.Span{File: f, Start: at, End: at}) {
			if key := fmt.Sprint(a.Title, a.Edits[0].Span); !titles[key] {
				titles[key] = true
				b.hold(t, a)
			}
		}
	}
	require.Greater(t, len(titles), 30)
}

// A new line in brackets begins where the layout has it.
func TestIndentsAsLaidOut(t *testing.T) {
	lines := 0
	for _, f := range example(t, "season").Files {
		d := feature.NewDoc(f, nil)
		for n := 2; n <= f.Lines(); n++ {
			above := f.Line(n - 1)
			if !strings.HasSuffix(above, "(") && !strings.HasSuffix(above, "[") && !strings.HasSuffix(above, "{") &&
				!(strings.HasSuffix(above, ",") && strings.HasPrefix(above, "    ")) {
				continue
			}
			lines++
			require.Empty(t, d.FormatTyped(source.Point{Line: int32(n), Col: 1}, "\n"), "%s:%d", f.Path, n)
		}
	}
	require.Greater(t, lines, 100)
}

// The edits of a layout make the text that the layout has.
func TestLayoutByEdits(t *testing.T) {
	files := append(example(t, "first").Files, example(t, "season").Files...)
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SampledFrom(files).Draw(t, "file")
		lines := strings.SplitAfter(f.Text, "\n")
		for i := range lines {
			switch rapid.IntRange(0, 12).Draw(t, "how") {
			case 0:
				lines[i] = strings.ReplaceAll(lines[i], " = ", "=")
			case 1:
				lines[i] = strings.ReplaceAll(lines[i], ", ", ",   ")
			case 2:
				lines[i] = strings.TrimRight(lines[i], "\n") + "  \n"
			}
		}
		messy := source.New(f.Path, strings.Join(lines, ""))
		want, err := format.Format(messy)
		require.NoError(t, err)
		edits, err := feature.NewDoc(messy, nil).Format()
		require.NoError(t, err)
		if len(edits) == 0 {
			require.Equal(t, want, messy.Text)
			return
		}
		texts, err := diag.Apply(diag.Fix{Edits: edits})
		require.NoError(t, err)
		require.Equal(t, want, texts[messy])
	})
}

// A quantity written in the other system and back is what it was.
func TestUnitsThereAndBack(t *testing.T) {
	rewrite := func(t *rapid.T, text string, unit string) string {
		f := source.New("farm.star", text)
		at := f.Point(strings.Index(text, "*"))
		for _, a := range feature.NewDoc(f, nil).Actions(source.Span{File: f, Start: at, End: at}) {
			if strings.HasSuffix(a.Title, " * "+unit) {
				texts, err := diag.Apply(diag.Fix{Edits: a.Edits})
				require.NoError(t, err)
				return texts[f]
			}
		}
		return ""
	}
	pairs := [][2]string{{"inch", "cm"}, {"ft", "m"}, {"psi", "kpa"}, {"lb", "kg"}, {"gpm", "lph"}, {"acre", "ha"}, {"sqft", "sqm"}}
	reached := map[string]bool{}
	rapid.Check(t, func(t *rapid.T) {
		pair := rapid.SampledFrom(pairs).Draw(t, "units")
		n := float64(rapid.IntRange(1, 99_999).Draw(t, "n")) / 100
		text := fmt.Sprintf("x = %g * %s\n", n, pair[0])
		there := rewrite(t, text, pair[1])
		if there == "" {
			return // another unit is usual for so much
		}
		if back := rewrite(t, there, pair[0]); back != "" {
			reached[pair[0]] = true
			require.Equal(t, text, back, "by way of %s", there)
		}
	})
	require.GreaterOrEqual(t, len(reached), 5)
}

// The change between two lists of tokens makes the one of the other.
func TestChangedTokens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.Uint32Range(0, 3), 0, 12)
		before, after := list.Draw(t, "before"), list.Draw(t, "after")
		c, ok := feature.ChangedTokens(before, after)
		require.Equal(t, !slices.Equal(before, after), ok)
		if ok {
			require.Equal(t, after, append([]uint32{}, slices.Concat(before[:c.From], c.New, before[c.From+c.Gone:])...))
		}
	})
}

// A run of calls made a loop declares the same farm.
func TestLoopsDeclareTheSame(t *testing.T) {
	made := 0
	rapid.Check(t, func(t *rapid.T) {
		pick := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
		var b strings.Builder
		b.WriteString("load(\"crops\", \"beet\", \"chard\", \"leek\")\n\nfarm(\"Alder Reach\", year = 2027)\n")
		b.WriteString("bench = plot(\"Lower bench\", length = 50 * ft, width = 200 * ft)\n" + pick("taken", "", "at = 3\n", "crop = beet\n"))
		start := b.Len()
		for i := range rapid.IntRange(2, 5).Draw(t, "calls") {
			fmt.Fprintf(&b, "sow(row(bench, at = %d * ft, lines = %s), %s, %s, on = %s)\n", 4+4*i, pick("lines", "1", "2"),
				pick("crop", "beet", "chard", "leek"), pick("much", "fill = True", "count = 5", "length = 10 * ft"),
				pick("on", `"2027-04-10"`, `date("2027-04-20")`))
		}
		text := b.String()
		files := fstest.MapFS{"farm.star": {Data: []byte(text)}}
		p := feature.NewPlan(plan.Check(context.Background(), files, "farm.star"), files)
		f := p.File("farm.star")
		at := f.Point(start)
		for _, a := range feature.NewDoc(f, p).Actions(source.Span{File: f, Start: at, End: at}) {
			if a.Kind != feature.ActionExtract {
				continue
			}
			made++
			texts, err := diag.Apply(diag.Fix{Edits: a.Edits})
			require.NoError(t, err)
			files := fstest.MapFS{"farm.star": {Data: []byte(texts[f])}}
			after := plan.Check(context.Background(), files, "farm.star")
			require.Equal(t, places(p.Snapshot), places(after), texts[f])
			laid, err := format.Format(after.Files[0])
			require.NoError(t, err)
			require.Equal(t, laid, texts[f])
		}
	})
	require.Greater(t, made, 10)
}
