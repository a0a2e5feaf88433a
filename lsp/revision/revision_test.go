package revision

import (
	"context"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// repository makes one with a commit of some files, and gives its folder.
func repository(t *testing.T) string {
	dir, err := filepath.EvalSymlinks(t.TempDir())
	require.NoError(t, err)
	t.Setenv("GIT_CEILING_DIRECTORIES", filepath.Dir(dir))
	t.Setenv("GIT_CONFIG_GLOBAL", os.DevNull)
	for name, text := range map[string]string{"farm.star": "first\n", "fields/north of the lane.star": "north\n", "empty.star": ""} {
		require.NoError(t, os.MkdirAll(filepath.Join(dir, filepath.Dir(name)), 0o777))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	for link, to := range map[string]string{"link.star": "fields/north of the lane.star", "out.star": "../elsewhere", "round.star": "round.star", "root.star": "/etc/hosts"} {
		require.NoError(t, os.Symlink(to, filepath.Join(dir, link)))
	}
	for _, args := range [][]string{{"init", "-q"}, {"add", "."}, {"-c", "user.name=Grower", "-c", "user.email=grower@example.org", "commit", "-qm", "Plan"}} {
		cmd := exec.Command("git", args...)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, string(out))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "farm.star"), []byte("second\n"), 0o666))
	return dir
}

func TestCommit(t *testing.T) {
	dir := repository(t)
	c, err := Open(context.Background(), filepath.Join(dir, "fields"), "HEAD")
	require.NoError(t, err)
	require.Equal(t, dir, c.Dir)
	require.Equal(t, "fields", c.Here)
	require.Len(t, c.ID, 40)
	for name, want := range map[string]string{"farm.star": "first\n", "fields/north of the lane.star": "north\n", "link.star": "north\n", "empty.star": ""} {
		for range 2 {
			text, err := fs.ReadFile(c, name)
			require.NoError(t, err)
			require.Equal(t, want, string(text), name)
		}
	}
	for _, name := range []string{"nowhere.star", "fields/farm.star"} {
		_, err := fs.Stat(c, name)
		require.ErrorIs(t, err, fs.ErrNotExist)
	}
	for _, name := range []string{"../farm.star", "/farm.star", "out.star", "round.star", "root.star"} {
		_, err := c.Open(name)
		require.Error(t, err, name)
	}
	info, err := fs.Stat(c, "fields")
	require.NoError(t, err)
	require.True(t, info.IsDir())
}

func TestTrouble(t *testing.T) {
	dir := repository(t)
	_, err := Open(context.Background(), dir, "HEAD~1")
	require.ErrorContains(t, err, `has no revision "HEAD~1"`)
	_, err = Open(context.Background(), dir, "--output=x")
	require.ErrorContains(t, err, "has no revision")
	require.NoFileExists(t, filepath.Join(dir, "x"))
	elsewhere := t.TempDir()
	t.Setenv("GIT_CEILING_DIRECTORIES", filepath.Dir(elsewhere))
	_, err = Open(context.Background(), elsewhere, "HEAD")
	require.EqualError(t, err, elsewhere+" is in no git repository")
	t.Setenv("PATH", "")
	_, err = Open(context.Background(), dir, "HEAD")
	require.ErrorIs(t, err, ErrNoGit)
}

// Whatever git may print of a tree, its files are files and their folders are folders.
func TestReadTree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for name, e := range readTree(rapid.String().Draw(t, "list")) {
			require.True(t, fs.ValidPath(name))
			require.NotEmpty(t, e.name)
		}
	})
}

func FuzzReadTree(f *testing.F) {
	f.Add("100644 blob 0123456789012345678901234567890123456789      12\tfields/a.star\x00")
	f.Add("160000 commit 0123456789012345678901234567890123456789       -\tsub\x00")
	f.Fuzz(func(t *testing.T, list string) {
		for name := range readTree(list) {
			require.True(t, fs.ValidPath(name))
		}
	})
}
