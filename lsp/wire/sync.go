package wire

import protocol "github.com/tliron/glsp/protocol_3_16"

// DidChangeParams is textDocument/didChange.
type DidChangeParams struct {
	TextDocument protocol.VersionedTextDocumentIdentifier `json:"textDocument"`
	Changes      []Change                                 `json:"contentChanges"`
}

// Change replaces the text of Range, or the whole text when there is none.
type Change struct {
	Range *protocol.Range `json:"range"`
	Text  *string         `json:"text"` // nil only in a malformed message
}

// CancelParams is $/cancelRequest; the id is a number or a text.
type CancelParams struct {
	ID any `json:"id"`
}
