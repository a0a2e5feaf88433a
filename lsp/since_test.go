package lsp

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	protocol "github.com/tliron/glsp/protocol_3_16"
)

// Over a plot and at a planting the editor says what changed since the last commit.
func TestSinceTheLastCommit(t *testing.T) {
	dir := workspace(t, map[string]string{entryName: field})
	t.Setenv("GIT_CONFIG_GLOBAL", filepath.Join(dir, "none"))
	for _, args := range [][]string{{"init", "-q"}, {"add", entryName}, {"-c", "user.name=Grower", "-c", "user.email=grower@example.org", "commit", "-qm", "Plan"}} {
		cmd := exec.Command("git", args...)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, string(out))
	}
	e := greeted(t, able, []string{dir})
	uri := uriOf(filepath.Join(dir, entryName))
	now := strings.Replace(field, "count = 10", "count = 12", 1)
	e.open(uri, now)
	e.findings(uri)
	require.Eventually(t, func() bool {
		var lenses []protocol.CodeLens
		e.ask("textDocument/codeLens", map[string]any{"textDocument": map[string]any{"uri": uri}}, &lenses)
		for _, l := range lenses {
			if strings.HasPrefix(l.Command.Title, "since the last commit: 1 resized") {
				return true
			}
		}
		return false
	}, 20*time.Second, 20*time.Millisecond)
	var h struct{ Contents protocol.MarkupContent }
	e.ask("textDocument/hover", at(uri, 4, 2), &h)
	require.Contains(t, h.Contents.Value, "Since the last commit: resized")
	require.Contains(t, h.Contents.Value, "plants: 10 → 12")
	require.NoError(t, e.leave())
}
