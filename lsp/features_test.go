package lsp

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

// able is a client with every capability that the server looks at.
const able = `{"general":{"positionEncodings":["utf-8","utf-16"]},"window":{"workDoneProgress":true},
"workspace":{"workspaceEdit":{"documentChanges":true},"inlayHint":{"refreshSupport":true},"codeLens":{"refreshSupport":true},"semanticTokens":{"refreshSupport":true}},
"textDocument":{"publishDiagnostics":{"relatedInformation":true,"tagSupport":{"valueSet":[1,2]}},
"completion":{"completionItem":{"snippetSupport":true,"labelDetailsSupport":true,"documentationFormat":["markdown"]}},
"hover":{"contentFormat":["markdown"]},"inlayHint":{"resolveSupport":{"properties":["tooltip"]}},"documentSymbol":{"hierarchicalDocumentSymbolSupport":true},
"signatureHelp":{"signatureInformation":{"documentationFormat":["markdown"],"parameterInformation":{"labelOffsetSupport":true}}}}}`

const field = `load("crops", "bell_pepper")
farm("Lower farm 🌽", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 2 * ft)
first = row(bench, at = 4 * ft)  # é 🌽
plant(first, bell_pepper, count = 10, spacing = 18 * inch, on = "2027-06-01")
`

// fielded is an editor that shows the field, worked out.
func fielded(t *testing.T, capabilities, text string) (e *editor, uri string) {
	dir := workspace(t, map[string]string{entryName: text})
	e = greeted(t, capabilities, []string{dir})
	uri = uriOf(filepath.Join(dir, entryName))
	e.open(uri, text)
	e.findings(uri)
	return e, uri
}

func TestHoverOverTheWire(t *testing.T) {
	for capabilities, kind := range map[string]protocol.MarkupKind{able: "markdown", `{}`: "plaintext"} {
		e, uri := fielded(t, capabilities, field)
		var h struct {
			Contents protocol.MarkupContent
			Range    protocol.Range
		}
		e.ask("textDocument/hover", at(uri, 3, 9), &h)
		require.Equal(t, kind, h.Contents.Kind)
		require.Contains(t, h.Contents.Value, "Row 1 of Lower bench")
		require.Equal(t, span(3, 8, 3, 11), h.Range)
		m := e.answer(e.send("textDocument/hover", at(uri, 99, 99)))
		require.Equal(t, "null", string(m.Result), "past the end there is nothing")
		require.NoError(t, e.leave())
	}
}

func TestCompletionOverTheWire(t *testing.T) {
	e, uri := fielded(t, able, field)
	e.edit(uri, change(5, 0, 5, 0, "row(bench, at = 30 * ft, )"))
	var list wire.CompletionList
	e.ask("textDocument/completion", at(uri, 5, 25), &list)
	i := slices.IndexFunc(list.Items, func(c wire.CompletionItem) bool { return strings.HasPrefix(c.Label, "lines") })
	require.GreaterOrEqual(t, i, 0)
	item := list.Items[i]
	require.Equal(t, span(5, 25, 5, 25), item.TextEdit.Range)
	require.True(t, slices.IsSortedFunc(list.Items, func(a, b wire.CompletionItem) int { return strings.Compare(a.SortText, b.SortText) }))
	require.True(t, list.Items[0].Preselect)
	require.Nil(t, item.Documentation)
	var resolved wire.CompletionItem
	e.ask("completionItem/resolve", item, &resolved)
	require.NotEmpty(t, resolved.Documentation.Value)
	require.Equal(t, item.TextEdit, resolved.TextEdit)

	// A name from the crop table brings its load along.
	e.edit(uri, change(5, 0, 5, 26, "plant(first, toma"))
	list = wire.CompletionList{}
	e.ask("textDocument/completion", at(uri, 5, 17), &list)
	i = slices.IndexFunc(list.Items, func(c wire.CompletionItem) bool { return c.Label == "tomato" })
	require.GreaterOrEqual(t, i, 0)
	require.Len(t, list.Items[i].AdditionalTextEdits, 1)

	// A space after a word is no question; after a comma it is. What is resolved after closing stays as it was.
	spaced := at(uri, 4, 2)
	spaced["context"] = map[string]any{"triggerKind": 2, "triggerCharacter": " "}
	e.ask("textDocument/completion", spaced, &list)
	require.Empty(t, list.Items)
	spaced["position"] = map[string]any{"line": 5, "character": 13}
	e.ask("textDocument/completion", spaced, &list)
	require.NotEmpty(t, list.Items)
	e.closeDocument(uri)
	e.ask("completionItem/resolve", map[string]any{"label": "x"}, nil)
	var same wire.CompletionItem
	e.ask("completionItem/resolve", wire.CompletionItem{Label: "x", Data: &wire.CompletionData{URI: "file:///gone.star", Key: "y"}}, &same)
	require.Nil(t, same.Documentation)
	require.NoError(t, e.leave())
}

