package wire

import protocol "github.com/tliron/glsp/protocol_3_16"

// InlayHintParams is textDocument/inlayHint.
type InlayHintParams struct {
	TextDocument protocol.TextDocumentIdentifier `json:"textDocument"`
	Range        protocol.Range                  `json:"range"`
}

// InlayHint is a few words that the editor shows inside the text.
type InlayHint struct {
	Position     protocol.Position       `json:"position"`
	Label        string                  `json:"label"`
	Kind         int                     `json:"kind,omitempty"` // 1 for a type, 2 for a parameter, 0 for neither
	Tooltip      *protocol.MarkupContent `json:"tooltip,omitempty"`
	PaddingLeft  bool                    `json:"paddingLeft,omitempty"`
	PaddingRight bool                    `json:"paddingRight,omitempty"`
	Data         *InlayHintData          `json:"data,omitempty"`
}

// InlayHintData is what the server needs to say how a hint was reckoned.
type InlayHintData struct {
	URI string `json:"uri"`
}

// InlayHintOptions announces hints.
type InlayHintOptions struct {
	ResolveProvider bool `json:"resolveProvider"`
}
