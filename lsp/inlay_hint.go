package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

func inlayHint() method {
	return strictly(query("textDocument/inlayHint", "what lines amount to, each kind switchable; the reckoning on hover; marked where the line has changed since",
		func(p *wire.InlayHintParams) string { return p.TextDocument.URI },
		func(v *view, p *wire.InlayHintParams) (any, error) {
			v.owe(refreshHints)
			list := []wire.InlayHint{}
			show := func(k feature.HintKind) bool { return v.settings.hints[string(k)] }
			for _, h := range v.Hints(v.span(p.Range), show) {
				list = append(list, wire.InlayHint{
					Position: v.enc.Position(v.File, h.At), Label: h.Label, PaddingLeft: true,
					Tooltip: markup(h.Tip, []string{string(protocol.MarkupKindMarkdown)}),
				})
			}
			return list, nil
		}, func(c *wire.ServerCapabilities) { c.InlayHintProvider = &wire.InlayHintOptions{} }))
}
