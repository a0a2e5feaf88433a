//go:build e2e

// Package e2e drives the real `haulm lsp` with clients that nobody here wrote: Neovim and Emacs from Debian's
// packages, and the protocol library of VS Code under Node (folder node, whose tests also hold every message to the
// protocol's own types). In goes the farm of testdata, whose text has characters of four bytes and of two, tabs, and
// lines that end as Windows ends them; out must come what a grower would see. Built with the tag e2e, since the
// clients must be installed.
package e2e

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// build makes the binary under test and gives its path.
func build(t *testing.T) string {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "haulm")
	out, err := exec.Command("go", "build", "-o", binary, "haulm/cmd/haulm").CombinedOutput()
	require.NoError(t, err, "%s", out)
	return binary
}

// farm lays out a fresh copy of the farm of testdata.
func farm(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS("testdata/farm")))
	return dir
}

// shim is a `haulm` for an editor to find by its name, which leaves the exit code of the server behind.
type shim struct{ dir string }

func newShim(t *testing.T, binary string) shim {
	t.Helper()
	s := shim{t.TempDir()}
	script := fmt.Sprintf("#!/bin/sh\n'%s' \"$@\"\necho $? >>'%s'\n", binary, s.codes())
	require.NoError(t, os.WriteFile(filepath.Join(s.dir, "haulm"), []byte(script), 0o755))
	return s
}

func (s shim) codes() string { return filepath.Join(s.dir, "codes") }

// environment is that of the test with the shim found first, and nothing of the person's who runs it.
func (s shim) environment(extra ...string) []string {
	env := append(os.Environ(),
		"PATH="+s.dir+string(os.PathListSeparator)+os.Getenv("PATH"),
		"HOME="+s.dir, "XDG_CONFIG_HOME="+s.dir, "XDG_CACHE_HOME="+s.dir, "XDG_DATA_HOME="+s.dir, "XDG_STATE_HOME="+s.dir)
	return append(env, extra...)
}

// exitCodes waits for a server to end and lists the exit codes of those that have.
func (s shim) exitCodes(t *testing.T) []string {
	t.Helper()
	var codes []string
	require.Eventually(t, func() bool {
		text, _ := os.ReadFile(s.codes()) // there is none before the first has ended
		codes = strings.Fields(string(text))
		return len(codes) > 0
	}, 10*time.Second, 20*time.Millisecond, "no server has ended")
	return codes
}

// read gives the text of a file of the farm.
func read(t *testing.T, dir, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, name))
	require.NoError(t, err)
	return string(text)
}

// laidOut is a text as `haulm fmt` lays it out.
func laidOut(t *testing.T, binary, text string) string {
	t.Helper()
	cmd := exec.Command(binary, "fmt", "-")
	cmd.Stdin = strings.NewReader(text)
	out, err := cmd.Output()
	require.NoError(t, err)
	return string(out)
}
