package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWriteWhole(t *testing.T) {
	dir := t.TempDir()
	old, link, fresh := filepath.Join(dir, "old.star"), filepath.Join(dir, "link.star"), filepath.Join(dir, "new.star")
	require.NoError(t, os.WriteFile(old, []byte("old"), 0o640))
	require.NoError(t, os.Symlink("old.star", link))
	require.NoError(t, writeWhole(map[string]string{link: "after", fresh: "x"}, []string{link, fresh}))

	text, err := os.ReadFile(old)
	require.NoError(t, err)
	require.Equal(t, "after", string(text), "a link's target is written")
	info, err := os.Lstat(link)
	require.NoError(t, err)
	require.NotZero(t, info.Mode()&os.ModeSymlink, "the link stays a link")
	info, err = os.Stat(old)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o640), info.Mode().Perm(), "the mode stays")
	require.Len(t, names(t, dir), 3)
}

func TestWriteWholeChangesNothingWhenOneFails(t *testing.T) {
	for name, spoil := range map[string]func(t *testing.T, path string){
		"a folder":          func(t *testing.T, path string) { require.NoError(t, os.Mkdir(path, 0o755)) },
		"a dangling link":   func(t *testing.T, path string) { require.NoError(t, os.Symlink("nowhere/x", path)) },
		"below a file":      func(*testing.T, string) {},
		"in no such folder": func(*testing.T, string) {},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			good, bad := filepath.Join(dir, "good.star"), filepath.Join(dir, "bad.star")
			require.NoError(t, os.WriteFile(good, []byte("old"), 0o644))
			spoil(t, bad)
			switch name {
			case "below a file":
				bad = filepath.Join(good, "x.star")
			case "in no such folder":
				bad = filepath.Join(dir, "nowhere", "x.star")
			}
			before := names(t, dir)
			err := writeWhole(map[string]string{good: "new", bad: "new"}, []string{good, bad})
			require.ErrorContains(t, err, "cannot write "+bad)
			require.ErrorContains(t, err, "nothing was changed")
			text, err := os.ReadFile(good)
			require.NoError(t, err)
			require.Equal(t, "old", string(text))
			require.Equal(t, before, names(t, dir), "nothing is left lying about")
		})
	}
}

func names(t *testing.T, dir string) []string {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var all []string
	for _, e := range entries {
		all = append(all, e.Name())
	}
	return all
}