func TestSignatureOverTheWire(t *testing.T) {
	e, uri := fielded(t, able, field)
	var s struct {
		Signatures []struct {
			Label      string
			Parameters []struct{ Label [2]int }
		}
		ActiveParameter int
	}
	e.ask("textDocument/signatureHelp", at(uri, 3, 21), &s)
	label, p := s.Signatures[0].Label, s.Signatures[0].Parameters[s.ActiveParameter].Label
	require.Contains(t, label, "row(")
	require.True(t, strings.HasPrefix(label[p[0]:p[1]], "at"), label[p[0]:p[1]])
	require.Equal(t, "null", string(e.answer(e.send("textDocument/signatureHelp", at(uri, 0, 0))).Result))
	require.NoError(t, e.leave())

	e, uri = fielded(t, `{}`, field)
	var plain struct {
		Signatures []struct{ Parameters []struct{ Label string } }
	}
	e.ask("textDocument/signatureHelp", at(uri, 3, 21), &plain)
	require.NotEmpty(t, plain.Signatures[0].Parameters[0].Label)
	require.NoError(t, e.leave())
}

func TestActionsOverTheWire(t *testing.T) {
	e, uri := fielded(t, able, bare)
	own := e.findings(uri)[0]
	params := documentParams(uri)
	params["range"] = own.Range
	sent := map[string]any{"range": own.Range, "code": own.Code, "message": own.Message, "source": "haulm", "severity": 1}
	params["context"] = map[string]any{"diagnostics": []any{sent, map[string]any{"range": own.Range, "message": "another's"}}}
	type action struct {
		Title, Kind string
		Diagnostics []map[string]any
		Edit        struct {
			DocumentChanges []struct{ Edits []protocol.TextEdit }
		}
	}
	kinds := func() (out []string, all []action) {
		e.ask("textDocument/codeAction", params, &all)
		for _, a := range all {
			out = append(out, a.Kind)
			require.NotEmpty(t, a.Edit.DocumentChanges, a.Title)
		}
		return out, all
	}
	have, all := kinds()
	require.Contains(t, have, "quickfix")
	i := slices.IndexFunc(all, func(a action) bool { return len(a.Diagnostics) > 0 })
	require.GreaterOrEqual(t, i, 0, "a fix names the finding that it mends")
	require.Equal(t, "bare-number", all[i].Diagnostics[0]["code"])
	for _, only := range []string{"source", "source.fixAll", "refactor", "quickfix"} {
		params["context"] = map[string]any{"diagnostics": []any{}, "only": []string{only}}
		have, _ = kinds()
		for _, kind := range have {
			require.True(t, kind == only || strings.HasPrefix(kind, only+"."), "%s for %s", kind, only)
		}
	}
	require.NoError(t, e.leave())
}

func TestHintsAndLenses(t *testing.T) {
	e, uri := fielded(t, able, field)
	params := documentParams(uri)
	params["range"] = span(0, 0, 9, 0)
	var hints []wire.InlayHint
	e.ask("textDocument/inlayHint", params, &hints)
	require.NotEmpty(t, hints)
	for _, h := range hints {
		require.LessOrEqual(t, len([]rune(h.Label)), 40)
		require.Nil(t, h.Tooltip)
		var resolved wire.InlayHint
		e.ask("inlayHint/resolve", h, &resolved)
		require.NotEmpty(t, resolved.Tooltip.Value)
		require.Equal(t, h.Label, resolved.Label)
	}
	for _, h := range []wire.InlayHint{
		{Label: "unknown"}, {Label: "unknown", Data: hints[0].Data}, {Label: "gone", Data: &wire.InlayHintData{URI: "file:///gone.star"}},
	} {
		var same wire.InlayHint
		e.ask("inlayHint/resolve", h, &same)
		require.Equal(t, h, same)
	}
	e.tell("workspace/didChangeConfiguration", map[string]any{"settings": map[string]any{
		"inlayHints": map[string]bool{"counts": false, "feetLeft": false, "dates": false, "flow": false, "need": false, "food": false},
	}})
	e.ask("textDocument/inlayHint", params, &hints)
	require.Empty(t, hints)

	var lenses []protocol.CodeLens
	e.ask("textDocument/codeLens", documentParams(uri), &lenses)
	require.Len(t, lenses, 1)
	require.Contains(t, lenses[0].Command.Title, "10 plants")
	require.NoError(t, e.leave())

	e, uri = fielded(t, `{}`, field)
	params = documentParams(uri)
	params["range"] = span(0, 0, 9, 0)
	e.ask("textDocument/inlayHint", params, &hints)
	require.NotEmpty(t, hints[0].Tooltip.Value, "to a client that asks no more")
	require.NoError(t, e.leave())
}

