//go:build e2e

package e2e

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The tests of the client under Node, each a line of its own in Node's output.
func TestNode(t *testing.T) {
	_, err := os.Stat("node/node_modules")
	require.NoError(t, err, "the client is not installed; run `npm ci --ignore-scripts` in lsp/e2e/node")
	cmd := exec.Command("node", "--test", "--test-reporter=spec")
	cmd.Dir = "node"
	cmd.Env = append(os.Environ(), "HAULM="+build(t))
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	t.Logf("%s", out)
}

// Whatever the server serves, the client asks: a method that is new wants a test of its own there.
func TestNodeAsksEverything(t *testing.T) {
	page, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	served := regexp.MustCompile("(?m)^\\| `([\\w$/]+)` \\| (?:request|notification) \\|").FindAllStringSubmatch(string(page), -1)
	require.NotEmpty(t, served)
	files, err := filepath.Glob("node/*.test.js")
	require.NoError(t, err)
	var asked strings.Builder
	for _, name := range append(files, "node/client.js") {
		if name == "node/conversation.test.js" { // which asks no server
			continue
		}
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		asked.Write(text)
	}
	for _, s := range served {
		require.Contains(t, asked.String(), `"`+s[1]+`"`, "lsp/e2e/node has no test of %s", s[1])
	}
}
