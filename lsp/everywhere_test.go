package lsp

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/sourcegraph/jsonrpc2"
	"github.com/stretchr/testify/require"
)

// Every method, at random places of whole and of broken text, in both encodings, answers as the protocol has
// it and never with a fault of its own.
func TestEveryMethodEverywhere(t *testing.T) {
	positions := 40
	text := seasonText(t, "farm.star") + seasonText(t, "fields/lower_bench.star")
	broken := text[:len(text)/2] + "\nplant(first, \"🌽é\nrow(((\r\n" + text[len(text)/2:]
	for name, capabilities := range map[string]string{"able": able, "plain": `{}`} {
		for kind, text := range map[string]string{"whole": text, "broken": broken, "crlf": strings.ReplaceAll(text, "\n", "\r\n"), "empty": ""} {
			t.Run(name+" "+kind, func(t *testing.T) {
				e := greeted(t, capabilities, []string{filepath.Join("..", "examples", "season")})
				uri := "file:///nowhere/farm.star"
				e.open(uri, text)
				e.findings(uri)
				random := rand.New(rand.NewPCG(1, 2))
				lines := strings.Count(text, "\n") + 2
				for i := range positions {
					askEverything(e, uri, random.IntN(lines), random.IntN(90))
					if i%20 == 19 { // from then on the evaluation may be older than the text
						e.edit(uri, change(random.IntN(lines), random.IntN(40), random.IntN(lines), random.IntN(40), "é("))
					}
				}
				require.NoError(t, e.leave())
			})
		}
	}
}

func askEverything(e *editor, uri string, line, char int) {
	e.t.Helper()
	here := func(more map[string]any) map[string]any {
		p := at(uri, line, char)
		for k, v := range more {
			p[k] = v
		}
		return p
	}
	near := func(more map[string]any) map[string]any {
		p := documentParams(uri)
		p["range"] = span(uint32(line), uint32(char), uint32(line+3), uint32(char))
		for k, v := range more {
			p[k] = v
		}
		return p
	}
	layout := map[string]any{"tabSize": 4, "insertSpaces": true}
	var ids []string
	for method, params := range map[string]any{
		"textDocument/hover": here(nil), "textDocument/completion": here(nil), "textDocument/signatureHelp": here(nil),
		"textDocument/declaration": here(nil), "textDocument/definition": here(nil), "textDocument/typeDefinition": here(nil), "textDocument/documentHighlight": here(nil),
		"textDocument/references":    here(map[string]any{"context": map[string]any{"includeDeclaration": true}}),
		"textDocument/prepareRename": here(nil), "textDocument/rename": here(map[string]any{"newName": "other"}),
		"textDocument/linkedEditingRange": here(nil), "textDocument/prepareCallHierarchy": here(nil),
		"textDocument/onTypeFormatting":     here(map[string]any{"ch": "\n", "options": layout}),
		"textDocument/inlayHint":            near(nil),
		"textDocument/codeAction":           near(map[string]any{"context": map[string]any{"diagnostics": []any{}}}),
		"textDocument/semanticTokens/range": near(nil), "textDocument/rangeFormatting": near(map[string]any{"options": layout}),
		"textDocument/documentSymbol": documentParams(uri), "textDocument/codeLens": documentParams(uri),
		"textDocument/foldingRange": documentParams(uri), "textDocument/documentLink": documentParams(uri),
		"textDocument/semanticTokens/full": documentParams(uri),
		"textDocument/selectionRange": map[string]any{
			"textDocument": map[string]any{"uri": uri}, "positions": []any{map[string]any{"line": line, "character": char}},
		},
		"workspace/symbol": map[string]any{"query": "be"},
	} {
		ids = append(ids, e.send(method, params))
	}
	for _, id := range ids {
		if m := e.answer(id); m.Error != nil {
			require.NotContains(e.t, []int{jsonrpc2.CodeInternalError, jsonrpc2.CodeInvalidParams}, m.Error.Code, "%s at %d:%d: %s",
				e.methods[id], line, char, m.Error.Message)
		}
	}
}

func seasonText(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "examples", "season", filepath.FromSlash(name)))
	require.NoError(t, err)
	return string(text)
}
