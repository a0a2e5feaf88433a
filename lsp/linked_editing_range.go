package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func linkedEditingRange() method {
	return strictly(query("textDocument/linkedEditingRange", "words that must read alike are typed as one",
		func(p *protocol.LinkedEditingRangeParams) string { return p.TextDocument.URI },
		func(v *view, p *protocol.LinkedEditingRangeParams) (any, error) {
			spans := v.Linked(v.point(p.Position))
			if len(spans) == 0 {
				return nil, nil
			}
			return protocol.LinkedEditingRanges{Ranges: v.ranges(spans)}, nil
		}, func(c *wire.ServerCapabilities) { c.LinkedEditingRangeProvider = true }))
}
