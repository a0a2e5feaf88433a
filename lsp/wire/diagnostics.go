package wire

import (
	"encoding/json"

	protocol "github.com/tliron/glsp/protocol_3_16"
)

// PublishParams is textDocument/publishDiagnostics.
type PublishParams struct {
	URI         string          `json:"uri"`
	Version     *int32          `json:"version,omitempty"`
	Diagnostics json.RawMessage `json:"diagnostics"` // an array of protocol.Diagnostic
}

// DiagnosticOptions announces that diagnostics can be asked for.
type DiagnosticOptions struct {
	Identifier            string `json:"identifier,omitempty"`
	InterFileDependencies bool   `json:"interFileDependencies"`
	WorkspaceDiagnostics  bool   `json:"workspaceDiagnostics"`
}

// DocumentDiagnosticParams is textDocument/diagnostic.
type DocumentDiagnosticParams struct {
	TextDocument     protocol.TextDocumentIdentifier `json:"textDocument"`
	PreviousResultID string                          `json:"previousResultId"`
}

// Kinds of a DiagnosticReport.
const (
	ReportFull      = "full"
	ReportUnchanged = "unchanged"
)

// DiagnosticReport answers textDocument/diagnostic: what holds of a document now, or that it is what the
// client had. Items is nil in an unchanged report only, else an array of protocol.Diagnostic.
type DiagnosticReport struct {
	Kind             string                      `json:"kind"`
	ResultID         string                      `json:"resultId,omitempty"`
	Items            json.RawMessage             `json:"items,omitempty"`
	RelatedDocuments map[string]DiagnosticReport `json:"relatedDocuments,omitempty"`
}

// WorkspaceDiagnosticParams is workspace/diagnostic.
type WorkspaceDiagnosticParams struct {
	PreviousResultIDs []PreviousResultID `json:"previousResultIds"`
}

// PreviousResultID is what a client had of a document.
type PreviousResultID struct {
	URI   string `json:"uri"`
	Value string `json:"value"`
}

// WorkspaceDiagnosticReport answers workspace/diagnostic. Items is never nil.
type WorkspaceDiagnosticReport struct {
	Items []WorkspaceDocumentReport `json:"items"`
}

// WorkspaceDocumentReport is the report of one document of the workspace; Version is nil for one that
// is not open.
type WorkspaceDocumentReport struct {
	URI     string `json:"uri"`
	Version *int32 `json:"version"`
	DiagnosticReport
}

// ServerCancelled is the data of an error with CodeServerCancelled.
type ServerCancelled struct {
	RetriggerRequest bool `json:"retriggerRequest"`
}
