package lsp

import (
	"encoding/json"
	"testing"

	"github.com/sourcegraph/jsonrpc2"
	"github.com/stretchr/testify/require"
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

// Names across files: found, followed, renamed in the texts that are open and in those that are not.
func TestNamesAcrossFiles(t *testing.T) {
	dir := workspace(t, map[string]string{
		entryName:   `load("./beds.star", "width")` + "\nfarm(\"é\", year = 2027, access = width)\nprint(\"🌽\", width)\n",
		"beds.star": "width = 30 * inch\n",
	})
	for capabilities, versioned := range map[string]bool{able: true, `{}`: false} {
		e := greeted(t, capabilities, []string{dir})
		farm, beds := uriOf(dir+"/farm.star"), uriOf(dir+"/beds.star")
		e.open(farm, readFile(t, dir, entryName))
		e.findings(farm)

		var places []protocol.Location
		e.ask("textDocument/definition", at(farm, 1, 36), &places)
		require.Contains(t, places, protocol.Location{URI: beds, Range: span(0, 0, 0, 5)})
		refer := at(farm, 1, 36)
		refer["context"] = map[string]any{"includeDeclaration": true}
		e.ask("textDocument/references", refer, &places)
		all := len(places)
		refer["context"] = map[string]any{"includeDeclaration": false}
		e.ask("textDocument/references", refer, &places)
		require.Less(t, len(places), all)

		var lights []protocol.DocumentHighlight
		e.ask("textDocument/documentHighlight", at(farm, 1, 36), &lights)
		require.Len(t, lights, 3)

		var what protocol.RangeWithPlaceholder
		e.ask("textDocument/prepareRename", at(farm, 1, 36), &what)
		require.Equal(t, "width", what.Placeholder)
		require.Equal(t, wire.CodeRequestFailed, e.refused("textDocument/prepareRename", at(farm, 1, 1)).Code)

		e.open(beds, "# one line more, not saved\nwidth = 30 * inch\n")
		ask := at(farm, 1, 36)
		ask["newName"] = "path_width"
		var edit struct {
			Changes         map[string][]protocol.TextEdit
			DocumentChanges []struct {
				TextDocument struct {
					URI     string
					Version *int
				}
				Edits []protocol.TextEdit
			}
		}
		e.ask("textDocument/rename", ask, &edit)
		if versioned {
			require.Empty(t, edit.Changes)
			edit.Changes = map[string][]protocol.TextEdit{}
			for _, c := range edit.DocumentChanges {
				require.Equal(t, 1, *c.TextDocument.Version)
				edit.Changes[c.TextDocument.URI] = c.Edits
			}
		}
		require.Equal(t, []protocol.TextEdit{{Range: span(1, 0, 1, 5), NewText: "path_width"}}, edit.Changes[beds])
		require.Len(t, edit.Changes[farm], 3)
		ask["newName"] = "not a name"
		require.Equal(t, wire.CodeRequestFailed, e.refused("textDocument/rename", ask).Code)
		require.NoError(t, e.leave())
	}
}

// A file that no editor has open is answered for as the plan read it; one that nobody knows is refused.
func TestFilesThatAreNotOpen(t *testing.T) {
	dir := twoPlans(t)
	e := greeted(t, able, []string{dir})
	settle(e)
	var h struct{ Contents json.RawMessage }
	e.ask("textDocument/hover", at(uriOf(dir+"/north/farm.star"), 1, 1), &h)
	require.NotEmpty(t, h.Contents)
	require.Equal(t, jsonrpc2.CodeInvalidParams, e.refused("textDocument/hover", at(uriOf(dir+"/west/farm.star"), 1, 1)).Code)
	require.Equal(t, jsonrpc2.CodeInvalidParams, e.refused("textDocument/references", map[string]any{
		"textDocument": map[string]any{"uri": uriOf(dir + "/west/farm.star")}, "position": map[string]any{"line": 0, "character": 0},
		"context": map[string]any{"includeDeclaration": true},
	}).Code)
	require.NoError(t, e.leave())
}

// An answer whose places are those of a text that is gone is refused.
func TestContentModified(t *testing.T) {
	entered, release := make(chan struct{}), make(chan struct{})
	e := greeted(t, `{}`, nil, func(s *server) {
		m := strictly(query("textDocument/foldingRange", "", func(p *protocol.FoldingRangeParams) string { return p.TextDocument.URI },
			func(*view, *protocol.FoldingRangeParams) (any, error) {
				close(entered)
				<-release
				return []protocol.FoldingRange{}, nil
			}, nil))
		s.methods[m.name] = &m
	})
	uri := "file:///nowhere/farm.star"
	e.open(uri, clean)
	id := e.send("textDocument/foldingRange", documentParams(uri))
	<-entered
	e.replace(uri, bare)
	e.findings(uri)
	close(release)
	require.Equal(t, wire.CodeContentModified, e.answer(id).Error.Code)
	require.NoError(t, e.leave())
}

// While a plan is being worked out, places in its other files are those of the texts now; a change of text
// that was itself edited meanwhile is not offered.
func TestPlacesInEditedFiles(t *testing.T) {
	release := make(chan struct{}, 10)
	dir := workspace(t, map[string]string{
		entryName: "load(\"./beds.star\", \"width\")\nfarm(\"Test\", year = 2027, acces = width)\n", "beds.star": "width = 30 * inch\n",
	})
	e := greeted(t, able, []string{dir}, held(release))
	for range 3 {
		release <- struct{}{}
	}
	farm, beds := uriOf(dir+"/farm.star"), uriOf(dir+"/beds.star")
	settle(e)
	e.open(farm, readFile(t, dir, entryName))
	e.open(beds, "width = 30 * inch\n")
	settle(e)
	for len(release) > 0 {
		<-release
	}
	e.edit(beds, change(0, 0, 0, 0, "# two lines\n# more\n"))
	var places []protocol.Location
	e.ask("textDocument/definition", at(farm, 1, 39), &places)
	require.Contains(t, places, protocol.Location{URI: beds, Range: span(2, 0, 2, 5)})

	fixes := func() int {
		params := documentParams(farm)
		params["range"] = span(1, 27, 1, 32)
		params["context"] = map[string]any{"diagnostics": []any{}, "only": []string{"quickfix"}}
		var list []json.RawMessage
		e.ask("textDocument/codeAction", params, &list)
		return len(list)
	}
	require.NotZero(t, fixes())
	e.edit(farm, change(1, 28, 1, 30, "CC"))
	require.Zero(t, fixes(), "the finding is not about this word any more")
	release <- struct{}{}
	require.NoError(t, e.leave())
}
