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
			text := requireSame(t, os.DirFS(examples), name+"/farm.star")
			if os.Getenv("SHOW") != "" {
				t.Log("\n" + text)
			}
		})
	}
}

func begin(t require.TestingT, fsys fs.FS, entry, at string) *Plan {
	p, err := Begin(context.Background(), fsys, entry, Options{At: at, Over: over(fsys)})
	require.NoError(t, err)
	return p
}

// Next year's plan of every example has no errors.
func TestExamples(t *testing.T) {
	for _, name := range []string{"first", "metric", "season"} {
		t.Run(name, func(t *testing.T) {
			p := begin(t, os.DirFS(examples), name+"/farm.star", "next/farm.star")
			for _, f := range p.Snapshot.Findings {
				require.NotEqual(t, diag.Error, f.Rule.Severity, "%s: %s\n%s", f.Primary.Span, f.Message, p.Text)
				t.Log(f.Rule.Code, f.Message)
			}
			if os.Getenv("SHOW") != "" {
				t.Log("\n" + p.Text)
			}
		})
	}
}
