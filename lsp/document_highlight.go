package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func documentHighlight() method {
	return strictly(query("textDocument/documentHighlight", "the same within the file, told apart by where the name gets its meaning",
		positionURI, func(v *view, p *protocol.TextDocumentPositionParams) (any, error) {
			list := []protocol.DocumentHighlight{}
			for _, r := range v.Highlights(v.point(p.Position)) {
				kind := protocol.DocumentHighlightKindRead
				if r.Writes {
					kind = protocol.DocumentHighlightKindWrite
				}
				list = append(list, protocol.DocumentHighlight{Range: v.within(r.Span), Kind: &kind})
			}
			return list, nil
		}, func(c *wire.ServerCapabilities) { c.DocumentHighlightProvider = true }))
}
