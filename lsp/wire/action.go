package wire

import (
	"encoding/json"

	protocol "github.com/tliron/glsp/protocol_3_16"
)

// CodeActionParams is textDocument/codeAction. The findings are kept as the client sent them: what it gets
// back must be what it knows.
type CodeActionParams struct {
	TextDocument protocol.TextDocumentIdentifier `json:"textDocument"`
	Range        protocol.Range                  `json:"range"`
	Context      struct {
		Diagnostics []json.RawMessage `json:"diagnostics"`
		Only        []string          `json:"only"`
	} `json:"context"`
}

// CodeAction is a change of the text that is offered.
type CodeAction struct {
	Title       string                  `json:"title"`
	Kind        string                  `json:"kind,omitempty"`
	Diagnostics []json.RawMessage       `json:"diagnostics,omitempty"`
	IsPreferred bool                    `json:"isPreferred,omitempty"`
	Edit        *protocol.WorkspaceEdit `json:"edit,omitempty"`
}

// CallHierarchyParams is callHierarchy/incomingCalls and callHierarchy/outgoingCalls.
type CallHierarchyParams struct {
	Item CallHierarchyItem `json:"item"`
}

// CallHierarchyItem is a thing on the way of the water.
type CallHierarchyItem struct {
	Name           string              `json:"name"`
	Kind           protocol.SymbolKind `json:"kind"`
	Detail         string              `json:"detail,omitempty"`
	URI            string              `json:"uri"`
	Range          protocol.Range      `json:"range"`
	SelectionRange protocol.Range      `json:"selectionRange"`
	Data           CallHierarchyData   `json:"data"`
}

// CallHierarchyData says which declaration of which evaluation an item is.
type CallHierarchyData struct {
	Order int    `json:"order"`
	Turn  uint64 `json:"turn"`
}

// CallHierarchyCall is one step along the water: From of an incoming call, To of an outgoing one.
type CallHierarchyCall struct {
	From       *CallHierarchyItem `json:"from,omitempty"`
	To         *CallHierarchyItem `json:"to,omitempty"`
	FromRanges []protocol.Range   `json:"fromRanges"`
}
