package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lang/source"
	"haulm/lsp/wire"
)

func references() method {
	return freshly("textDocument/references", "every place of a name, or of a word that declarations share, in all files of the plan",
		func(p *protocol.ReferenceParams) string { return p.TextDocument.URI },
		func(v *view, p *protocol.ReferenceParams) (any, error) {
			var spans []source.Span
			for _, r := range v.References(v.point(p.Position)) {
				if !r.Writes || p.Context.IncludeDeclaration {
					spans = append(spans, r.Span)
				}
			}
			return v.locations(spans), nil
		}, func(c *wire.ServerCapabilities) { c.ReferencesProvider = true })
}
