package disk_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"haulm/lsp/disk"
)

func TestWorkTree(t *testing.T) {
	top := t.TempDir()
	deep := filepath.Join(top, "farm", "2027")
	require.NoError(t, os.MkdirAll(deep, 0o755))
	require.Equal(t, deep, disk.WorkTree(deep), "no .git anywhere above")
	require.NoError(t, os.WriteFile(filepath.Join(top, ".git"), []byte("gitdir: elsewhere\n"), 0o644))
	require.Equal(t, top, disk.WorkTree(deep))
}

func TestHolds(t *testing.T) {
	dir := filepath.FromSlash("/farms/here")
	for file, want := range map[string]bool{
		"/farms/here": true, "/farms/here/a.star": true, "/farms/here/..odd": true, "/farms": false, "/farms/hereby": false,
	} {
		require.Equal(t, want, disk.Holds(dir, filepath.FromSlash(file)), file)
	}
}

func TestOverlay(t *testing.T) {
	over := disk.Overlay{
		FS:    fstest.MapFS{"a.star": {Data: []byte("old")}, "b.star": {Data: []byte("b")}},
		Texts: map[string]string{"a.star": "new", "sub/c.star": "c"},
	}
	for name, want := range map[string]string{"a.star": "new", "b.star": "b", "sub/c.star": "c"} {
		text, err := fs.ReadFile(over, name)
		require.NoError(t, err)
		require.Equal(t, want, string(text))
		info, err := fs.Stat(over, name)
		require.NoError(t, err)
		require.Equal(t, int64(len(want)), info.Size())
		require.Equal(t, filepath.Base(name), info.Name())
		require.True(t, info.Mode().IsRegular())
	}
	_, err := over.Open("d.star")
	require.ErrorIs(t, err, fs.ErrNotExist)
}
