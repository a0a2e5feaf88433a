package lsp

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"
)

// shapes are the protocol's messages as testdata/protocol.schema.json describes them.
type shapes struct {
	mu       sync.Mutex
	compiler *jsonschema.Compiler
	known    map[string]json.RawMessage
}

var protocolShapes = sync.OnceValues(func() (*shapes, error) {
	text, err := os.ReadFile("testdata/protocol.schema.json")
	if err != nil {
		return nil, err
	}
	var doc struct{ Properties map[string]json.RawMessage }
	if err := json.Unmarshal(text, &doc); err != nil {
		return nil, err
	}
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	return &shapes{compiler: c, known: doc.Properties}, c.AddResource("protocol.json", schema)
})

// conforms reports what about a method's "params" or "result" is not as the protocol has it.
func conforms(t testing.TB, method, what string, value json.RawMessage) {
	t.Helper()
	s, err := protocolShapes()
	require.NoError(t, err)
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.known[method] == nil {
		t.Errorf("the protocol has no method %s", method)
		return
	}
	if !bytes.Contains(s.known[method], []byte(`"`+what+`":`)) { // params of shutdown, result of a notification
		if string(value) != "null" && string(value) != "{}" {
			t.Errorf("%s has no %s, but %s was sent", method, what, value)
		}
		return
	}
	pointer := strings.NewReplacer("~", "~0", "/", "~1").Replace(method)
	schema, err := s.compiler.Compile("protocol.json#/properties/" + pointer + "/properties/" + what)
	require.NoError(t, err)
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(value))
	require.NoError(t, err)
	if err := schema.Validate(v); err != nil {
		t.Errorf("%s of %s: %v\n%.500s", what, method, err, value)
	}
}

// What the schema is there to find, it finds.
func TestShapesRefuse(t *testing.T) {
	for _, c := range []struct{ method, what, value string }{
		{"textDocument/publishDiagnostics", "params", `{"uri": "file:///a", "diagnostics": null}`},
		{"textDocument/publishDiagnostics", "params", `{"uri": "file:///a"}`},
		{"textDocument/publishDiagnostics", "params", `{"uri": "file:///a", "diagnostics": [], "extra": 1}`},
		{"textDocument/hover", "params", `{"textDocument": {"uri": "file:///a"}, "position": {"line": 1.5, "character": 0}}`},
		{"textDocument/diagnostic", "result", `{"kind": "full"}`},
		{"textDocument/completion", "result", `{"isIncomplete": false, "items": null}`},
		{"shutdown", "result", `{}`},
		{"no/such", "params", `{}`},
	} {
		probe := &quiet{TB: t}
		conforms(probe, c.method, c.what, json.RawMessage(c.value))
		require.True(t, probe.failed, "%s %s %s", c.method, c.what, c.value)
	}
	conforms(t, "textDocument/publishDiagnostics", "params", json.RawMessage(`{"uri": "file:///a", "diagnostics": []}`))
	conforms(t, "shutdown", "result", json.RawMessage(`null`))
}

// quiet notes a failure instead of showing it.
type quiet struct {
	testing.TB
	failed bool
}

func (q *quiet) Errorf(string, ...any) { q.failed = true }
