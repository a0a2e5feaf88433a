//go:build e2e

package e2e

import (
	"os"
	"os/exec"
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
