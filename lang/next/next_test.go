package next

import (
	"context"
	"io/fs"
	"os"
	"path"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/diff"
	"haulm/lang/eval"
	"haulm/lang/format"
	"haulm/lang/plan"
	"haulm/lang/source"
)

// laid is a file system with one text laid over it.
type laid struct {
	fs.FS
	over fstest.MapFS
}

func (l laid) Open(name string) (fs.File, error) {
	if l.over[name] != nil {
		return l.over.Open(name)
	}
	return l.FS.Open(name)
}

func over(fsys fs.FS) func(name, text string) fs.FS {
	return func(name, text string) fs.FS {
		return laid{fsys, fstest.MapFS{name: {Data: []byte(text)}}}
	}
}

// copied writes a plan anew without any change.
func copied(t require.TestingT, fsys fs.FS, entry string) string {
	result, calls := eval.Trace(context.Background(), fsys, entry)
	require.NoError(t, result.Trouble)
	d := newDraft(derive.Derive(result.Farm), calls, 0)
	d.at = path.Join(path.Dir(entry), "copied.star")
	text, err := format.Format(source.New(d.at, tidy(d.write(&layout{}).string)))
	require.NoError(t, err, d.write(&layout{}).string)
	return text
}

func requireSame(t require.TestingT, fsys fs.FS, entry string) string {
	text := copied(t, fsys, entry)
	at := path.Join(path.Dir(entry), "copied.star")
	old := plan.Check(context.Background(), fsys, entry)
	now := plan.Check(context.Background(), over(fsys)(at, text), at)
	for _, f := range now.Findings {
		require.NotEqual(t, diag.Error, f.Rule.Severity, "%s: %s\n%s", f.Primary.Span, f.Message, text)
	}
	d := diff.Compare(diff.Side{Facts: old.Facts}, diff.Side{Facts: now.Facts})
	for _, c := range d.Changes {
		require.Fail(t, "changed", "%v %v %v\n%s", c.Types, c.Thing(), c.Aspects, text)
	}
	return text
}

const examples = "../../examples"

// A plan written again says the same.
func TestCopySaysTheSame(t *testing.T) {
	for _, name := range []string{"first", "metric", "season"} {
		t.Run(name, func(t *testing.T) {
			requireSame(t, os.DirFS(examples), name+"/farm.star")
		})
	}
}

// Next year's plan of every example has no errors, and fewer families too soon than if all stayed where it was.
func TestExamples(t *testing.T) {
	for _, name := range []string{"first", "metric", "season"} {
		t.Run(name, func(t *testing.T) {
			fsys, entry := os.DirFS(examples), name+"/farm.star"
			o := Options{At: "next/farm.star", Over: over(fsys)}
			p, err := Begin(context.Background(), fsys, entry, o)
			require.NoError(t, err)
			soon := 0
			for _, f := range p.Snapshot.Findings {
				require.NotEqual(t, diag.Error, f.Rule.Severity, "%s: %s\n%s", f.Primary.Span, f.Message, p.Text)
				if f.Rule.Code == tooSoon {
					soon++
				}
			}
			old, calls := eval.Trace(context.Background(), fsys, entry)
			d := newDraft(derive.Derive(old.Farm), calls, 1)
			d.at, d.previous = o.At, "../"+name
			stay := (&search{draft: d, ctx: context.Background(), o: o}).try(&layout{})
			require.Less(t, soon, stay.soon)
			require.Equal(t, old.Farm.Year.Value+1, p.Snapshot.Farm.Year.Value)
			require.Len(t, p.Snapshot.Farm.Plantings, len(old.Farm.Plantings))
			if name == "first" {
				require.Zero(t, soon, "there is room to move")
			}
		})
	}
}

// Of all ways, the one with the least sum is found.
func TestAssign(t *testing.T) {
	e := func(n int) score { return score{soon: n} }
	require.Equal(t, []int{2, 0, 1}, assign([][]score{{e(5), e(2), e(1)}, {e(0), e(4), e(9)}, {e(7), e(1), e(1)}}))
	require.Equal(t, []int{0, 1}, assign([][]score{{e(1), e(1)}, {e(1), e(1)}}), "of equal ones the first")
	require.Equal(t, []int{1, 0}, assign([][]score{{{errors: 1}, {warnings: 9}}, {{soon: 3}, {errors: 1}}}))
	require.Empty(t, assign(nil))
}

// Paths are told from the folder of the file that names them.
func TestRelative(t *testing.T) {
	for _, test := range [][3]string{
		{"2028", "2027", "../2027"}, {".", "2027", "./2027"}, {"a/b", "a/c/farm.star", "../c/farm.star"},
		{"plans/2028", ".", "../.."}, {"2027", "2027", "."}, {"2027/next", "2027", ".."},
	} {
		require.Equal(t, test[2], relative(test[0], test[1]), test)
	}
}

// A plan that nothing can be begun from.
func TestBeginRefuses(t *testing.T) {
	for _, test := range []struct{ text, want string }{
		{`farm("Ferry Bank", year = "soon")`, "it has 1 error"},
		{`farm("Ferry Bank", year = 2030)`, "it is the plan of 2030, and the new one would be for 2028; name a later year with --year"},
	} {
		fsys := fstest.MapFS{"2027/farm.star": {Data: []byte(test.text)}}
		_, err := Begin(context.Background(), fsys, "2027/farm.star", Options{Year: 2028, At: "2028/farm.star", Over: over(fsys)})
		require.ErrorContains(t, err, test.want)
	}
	_, err := Begin(context.Background(), fstest.MapFS{}, "2027/farm.star", Options{})
	require.Error(t, err)
}
