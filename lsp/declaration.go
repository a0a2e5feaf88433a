package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func declaration() method {
	return freshly("textDocument/declaration", "from a planting to its place in the plan of the year before",
		positionURI, func(v *view, p *protocol.TextDocumentPositionParams) (any, error) {
			return v.locations(v.Declaration(v.point(p.Position))), nil
		}, func(c *wire.ServerCapabilities) { c.DeclarationProvider = true })
}
