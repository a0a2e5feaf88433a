package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

func formatting() method {
	return strictly(query("textDocument/formatting", "the one usual layout, as `haulm fmt` has it; statements that are broken stay as they are",
		func(p *protocol.DocumentFormattingParams) string { return p.TextDocument.URI },
		func(v *view, _ *protocol.DocumentFormattingParams) (any, error) {
			edits, err := v.Format()
			if err != nil {
				return nil, err
			}
			return v.textEdits(edits), nil
		}, func(c *wire.ServerCapabilities) { c.DocumentFormattingProvider = true }))
}

func rangeFormatting() method {
	return strictly(query("textDocument/rangeFormatting", "the same for the statements selected",
		func(p *protocol.DocumentRangeFormattingParams) string { return p.TextDocument.URI },
		func(v *view, p *protocol.DocumentRangeFormattingParams) (any, error) {
			return v.textEdits(v.FormatIn(v.span(p.Range))), nil
		}, func(c *wire.ServerCapabilities) { c.DocumentRangeFormattingProvider = true }))
}

func onTypeFormatting() method {
	return strictly(query("textDocument/onTypeFormatting", "a new line and a closing bracket are set in as deep as they belong",
		func(p *protocol.DocumentOnTypeFormattingParams) string { return p.TextDocument.URI },
		func(v *view, p *protocol.DocumentOnTypeFormattingParams) (any, error) {
			return v.textEdits(v.FormatTyped(v.point(p.Position), p.Ch)), nil
		}, func(c *wire.ServerCapabilities) {
			typed := feature.Typed()
			c.DocumentOnTypeFormattingProvider = &protocol.DocumentOnTypeFormattingOptions{
				FirstTriggerCharacter: typed[0], MoreTriggerCharacter: typed[1:],
			}
		}))
}
