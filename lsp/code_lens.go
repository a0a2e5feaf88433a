package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func codeLens() method {
	return strictly(query("textDocument/codeLens", "the totals of each plot and zone over the line that declares it, and what changed there since the last commit and last year",
		func(p *protocol.CodeLensParams) string { return p.TextDocument.URI },
		func(v *view, _ *protocol.CodeLensParams) (any, error) {
			v.owe(refreshLenses)
			list := []protocol.CodeLens{}
			for _, l := range v.Lenses() {
				// Words with nothing to do behind them: the empty command is what editors take for that.
				list = append(list, protocol.CodeLens{Range: v.within(l.Span), Command: &protocol.Command{Title: l.Title}})
			}
			return list, nil
		}, func(c *wire.ServerCapabilities) {
			no := false
			c.CodeLensProvider = &protocol.CodeLensOptions{ResolveProvider: &no}
		}))
}