// Hints asked for right after an edit come from the evaluation before it, and the client is told to ask
// again.
func TestStaleHintsAreOwed(t *testing.T) {
	release := make(chan struct{}, 10)
	dir := workspace(t, map[string]string{entryName: field})
	e := greeted(t, able, []string{dir}, held(release))
	release <- struct{}{}
	uri := uriOf(dir + "/farm.star")
	settle(e)
	e.open(uri, field)
	for _, method := range []string{"textDocument/inlayHint", "textDocument/codeLens", "textDocument/semanticTokens/full"} {
		params := documentParams(uri)
		if method == "textDocument/inlayHint" {
			params["range"] = span(0, 0, 9, 0)
		}
		e.ask(method, params, nil)
	}
	release <- struct{}{}
	for _, wish := range []string{refreshHints, refreshLenses, refreshTokens} {
		e.until(wish, func() bool { return slices.ContainsFunc(e.asked, func(m message) bool { return m.Method == wish }) })
	}
	require.NoError(t, e.leave())
}

func TestSymbolsOverTheWire(t *testing.T) {
	e, uri := fielded(t, able, field)
	var tree []protocol.DocumentSymbol
	e.ask("textDocument/documentSymbol", documentParams(uri), &tree)
	var names []string
	var walk func([]protocol.DocumentSymbol)
	walk = func(list []protocol.DocumentSymbol) {
		for _, s := range list {
			names = append(names, s.Name)
			walk(s.Children)
		}
	}
	walk(tree)
	require.Contains(t, names, "Lower bench")
	require.Contains(t, names, "row 1")
	var found []protocol.SymbolInformation
	e.ask("workspace/symbol", map[string]any{"query": "bench"}, &found)
	require.NotEmpty(t, found)
	require.Equal(t, uri, found[0].Location.URI)
	require.NoError(t, e.leave())

	e, uri = fielded(t, `{}`, field)
	e.ask("textDocument/documentSymbol", documentParams(uri), &found)
	require.Greater(t, len(found), 2)
	require.NoError(t, e.leave())
}

func TestFormattingOverTheWire(t *testing.T) {
	e, uri := fielded(t, able, "farm(  'Test',year=2027)\n")
	params := documentParams(uri)
	params["options"] = map[string]any{"tabSize": 4, "insertSpaces": true}
	var edits []protocol.TextEdit
	e.ask("textDocument/formatting", params, &edits)
	require.NotEmpty(t, edits)
	params["range"] = span(0, 0, 0, 3)
	e.ask("textDocument/rangeFormatting", params, &edits)
	require.NotEmpty(t, edits)
	e.edit(uri, change(1, 0, 1, 0, "p = plot(\n"))
	delete(params, "range")
	params["position"] = map[string]any{"line": 2, "character": 0}
	params["ch"] = "\n"
	e.ask("textDocument/onTypeFormatting", params, &edits)
	require.NotEmpty(t, edits)
	require.NoError(t, e.leave())
}

// Tokens as a whole, in part, and as what has changed come to the same.
func TestTokensOverTheWire(t *testing.T) {
	e, uri := fielded(t, able, field)
	var full, after, part protocol.SemanticTokens
	e.ask("textDocument/semanticTokens/full", documentParams(uri), &full)
	require.NotEmpty(t, full.Data)
	require.Zero(t, len(full.Data)%5)
	params := documentParams(uri)
	params["range"] = span(0, 0, 99, 0)
	e.ask("textDocument/semanticTokens/range", params, &part)
	require.Equal(t, full.Data, part.Data)

	e.edit(uri, change(3, 0, 3, 0, "zone = 3\n"))
	e.findings(uri) // names mean the same before and after what follows
	var delta struct {
		ResultID string
		Edits    []struct {
			Start, DeleteCount int
			Data               []uint32
		}
		Data []uint32
	}
	delete(params, "range")
	params["previousResultId"] = *full.ResultID
	e.ask("textDocument/semanticTokens/full/delta", params, &delta)
	require.Len(t, delta.Edits, 1)
	d := delta.Edits[0]
	data := slices.Concat(full.Data[:d.Start], d.Data, full.Data[d.Start+d.DeleteCount:])
	e.ask("textDocument/semanticTokens/full", documentParams(uri), &after)
	require.Equal(t, after.Data, data)

	params["previousResultId"] = "never given"
	e.ask("textDocument/semanticTokens/full/delta", params, &delta)
	require.Equal(t, after.Data, delta.Data)
	require.NoError(t, e.leave())
}

