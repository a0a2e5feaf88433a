package lsp

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/sourcegraph/jsonrpc2"
	"github.com/stretchr/testify/require"

	"haulm/lsp/wire"
)

const ground = `farm("Test", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
`

// clean is a plan without findings.
const clean = `farm("Test", year = 2027)
`

// bare is a plan with one finding, of code bare-number, in its third line from column 24 to 25.
const bare = ground + "first = row(bench, at = 4)\n"

// at is a request's document and place.
func at(uri string, line, char int) map[string]any {
	return map[string]any{"textDocument": map[string]any{"uri": uri}, "position": map[string]any{"line": line, "character": char}}
}

func TestLifeCycle(t *testing.T) {
	e := newEditor(t, Config{Version: "1.2.3"})
	require.Equal(t, wire.CodeNotInitialized, e.refused("textDocument/hover", at("file:///farm.star", 0, 0)).Code)
	require.Equal(t, wire.CodeNotInitialized, e.refused("shutdown", nil).Code)
	e.open("file:///early/farm.star", bare) // not heard

	result := e.greet(`{}`)
	require.Equal(t, "haulm", result.ServerInfo.Name)
	require.Equal(t, "1.2.3", result.ServerInfo.Version)
	require.Equal(t, `"utf-16"`, string(result.Capabilities["positionEncoding"]))
	require.Empty(t, e.server.docs)

	again := e.refused("initialize", map[string]any{"processId": nil, "rootUri": nil, "capabilities": map[string]any{}})
	require.Equal(t, jsonrpc2.CodeInvalidRequest, again.Code)

	e.ask("shutdown", nil, nil)
	require.Equal(t, jsonrpc2.CodeInvalidRequest, e.refused("textDocument/hover", at("file:///farm.star", 0, 0)).Code)
	e.tell("exit", nil)
	require.NoError(t, e.end())
}

func TestLeavingWithoutAWord(t *testing.T) {
	t.Run("exit without shutdown", func(t *testing.T) {
		e := greeted(t, `{}`, nil)
		e.tell("exit", nil)
		require.ErrorIs(t, e.end(), ErrNoShutdown)
	})
	t.Run("exit before initialize", func(t *testing.T) {
		e := newEditor(t, Config{})
		e.tell("exit", nil)
		require.ErrorIs(t, e.end(), ErrNoShutdown)
	})
	t.Run("the pipe breaks", func(t *testing.T) {
		e := greeted(t, `{}`, nil)
		e.pipe.Close()
		require.ErrorIs(t, e.end(), ErrNoShutdown)
	})
	t.Run("the pipe breaks after shutdown", func(t *testing.T) {
		e := greeted(t, `{}`, nil)
		e.ask("shutdown", nil, nil)
		e.pipe.Close()
		require.NoError(t, e.end())
	})
}

func TestUnknownMethods(t *testing.T) {
	e := greeted(t, `{}`, nil)
	for _, name := range []string{"textDocument/implementation", "textDocument/willSaveWaitUntil", "textDocument/didOpen", "no/such", "$/optional"} {
		e.raw(`{"jsonrpc":"2.0","id":"u","method":"` + name + `","params":{}}`)
		m := e.answer(`"u"`)
		require.Equal(t, jsonrpc2.CodeMethodNotFound, m.Error.Code, name)
		require.Contains(t, m.Error.Message, name)
		e.mu.Lock()
		delete(e.answers, `"u"`)
		e.mu.Unlock()
	}
	e.raw(`{"jsonrpc":"2.0","method":"no/such"}`)
	e.raw(`{"jsonrpc":"2.0","method":"$/optional","params":[1]}`)
	require.NoError(t, e.leave())
}

func TestBadParameters(t *testing.T) {
	e := greeted(t, `{}`, nil)
	for _, params := range []string{`null`, `{}`, `[]`, `3`, `{"textDocument": 1}`, `{"textDocument": {"uri": "file:///not/open.star"}}`, `{"textDocument": {"uri": ":"}}`} {
		e.raw(`{"jsonrpc":"2.0","id":77,"method":"textDocument/hover","params":` + params + `}`)
		m := e.answer("77")
		require.Equal(t, jsonrpc2.CodeInvalidParams, m.Error.Code, params)
		e.mu.Lock()
		delete(e.answers, "77")
		e.mu.Unlock()
	}
	e.raw(`{"jsonrpc":"2.0","method":"textDocument/didOpen","params":{"textDocument":{"uri":7}}}`)
	e.logged("textDocument/didOpen: ")
	e.raw(`{"jsonrpc":"2.0","method":"textDocument/didChange"}`)
	e.logged("textDocument/didChange:  is not open")
	require.NoError(t, e.leave())
}

