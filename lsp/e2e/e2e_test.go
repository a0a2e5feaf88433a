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
	"regexp"
	"slices"
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

// home is a person's home folder as new, with a `haulm` in it for an editor to find by its name, which leaves
// the exit code of each server behind.
type home struct{ dir string }

func newHome(t *testing.T, binary string) home {
	t.Helper()
	h := home{t.TempDir()}
	script := fmt.Sprintf("#!/bin/sh\n'%s' \"$@\"\ncode=$?\n[ \"$1\" != lsp ] || echo $code >>'%s'\nexit $code\n", binary, h.codes())
	require.NoError(t, os.Mkdir(h.bin(), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(h.bin(), "haulm"), []byte(script), 0o755))
	return h
}

func (h home) bin() string   { return filepath.Join(h.dir, "bin") }
func (h home) codes() string { return filepath.Join(h.dir, "codes") }

// environment is that of the test, but for the home folder and what is found first.
func (h home) environment(t *testing.T) []string {
	t.Helper()
	env := slices.DeleteFunc(os.Environ(), func(v string) bool { return strings.HasPrefix(v, "XDG_") })
	for _, name := range []string{"GOPATH", "GOMODCACHE", "GOCACHE"} { // which lie in a home folder
		out, err := exec.Command("go", "env", name).Output()
		require.NoError(t, err)
		env = append(env, name+"="+strings.TrimSpace(string(out)))
	}
	return append(env, "HOME="+h.dir, "GOBIN="+filepath.Join(h.dir, "go"), "LC_ALL=C.UTF-8",
		"PATH="+h.bin()+string(os.PathListSeparator)+os.Getenv("PATH"))
}

// follow runs the commands of an editor's page, those marked sh, as it says: in the folder of Haulm. Those
// marked shell install the editor or open it.
func (h home) follow(t *testing.T, editor string) {
	t.Helper()
	page := read(t, filepath.Join("..", "editors", editor), "README.md")
	var commands strings.Builder
	for _, block := range regexp.MustCompile("(?ms)^```sh\n(.*?)^```$").FindAllStringSubmatch(page, -1) {
		commands.WriteString(block[1])
	}
	require.NotEmpty(t, commands.String())
	cmd := exec.Command("bash", "-euxc", commands.String())
	cmd.Dir, cmd.Env = filepath.Join("..", ".."), h.environment(t)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
}

// exitCodes waits for a number of servers to end and lists the exit codes of those that have.
func (h home) exitCodes(t *testing.T, count int) []string {
	t.Helper()
	var codes []string
	require.Eventually(t, func() bool {
		text, _ := os.ReadFile(h.codes()) // there is none before the first has ended
		codes = strings.Fields(string(text))
		return len(codes) >= count
	}, 10*time.Second, 20*time.Millisecond, "a server has not ended")
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
