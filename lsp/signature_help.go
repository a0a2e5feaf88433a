package lsp

import (
	"unicode/utf16"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

func signatureHelp() method {
	return query("textDocument/signatureHelp", "the arguments of the call being written, and which one the cursor is at",
		positionURI, func(v *view, p *protocol.TextDocumentPositionParams) (any, error) {
			sig := v.Signature(v.point(p.Position))
			if sig == nil {
				return nil, nil
			}
			return signatureOf(sig, v.client.TextDocument.SignatureHelp.SignatureInformation), nil
		}, func(c *wire.ServerCapabilities) {
			c.SignatureHelpProvider = &protocol.SignatureHelpOptions{TriggerCharacters: []string{"(", ","}}
		})
}

func signatureOf(sig *feature.Signature, can wire.SignatureSupport) protocol.SignatureHelp {
	out := protocol.SignatureInformation{Label: sig.Label, Parameters: []protocol.ParameterInformation{}}
	if doc := markup(sig.Doc, can.DocumentationFormat); doc != nil {
		out.Documentation = doc
	}
	for _, p := range sig.Params {
		info := protocol.ParameterInformation{Label: sig.Label[p.Start:p.End]}
		if can.ParameterInformation.LabelOffsetSupport {
			start := units16(sig.Label[:p.Start])
			info.Label = [2]uint32{start, start + units16(sig.Label[p.Start:p.End])}
		}
		if doc := markup(p.Doc, can.DocumentationFormat); doc != nil {
			info.Documentation = doc
		}
		out.Parameters = append(out.Parameters, info)
	}
	active, first := uint32(len(sig.Params)), uint32(0) // past the last: none
	if sig.Active >= 0 {
		active = uint32(sig.Active)
	}
	return protocol.SignatureHelp{
		Signatures: []protocol.SignatureInformation{out}, ActiveSignature: &first, ActiveParameter: &active,
	}
}

// units16 is the length of a text in UTF-16, in which places inside labels are counted whatever was agreed
// on for documents.
func units16(text string) uint32 { return uint32(len(utf16.Encode([]rune(text)))) }