func TestShapesOfTheText(t *testing.T) {
	dir := workspace(t, map[string]string{
		entryName: "load(\"./beds.star\", \"width\")\nfarm(\n    \"Test\",\n    year = 2027, access = width,\n)\n", "beds.star": "width = 30 * inch\n",
	})
	e := greeted(t, able, []string{dir})
	uri := uriOf(dir + "/farm.star")
	e.open(uri, readFile(t, dir, entryName))
	e.findings(uri)
	var folds []protocol.FoldingRange
	e.ask("textDocument/foldingRange", documentParams(uri), &folds)
	require.Contains(t, folds, protocol.FoldingRange{StartLine: 1, EndLine: folds[0].EndLine})
	var links []protocol.DocumentLink
	e.ask("textDocument/documentLink", documentParams(uri), &links)
	require.Len(t, links, 1)
	require.Equal(t, uriOf(dir+"/beds.star"), *links[0].Target)
	params := documentParams(uri)
	params["positions"] = []any{map[string]any{"line": 3, "character": 12}, map[string]any{"line": 99, "character": 0}}
	var selections []protocol.SelectionRange
	e.ask("textDocument/selectionRange", params, &selections)
	require.Len(t, selections, 2)
	depth := 0
	for s := &selections[0]; s.Parent != nil; s = s.Parent {
		depth++
		require.True(t, contains(s.Parent.Range, s.Range))
	}
	require.Greater(t, depth, 3)
	require.NoError(t, e.leave())
}

func contains(outer, inner protocol.Range) bool {
	return comparePositions(outer.Start, inner.Start) <= 0 && comparePositions(inner.End, outer.End) <= 0
}

const watered = `load("crops", "bell_pepper")
farm("Test", year = 2027)
spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
fruiting = zone("fruiting", source = spring, tape = tape)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 2 * ft)
first = row(bench, at = 4 * ft, zone = fruiting)
plant(first, bell_pepper, count = 10, spacing = 18 * inch, on = "2027-06-01")
`

// The way of the water, down and up again, also after the plan has been worked out anew.
func TestFlowOverTheWire(t *testing.T) {
	e, uri := fielded(t, able, watered)
	var items []wire.CallHierarchyItem
	e.ask("textDocument/prepareCallHierarchy", at(uri, 2, 12), &items)
	require.Len(t, items, 1)
	require.Equal(t, "spring box", items[0].Name)
	down := func(item wire.CallHierarchyItem) wire.CallHierarchyItem {
		t.Helper()
		var calls []wire.CallHierarchyCall
		e.ask("callHierarchy/outgoingCalls", map[string]any{"item": item}, &calls)
		require.Len(t, calls, 1)
		return *calls[0].To
	}
	zone := down(items[0])
	require.Equal(t, "fruiting", zone.Name)
	row := down(zone)
	e.edit(uri, change(0, 0, 0, 0, "# a line more\n"))
	e.findings(uri)
	e.edit(uri, change(0, 0, 1, 0, "")) // the item's places are right again
	e.findings(uri)
	require.NotEqual(t, row.Data.Turn, e.server.roots[keyOf(uri)].done)
	require.Contains(t, down(row).Name, "pepper")
	var up []wire.CallHierarchyCall
	e.ask("callHierarchy/incomingCalls", map[string]any{"item": row}, &up)
	require.Equal(t, "fruiting", up[0].From.Name)
	row.Name = "no such row"
	m := e.answer(e.send("callHierarchy/incomingCalls", map[string]any{"item": row}))
	require.Equal(t, "null", string(m.Result))
	require.Equal(t, "null", string(e.answer(e.send("textDocument/prepareCallHierarchy", at(uri, 1, 0))).Result))
	require.NoError(t, e.leave())
}

// A word that must read alike in several places is typed as one; a place in quotes offers files that are open
// and not saved.
func TestLinkedAndUnsaved(t *testing.T) {
	e, uri := fielded(t, able, clean+"one = zone(\"one\", together = \"noon\")\ntwo = zone(\"two\", together = \"noon\")\n")
	var linked protocol.LinkedEditingRanges
	e.ask("textDocument/linkedEditingRange", at(uri, 1, 31), &linked)
	require.Equal(t, []protocol.Range{span(1, 30, 1, 34), span(2, 30, 2, 34)}, linked.Ranges)

	e.open(strings.Replace(uri, "farm.star", "unsaved.star", 1), "width = 3\n")
	e.edit(uri, change(0, 0, 0, 0, "load(\"./\n"))
	e.findings(uri)
	var list wire.CompletionList
	e.ask("textDocument/completion", at(uri, 0, 8), &list)
	var labels []string
	for _, item := range list.Items {
		labels = append(labels, item.Label)
	}
	require.Contains(t, strings.Join(labels, " "), "unsaved.star")
	require.NoError(t, e.leave())
}
