package wire

import protocol "github.com/tliron/glsp/protocol_3_16"

// CompletionParams is textDocument/completion.
type CompletionParams struct {
	protocol.TextDocumentPositionParams
	Context struct {
		TriggerCharacter string `json:"triggerCharacter"`
	} `json:"context"`
}

// CompletionList answers it. Items is never nil.
type CompletionList struct {
	IsIncomplete bool             `json:"isIncomplete"`
	Items        []CompletionItem `json:"items"`
}

// CompletionItem is one thing that could stand at the cursor.
type CompletionItem struct {
	Label               string                      `json:"label"`
	LabelDetails        *LabelDetails               `json:"labelDetails,omitempty"`
	Kind                protocol.CompletionItemKind `json:"kind,omitempty"`
	Detail              string                      `json:"detail,omitempty"`
	Documentation       *protocol.MarkupContent     `json:"documentation,omitempty"`
	Preselect           bool                        `json:"preselect,omitempty"`
	SortText            string                      `json:"sortText,omitempty"`
	FilterText          string                      `json:"filterText,omitempty"`
	InsertTextFormat    protocol.InsertTextFormat   `json:"insertTextFormat,omitempty"`
	TextEdit            *protocol.TextEdit          `json:"textEdit,omitempty"`
	AdditionalTextEdits []protocol.TextEdit         `json:"additionalTextEdits,omitempty"`
	Data                *CompletionData             `json:"data,omitempty"`
}

// LabelDetails are words beside a label: right behind it, and at the right.
type LabelDetails struct {
	Detail      string `json:"detail,omitempty"`
	Description string `json:"description,omitempty"`
}

// CompletionData is what the server needs to say more about an item.
type CompletionData struct {
	URI string `json:"uri"`
	Key string `json:"key"`
}
