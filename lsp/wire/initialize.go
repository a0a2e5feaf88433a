package wire

import (
	"encoding/json"

	protocol "github.com/tliron/glsp/protocol_3_16"
)

// InitializeParams is the client's first message, as far as the server looks at it. What it does not look
// at is not decoded, so that a client's slip there is no reason to refuse it.
type InitializeParams struct {
	RootURI          *string                    `json:"rootUri"`
	RootPath         *string                    `json:"rootPath"`
	WorkspaceFolders []protocol.WorkspaceFolder `json:"workspaceFolders"`
	Options          json.RawMessage            `json:"initializationOptions"`
	Capabilities     ClientCapabilities         `json:"capabilities"`
}

// ClientCapabilities is what the server asks of its client.
type ClientCapabilities struct {
	General struct {
		PositionEncodings []Encoding `json:"positionEncodings"`
	} `json:"general"`
	Window struct {
		WorkDoneProgress bool `json:"workDoneProgress"`
	} `json:"window"`
	Workspace struct {
		Configuration bool `json:"configuration"`
		WorkspaceEdit struct {
			DocumentChanges bool `json:"documentChanges"`
		} `json:"workspaceEdit"`
		DidChangeWatchedFiles  Dynamic `json:"didChangeWatchedFiles"`
		DidChangeConfiguration Dynamic `json:"didChangeConfiguration"`
		Diagnostics            Refresh `json:"diagnostics"`
		InlayHint              Refresh `json:"inlayHint"`
		CodeLens               Refresh `json:"codeLens"`
		SemanticTokens         Refresh `json:"semanticTokens"`
	} `json:"workspace"`
	TextDocument struct {
		PublishDiagnostics DiagnosticSupport `json:"publishDiagnostics"`
		Diagnostic         *PullSupport      `json:"diagnostic"`
		Completion         struct {
			CompletionItem ItemSupport `json:"completionItem"`
		} `json:"completion"`
		Hover struct {
			ContentFormat []string `json:"contentFormat"`
		} `json:"hover"`
		SignatureHelp struct {
			SignatureInformation SignatureSupport `json:"signatureInformation"`
		} `json:"signatureHelp"`
		InlayHint struct {
			ResolveSupport struct {
				Properties []string `json:"properties"`
			} `json:"resolveSupport"`
		} `json:"inlayHint"`
		DocumentSymbol struct {
			Hierarchical bool `json:"hierarchicalDocumentSymbolSupport"`
		} `json:"documentSymbol"`
	} `json:"textDocument"`
}

// ItemSupport is what a client can do with a completion.
type ItemSupport struct {
	SnippetSupport      bool     `json:"snippetSupport"`
	LabelDetailsSupport bool     `json:"labelDetailsSupport"`
	DocumentationFormat []string `json:"documentationFormat"`
}

// SignatureSupport is what a client can show of a signature.
type SignatureSupport struct {
	DocumentationFormat  []string `json:"documentationFormat"`
	ParameterInformation struct {
		LabelOffsetSupport bool `json:"labelOffsetSupport"`
	} `json:"parameterInformation"`
}

// Dynamic tells whether a client takes registrations after initialization.
type Dynamic struct {
	DynamicRegistration bool `json:"dynamicRegistration"`
}

// Refresh tells whether a client asks again when it is told that what it has is old.
type Refresh struct {
	RefreshSupport bool `json:"refreshSupport"`
}

// DiagnosticSupport is what a client can show of a finding.
type DiagnosticSupport struct {
	RelatedInformation     bool `json:"relatedInformation"`
	CodeDescriptionSupport bool `json:"codeDescriptionSupport"`
	TagSupport             *struct {
		ValueSet []protocol.DiagnosticTag `json:"valueSet"`
	} `json:"tagSupport"`
}

// PullSupport is there when a client asks for diagnostics instead of waiting for them.
type PullSupport struct {
	RelatedDocumentSupport bool `json:"relatedDocumentSupport"`
}

// InitializeResult is the server's answer.
type InitializeResult struct {
	Capabilities ServerCapabilities `json:"capabilities"`
	ServerInfo   ServerInfo         `json:"serverInfo"`
}

// ServerInfo names the server.
type ServerInfo struct {
	Name    string `json:"name"`
	Version string `json:"version,omitempty"`
}

// ServerCapabilities are those of protocol_3_16 and the later ones that the server has.
type ServerCapabilities struct {
	protocol.ServerCapabilities
	PositionEncoding   Encoding           `json:"positionEncoding,omitempty"`
	DiagnosticProvider *DiagnosticOptions `json:"diagnosticProvider,omitempty"`
	InlayHintProvider  *InlayHintOptions  `json:"inlayHintProvider,omitempty"`
}
