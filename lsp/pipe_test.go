//go:build unix

package lsp

import (
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
	protocol "github.com/tliron/glsp/protocol_3_16"
)

// A pipe is told of and not waited for, whoever names it.
func TestPlanLoadsPipe(t *testing.T) {
	text := clean + "load(\"./pipe.star\", \"x\")\nweather(\"pipe.star\")\nprevious(\"pipe.star\")\n"
	dir := workspace(t, map[string]string{entryName: text})
	require.NoError(t, syscall.Mkfifo(filepath.Join(dir, "pipe.star"), 0o644))
	e := greeted(t, `{}`, []string{dir})
	uri := uriOf(filepath.Join(dir, entryName))
	e.open(uri, text)
	found := e.findings(uri)
	require.NotEmpty(t, found)
	for _, f := range found {
		require.Contains(t, f.Message, "this is no ordinary file")
	}
	e.ask("textDocument/completion", at(uri, 1, len(`load("./pipe.star", "`)), nil)
	var links []protocol.DocumentLink
	e.ask("textDocument/documentLink", documentParams(uri), &links)
	require.Empty(t, links)
	require.NoError(t, e.leave())
}
