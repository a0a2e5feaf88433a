package feature_test

import (
	"context"
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/diag"
	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lsp/feature"
)

// season reads the example of a full season as files that can be edited.
func season(t require.TestingT) fstest.MapFS {
	files := fstest.MapFS{}
	root := os.DirFS("../../examples/season")
	require.NoError(t, fs.WalkDir(root, ".", func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		text, err := fs.ReadFile(root, path)
		files[path] = &fstest.MapFile{Data: text}
		return err
	}))
	return files
}

func checked(files fs.FS) *plan.Snapshot { return plan.Check(context.Background(), files, "farm.star") }

// Whatever stands in a file and wherever the cursor is, no question fails, and what comes back lies in
// the files it speaks of.
func TestAnyTextAnywhere(t *testing.T) {
	files := season(t)
	p := feature.NewPlan(checked(files), files)
	paths := []string{"farm.star", "beds.star", "place.star", "fields/lower_bench.star", "fields/salad_yard.star"}
	junk := rapid.SampledFrom([]string{
		"(", ")", "\"", "'", "\"\"\"", "\n", "\r\n", "\r", "\t", "=", ",", ".", "#", "# accept: ", "é", "🌽", "def f(x):\n", "for ", "load(", "plant(", "row(",
		"here.", "30 * ", "\\", "[", "}", "x = ", "lambda", "\xff", "\x00", "units = \"", "crops = [\"",
	})
	rapid.Check(t, func(t *rapid.T) {
		path := rapid.SampledFrom(paths).Draw(t, "path")
		f := source.New(path, string(files[path].Data))
		for range rapid.IntRange(0, 4).Draw(t, "edits") {
			start := rapid.IntRange(0, len(f.Text)).Draw(t, "start")
			end := min(start+rapid.IntRange(0, 30).Draw(t, "length"), len(f.Text))
			f = f.Edit(start, end, strings.Join(rapid.SliceOfN(junk, 0, 3).Draw(t, "junk"), ""))
		}
		asked := feature.NewPlan(p.Snapshot, files)
		if rapid.Bool().Draw(t, "no plan") {
			asked = nil
		}
		at := f.Point(rapid.IntRange(0, len(f.Text)).Draw(t, "at"))
		checkAnswers(t, feature.NewDoc(f, asked), at)
	})
}

func checkAnswers(t *rapid.T, d *feature.Doc, at source.Point) {
	within := func(what string, s source.Span) {
		require.True(t, s.IsValid(), what)
		require.False(t, s.End.Before(s.Start), "%s %v to %v", what, s.Start, s.End)
		require.Equal(t, s.Start, s.File.Point(s.File.Offset(s.Start)), what)
		require.Equal(t, s.End, s.File.Point(s.File.Offset(s.End)), what)
	}
	for _, c := range d.Complete(at).Items {
		within("completion "+c.Label, c.Replace)
		require.Equal(t, d.File, c.Replace.File)
		require.False(t, at.Before(c.Replace.Start) || c.Replace.End.Before(at), "completion %s replaces %v to %v, asked at %v", c.Label, c.Replace.Start, c.Replace.End, at)
		require.NotEmpty(t, c.Label)
		d.Document(c.Key)
		for _, e := range c.Extra {
			within("load for "+c.Label, e.Span)
		}
	}
	if h := d.Hover(at); h != nil {
		within("hover", h.Span)
		require.False(t, at.Before(h.Span.Start) || h.Span.End.Before(at), "hover over %v to %v, asked at %v", h.Span.Start, h.Span.End, at)
		require.NotEmpty(t, h.Text)
	}
	if s := d.Signature(at); s != nil {
		for _, p := range s.Params {
			require.LessOrEqual(t, p.Start, p.End)
			require.LessOrEqual(t, p.End, len(s.Label))
		}
		require.Less(t, s.Active, len(s.Params))
	}
	for _, s := range slices.Concat(d.Definition(at), d.TypeDefinition(at), d.Declaration(at)) {
		within("definition", s)
	}
	for _, r := range append(d.References(at), d.Highlights(at)...) {
		within("reference", r.Span)
	}
	if span, text, err := d.Renaming(at); err == nil {
		within("rename", span)
		require.Equal(t, span.Text(), text)
	}
	checkSymbols(t, d.Outline())
}

func checkSymbols(t *rapid.T, list []feature.Symbol) {
	for _, s := range list {
		require.NotEmpty(t, s.Name)
		require.False(t, s.Head.Start.Before(s.Span.Start) || s.Span.End.Before(s.Head.End), "%s: its name lies outside it", s.Name)
		checkSymbols(t, s.Inside)
	}
}

// A plan in which a name is called something else works out to the same farm, and called as before again
// it is the same text.
func TestRenameKeepsTheFarm(t *testing.T) {
	files := season(t)
	before := checked(files)
	p := feature.NewPlan(before, files)
	names := map[string][]source.Span{}
	for _, f := range before.Files {
		d := feature.NewDoc(f, p)
		for _, n := range d.Names().Names {
			for _, s := range n.Sites {
				names[f.Path] = append(names[f.Path], s.Span)
			}
		}
	}
	renamed := 0
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SampledFrom(before.Files).Draw(t, "file")
		if len(names[f.Path]) == 0 {
			return
		}
		site := rapid.SampledFrom(names[f.Path]).Draw(t, "site")
		d := feature.NewDoc(f, p)
		_, old, err := d.Renaming(site.Start)
		if err != nil {
			return
		}
		edits, err := d.Rename(site.Start, "quite_new")
		require.NoError(t, err)
		renamed++
		after := fstest.MapFS{}
		for path, file := range files {
			after[path] = &fstest.MapFile{Data: []byte(edited(string(file.Data), path, edits))}
		}
		snap := checked(after)
		require.Equal(t, summary(before), summary(snap), "%s of %s", old, f.Path)

		back := feature.NewPlan(snap, after)
		now := feature.NewDoc(back.File(f.Path), back)
		n := now.Names().TopNamed("quite_new")
		if n == nil {
			return // of a function
		}
		edits, err = now.Rename(n.Sites[0].Span.Start, old)
		require.NoError(t, err)
		again := edited(string(after[f.Path].Data), f.Path, edits)
		if !strings.Contains(string(after[f.Path].Data), "quite_new = \"") { // an own name for what is loaded stays one
			require.Equal(t, string(files[f.Path].Data), again)
		}
	})
	require.Positive(t, renamed)
}

// edited makes the edits of one file.
func edited(text, path string, edits []diag.Edit) string {
	for i := len(edits) - 1; i >= 0; i-- {
		if e := edits[i]; e.Span.File.Path == path {
			start, end := e.Span.File.Offset(e.Span.Start), e.Span.File.Offset(e.Span.End)
			text = text[:start] + e.Text + text[end:]
		}
	}
	return text
}

// summary is what a farm amounts to, whatever its names are.
func summary(s *plan.Snapshot) []string {
	var list []string
	for _, d := range s.Findings {
		list = append(list, d.Rule.Code)
	}
	for _, p := range s.Facts.Plantings {
		list = append(list, strings.Join([]string{p.Row.Plot.Decl.Name.Value, p.Row.Name(), p.Decl.Crop.Title(), p.Plant.String(), p.Clear.String()}, "|"))
	}
	return list
}
