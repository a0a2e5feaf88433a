package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func definition() method {
	return query("textDocument/definition", "where a name gets its meaning, through loads, in any file of the plan",
		positionURI, func(v *view, p *protocol.TextDocumentPositionParams) (any, error) {
			return v.locations(v.Definition(v.point(p.Position))), nil
		}, func(c *wire.ServerCapabilities) { c.DefinitionProvider = true })
}
