package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func hover() method {
	return query("textDocument/hover", "what a built-in, crop or finding is; what a line amounts to, with its reckoning and source; what changed there since the last commit and last year",
		positionURI, func(v *view, p *protocol.TextDocumentPositionParams) (any, error) {
			h := v.Hover(v.point(p.Position))
			if h == nil {
				return nil, nil
			}
			r := v.within(h.Span)
			return protocol.Hover{Contents: markup(h.Text, v.client.TextDocument.Hover.ContentFormat), Range: &r}, nil
		}, func(c *wire.ServerCapabilities) { c.HoverProvider = true })
}
