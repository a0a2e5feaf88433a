package lsp

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/plan"
)

// Every rule has a page; a page that is there already is left, one of an older text is written over, and where
// none can be written there is none.
func TestPages(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "deep", "pages")
	p := newPages(dir)
	rules := plan.Rules()
	for _, r := range rules {
		require.Equal(t, uriOf(filepath.Join(dir, r.Code+".md")), p.href(r))
	}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, len(rules), "nothing else is left lying there")

	file := filepath.Join(dir, rules[0].Code+".md")
	require.NoError(t, os.WriteFile(file, []byte("old"), 0o644))
	require.NotEmpty(t, newPages(dir).href(rules[0]))
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Contains(t, string(text), rules[0].Explain)
	require.NotEmpty(t, newPages(dir).href(rules[0]))

	require.Empty(t, newPages("").href(rules[0]))
	require.Empty(t, newPages(file).href(rules[0]), "a file stands where the folder should")
}