// instead serves a method in a way of the test's own.
func instead(name string, work func(ctx context.Context) (any, error)) func(*server) {
	return func(s *server) {
		m := request(name, "", func(*server, *json.RawMessage) (task, error) { return task{work: work}, nil })
		s.methods[name] = &m
	}
}

func TestPanicIsOneFailedRequest(t *testing.T) {
	dir := workspace(t, map[string]string{entryName: ground})
	uri := uriOf(dir + "/farm.star")
	for name, prepare := range map[string]func(*server){
		"working": instead("textDocument/hover", func(context.Context) (any, error) { panic("the ground is frozen") }),
		"picking": func(s *server) {
			m := request("textDocument/hover", "", func(*server, *json.RawMessage) (task, error) { panic("the ground is frozen") })
			s.methods["textDocument/hover"] = &m
		},
	} {
		t.Run(name, func(t *testing.T) {
			e := greeted(t, `{}`, []string{dir}, prepare)
			require.Equal(t, jsonrpc2.CodeInternalError, e.refused("textDocument/hover", at(uri, 0, 0)).Code)
			e.logged("textDocument/hover: this should not happen; please report it with the plan at hand: the ground is frozen")
			e.open(uri, bare)
			require.Equal(t, []string{"bare-number"}, codes(e.findings(uri)))
			require.NoError(t, e.leave())
		})
	}
	t.Run("notification", func(t *testing.T) {
		e := greeted(t, `{}`, []string{dir}, func(s *server) {
			m := notification("$/setTrace", "", func(*server, *json.RawMessage) error { panic("the ground is frozen") })
			s.methods["$/setTrace"] = &m
		})
		e.tell("$/setTrace", map[string]any{"value": "off"})
		e.logged("$/setTrace: this should not happen")
		require.NoError(t, e.leave())
	})
}

func TestCancel(t *testing.T) {
	waiting := make(chan struct{}, 10)
	e := greeted(t, `{}`, nil, instead("textDocument/hover", func(ctx context.Context) (any, error) {
		waiting <- struct{}{}
		<-ctx.Done()
		return "too late", nil
	}))
	id := e.send("textDocument/hover", at("file:///farm.star", 0, 0))
	<-waiting
	e.tell("$/cancelRequest", map[string]any{"id": json.RawMessage(id)})
	require.Equal(t, wire.CodeRequestCancelled, e.answer(id).Error.Code)

	e.raw(`{"jsonrpc":"2.0","id":"by name","method":"textDocument/hover","params":{}}`)
	<-waiting
	e.tell("$/cancelRequest", map[string]any{"id": "by name"})
	require.Equal(t, wire.CodeRequestCancelled, e.answer(`"by name"`).Error.Code)

	e.tell("$/cancelRequest", map[string]any{"id": 12345}) // long gone or never there
	require.NoError(t, e.leave())
}

// A request that holds its slot for ever holds up no other, as long as there are slots; one that waits for a
// slot can be cancelled.
func TestRequestsWorkBesideEachOther(t *testing.T) {
	release := make(chan struct{})
	e := greeted(t, `{}`, nil, instead("textDocument/hover", func(ctx context.Context) (any, error) {
		select {
		case <-release:
		case <-ctx.Done():
		}
		return nil, nil
	}))
	var ids []string
	for range cap(e.server.slots) {
		ids = append(ids, e.send("textDocument/hover", at("file:///farm.star", 0, 0)))
	}
	late := e.send("textDocument/hover", at("file:///farm.star", 0, 0))
	e.tell("$/cancelRequest", map[string]any{"id": json.RawMessage(late)})
	require.Equal(t, wire.CodeRequestCancelled, e.answer(late).Error.Code)
	close(release)
	for _, id := range ids {
		require.Nil(t, e.answer(id).Error)
	}
	require.NoError(t, e.leave())
}

func TestTooManyRequests(t *testing.T) {
	e := greeted(t, `{}`, nil, instead("textDocument/hover", func(ctx context.Context) (any, error) {
		<-ctx.Done()
		return nil, nil
	}))
	var last string
	for range maxRunning + 1 {
		last = e.send("textDocument/hover", at("file:///farm.star", 0, 0))
	}
	require.Equal(t, wire.CodeServerCancelled, e.answer(last).Error.Code)
	e.raw(`{"jsonrpc":"2.0","id":1.0e0,"method":"textDocument/hover","params":{}}`)
	require.Equal(t, jsonrpc2.CodeInvalidRequest, e.answer("1.0e0").Error.Code)
	e.pipe.Close()
	require.ErrorIs(t, e.end(), ErrNoShutdown)
}

