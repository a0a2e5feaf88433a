package next

import (
	"context"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write what is wanted anew")

// Each archive of testdata is a plan, old/farm.star with its files, and the plan that follows it, with its findings.
func TestGolden(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(file)
			require.NoError(t, err)
			fsys := fstest.MapFS{}
			var kept []txtar.File
			for _, f := range archive.Files {
				if !strings.HasPrefix(f.Name, "want") {
					fsys[f.Name] = &fstest.MapFile{Data: f.Data}
					kept = append(kept, f)
				}
			}
			requireSame(t, fsys, "old/farm.star")
			p, err := Begin(context.Background(), fsys, "old/farm.star", Options{
				At: "new/farm.star", Over: over(fsys), Apart: strings.Contains(string(archive.Comment), "apart"),
			})
			require.NoError(t, err)
			found := ""
			for _, f := range p.Snapshot.Findings {
				found += f.Rule.Code + ": " + f.Message + "\n"
			}
			archive.Files = append(kept, txtar.File{Name: "want-findings", Data: []byte(found)}, txtar.File{Name: "want-farm.star", Data: []byte(p.Text)})
			is := txtar.Format(archive)
			if *update {
				require.NoError(t, os.WriteFile(file, is, 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			require.Equal(t, string(want), string(is))
		})
	}
}
