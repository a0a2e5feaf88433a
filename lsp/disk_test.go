package lsp

import (
	"io/fs"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFilesUnderTexts(t *testing.T) {
	dir := workspace(t, map[string]string{"a.star": "on disk", "sub/b.star": "deep", "c.txt": ""})
	f := newFiles(dir, map[string]string{"a.star": "typed", "sub/new.star": "not saved", "only/here.star": ""})
	for name, want := range map[string]string{"a.star": "typed", "sub/b.star": "deep", "sub/new.star": "not saved"} {
		text, err := fs.ReadFile(f, name)
		require.NoError(t, err)
		require.Equal(t, want, string(text))
	}
	for name, want := range map[string][]string{
		".": {"a.star", "c.txt", "sub"}, "sub": {"b.star", "new.star"}, "only": {"here.star"},
	} {
		list, err := fs.ReadDir(f, name)
		require.NoError(t, err)
		var names []string
		for _, e := range list {
			names = append(names, e.Name())
		}
		require.Equal(t, want, names)
	}
	_, err := fs.ReadFile(f, "../"+filepath.Base(dir)+"/c.txt")
	require.Error(t, err, "nothing above")
	_, err = fs.ReadDir(f, "missing")
	require.ErrorIs(t, err, fs.ErrNotExist)
	require.True(t, f.took()["a.star"])
	require.False(t, f.took()["c.txt"])

	alone := newFiles("", map[string]string{"untitled.star": "x"})
	_, err = fs.ReadFile(alone, "other.star")
	require.ErrorIs(t, err, fs.ErrNotExist)
	list, err := fs.ReadDir(alone, ".")
	require.NoError(t, err)
	require.Len(t, list, 1)
	gone := newFiles(filepath.Join(dir, "gone"), nil)
	_, err = fs.ReadFile(gone, "a.star")
	require.ErrorIs(t, err, fs.ErrNotExist)
	_, err = fs.ReadDir(gone, ".")
	require.Error(t, err)
}