func TestSameIDTwice(t *testing.T) {
	e := greeted(t, `{}`, nil, instead("textDocument/hover", func(ctx context.Context) (any, error) {
		<-ctx.Done()
		return nil, nil
	}))
	e.raw(`{"jsonrpc":"2.0","id":50,"method":"textDocument/hover","params":{}}`)
	e.raw(`{"jsonrpc":"2.0","id":50,"method":"textDocument/hover","params":{}}`)
	require.Equal(t, jsonrpc2.CodeInvalidRequest, e.answer("50").Error.Code)
	require.NoError(t, e.leave())
}

func TestResultThatCannotBeWritten(t *testing.T) {
	e := greeted(t, `{}`, nil, instead("textDocument/hover", func(context.Context) (any, error) { return func() {}, nil }))
	require.Equal(t, wire.CodeRequestFailed, e.refused("textDocument/hover", at("file:///farm.star", 0, 0)).Code)
	require.NoError(t, e.leave())
}

// capabilityMethods are the methods that the protocol ties to each capability.
var capabilityMethods = map[string][]string{
	"textDocumentSync": {"textDocument/didOpen", "textDocument/didChange", "textDocument/didSave", "textDocument/didClose"},
	"workspace":        {"workspace/didChangeWorkspaceFolders"}, "positionEncoding": nil,
	"diagnosticProvider": {"textDocument/diagnostic", "workspace/diagnostic"},
	"completionProvider": {"textDocument/completion", "completionItem/resolve"},
	"hoverProvider":      {"textDocument/hover"}, "signatureHelpProvider": {"textDocument/signatureHelp"},
	"declarationProvider": {"textDocument/declaration"}, "definitionProvider": {"textDocument/definition"}, "typeDefinitionProvider": {"textDocument/typeDefinition"},
	"referencesProvider": {"textDocument/references"}, "documentHighlightProvider": {"textDocument/documentHighlight"},
	"renameProvider":             {"textDocument/rename", "textDocument/prepareRename"},
	"linkedEditingRangeProvider": {"textDocument/linkedEditingRange"},
	"documentSymbolProvider":     {"textDocument/documentSymbol"}, "workspaceSymbolProvider": {"workspace/symbol"},
	"documentFormattingProvider":       {"textDocument/formatting"},
	"documentRangeFormattingProvider":  {"textDocument/rangeFormatting"},
	"documentOnTypeFormattingProvider": {"textDocument/onTypeFormatting"},
	"codeActionProvider":               {"textDocument/codeAction"}, "codeLensProvider": {"textDocument/codeLens"},
	"inlayHintProvider":      {"textDocument/inlayHint", "inlayHint/resolve"},
	"semanticTokensProvider": {"textDocument/semanticTokens/full", "textDocument/semanticTokens/full/delta", "textDocument/semanticTokens/range"},
	"foldingRangeProvider":   {"textDocument/foldingRange"}, "selectionRangeProvider": {"textDocument/selectionRange"},
	"documentLinkProvider":  {"textDocument/documentLink"},
	"callHierarchyProvider": {"textDocument/prepareCallHierarchy", "callHierarchy/incomingCalls", "callHierarchy/outgoingCalls"},
}

// unannounced are served to every client.
var unannounced = []string{
	"initialize", "initialized", "shutdown", "exit", "$/cancelRequest", "$/setTrace", "workspace/didChangeConfiguration",
	"workspace/didChangeWatchedFiles",
}

// What is announced is served, and what is served is announced.
func TestCapabilities(t *testing.T) {
	e := newEditor(t, Config{})
	var announced []string
	for name := range e.greet(`{}`).Capabilities {
		methods, known := capabilityMethods[name]
		require.True(t, known, name)
		announced = append(announced, methods...)
	}
	require.NoError(t, e.leave())
	var served []string
	for _, m := range methodList() {
		served = append(served, m.name)
		require.NotEmpty(t, m.about, m.name)
		require.True(t, (m.take == nil) != (m.ask == nil), "%s is a request or a notification", m.name)
	}
	require.ElementsMatch(t, append(announced, unannounced...), served)
}
