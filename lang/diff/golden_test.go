package diff_test

import (
	"bytes"
	"context"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"haulm/lang/diff"
	"haulm/lang/plan"
	"haulm/lang/report"
)

var update = flag.Bool("update", false, "rewrite want in testdata/diff")

const entry = "farm.star"

// TestGolden compares the two plans of every archive of testdata/diff: files below old/ and new/, what changed in
// want. A plan that is not in the archive's new/ is that of old/.
func TestGolden(t *testing.T) {
	names, err := filepath.Glob("../../testdata/diff/*.txtar")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(names), 30, "pairs of plans in testdata/diff")
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(name)
			require.NoError(t, err)
			sides := [2]fstest.MapFS{{}, {}}
			got := &txtar.Archive{Comment: a.Comment}
			for _, f := range a.Files {
				side, path, ok := strings.Cut(f.Name, "/")
				if !ok {
					continue
				}
				got.Files = append(got.Files, f)
				n := strings.Index("old new", side) / 4
				sides[n][path] = &fstest.MapFile{Data: f.Data}
			}
			from, to := check(t, sides[0]), check(t, sides[1])
			d := diff.Compare(from, to)
			requireExact(t, d)
			requireReversed(t, d, diff.Compare(to, from))
			require.Empty(t, diff.Compare(from, from).Changes)
			var text bytes.Buffer
			require.NoError(t, report.DiffText(d, &text, 100))
			got.Files = append(got.Files, txtar.File{Name: "want", Data: text.Bytes()})
			if *update {
				require.NoError(t, os.WriteFile(name, txtar.Format(got), 0o644))
				return
			}
			require.Equal(t, string(txtar.Format(got)), string(txtar.Format(a)))
		})
	}
}

func check(t require.TestingT, files fs.FS) diff.Side {
	s := plan.Check(context.Background(), files, entry)
	require.NoError(t, s.Trouble)
	return diff.Side{Facts: s.Facts, Findings: s.Findings}
}
