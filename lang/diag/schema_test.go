package diag

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"
)

func compile(t *testing.T, schema string) *jsonschema.Schema {
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(schema))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("urn:test", doc))
	s, err := c.Compile("urn:test")
	require.NoError(t, err)
	return s
}

func requireValid(t *testing.T, schema string, text []byte) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	require.NoError(t, compile(t, schema).Validate(doc))
}

// sarifParts is a schema of the parts of SARIF 2.1.0 that are written. Source: memory of the OASIS
// schema's names, types, required members and enumerations.
func sarifParts(t *testing.T) string {
	text, err := os.ReadFile("testdata/sarif-parts.schema.json")
	require.NoError(t, err)
	return string(text)
}

func TestSchemaRefuses(t *testing.T) {
	s := compile(t, Schema)
	good := `{"code":"bare-number","severity":"error","message":"m","file":"farm.star","label":"",` +
		`"range":{"start":{"line":1,"column":1},"end":{"line":1,"column":2}},` +
		`"related":[],"values":[],"help":"","fixes":[]}`
	for name, change := range map[string][2]string{
		"zero column":       {`"column":1`, `"column":0`},
		"null slice":        {`"related":[]`, `"related":null`},
		"unknown severity":  {`"error"`, `"fatal"`},
		"missing label":     {`"label":"",`, ``},
		"extra member":      {`"help":""`, `"help":"","x":1`},
		"code not a phrase": {`"bare-number"`, `"Bare Number"`},
	} {
		t.Run(name, func(t *testing.T) {
			for _, text := range []string{good, strings.Replace(good, change[0], change[1], 1)} {
				var doc any
				require.NoError(t, json.Unmarshal([]byte(`{"version":1,"findings":[`+text+`]}`), &doc))
				if text == good {
					require.NoError(t, s.Validate(doc))
				} else {
					require.Error(t, s.Validate(doc))
				}
			}
		})
	}
}

func TestNothingFound(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteJSON(&b, nil))
	requireValid(t, Schema, b.Bytes())
	require.JSONEq(t, `{"version":1,"findings":[]}`, b.String())

	b.Reset()
	require.NoError(t, WriteSARIF(&b, nil))
	requireValid(t, sarifParts(t), b.Bytes())

	b.Reset()
	require.NoError(t, WriteGitHub(&b, nil))
	require.Empty(t, b.String())

	require.NoError(t, WriteText(&b, nil, TextOptions{}))
	require.Equal(t, "no findings\n", b.String())
}
