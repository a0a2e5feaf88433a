package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func selectionRange() method {
	return strictly(query("textDocument/selectionRange", "word, quantity, argument, call, statement, block, file",
		func(p *protocol.SelectionRangeParams) string { return p.TextDocument.URI },
		func(v *view, p *protocol.SelectionRangeParams) (any, error) {
			list := []protocol.SelectionRange{}
			for _, at := range p.Positions {
				list = append(list, v.selection(at))
			}
			return list, nil
		}, func(c *wire.ServerCapabilities) { c.SelectionRangeProvider = true }))
}

// selection is the innermost stretch around a place, with those around it as its parents: an answer for
// every place, if only the empty one there.
func (v *view) selection(at protocol.Position) protocol.SelectionRange {
	point := v.point(at)
	spans := v.Selection(point)
	var outer *protocol.SelectionRange
	for i := len(spans) - 1; i >= 0; i-- {
		outer = &protocol.SelectionRange{Range: v.within(spans[i]), Parent: outer}
	}
	if outer == nil {
		here := v.enc.Position(v.File, point)
		outer = &protocol.SelectionRange{Range: protocol.Range{Start: here, End: here}}
	}
	return *outer
}
