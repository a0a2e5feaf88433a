package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func documentLink() method {
	return strictly(query("textDocument/documentLink", "the files that are loaded can be opened",
		func(p *protocol.DocumentLinkParams) string { return p.TextDocument.URI },
		func(v *view, _ *protocol.DocumentLinkParams) (any, error) {
			list := []protocol.DocumentLink{}
			for _, l := range v.Links() {
				key := (&root{dir: v.dir, key: v.key}).at(l.Path)
				target := v.uri(key, v.docs[key])
				list = append(list, protocol.DocumentLink{Range: v.within(l.Span), Target: &target})
			}
			return list, nil
		}, func(c *wire.ServerCapabilities) { c.DocumentLinkProvider = &protocol.DocumentLinkOptions{} }))
}
