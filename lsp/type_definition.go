package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func typeDefinition() method {
	return query("textDocument/typeDefinition", "the call that declared what a name stands for, through helpers and loops",
		positionURI, func(v *view, p *protocol.TextDocumentPositionParams) (any, error) {
			return v.locations(v.TypeDefinition(v.point(p.Position))), nil
		}, func(c *wire.ServerCapabilities) { c.TypeDefinitionProvider = true })
}
