package lsp

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"maps"
	"slices"

	"github.com/sourcegraph/jsonrpc2"

	"haulm/lsp/wire"
)

func documentDiagnostic() method {
	m := request("textDocument/diagnostic", "what cannot work, for editors that ask; the other files of the plan come along",
		func(s *server, p *wire.DocumentDiagnosticParams) (task, error) {
			d := s.document(p.TextDocument.URI)
			switch {
			case d == nil && p.TextDocument.URI == "":
				return task{}, notOpen(p.TextDocument.URI)
			case d == nil:
				// Closed meanwhile, or never ours: an error would be shown to somebody who asked for nothing.
				return task{work: func(context.Context) (any, error) { return diagnosticReport(nothing, p.PreviousResultID), nil }}, nil
			}
			return task{
				doc:  d,
				wait: func(ctx context.Context) error { return retried(s.worked(ctx, d)) },
				work: func(context.Context) (any, error) { return s.documentReport(d, p.PreviousResultID) },
			}, nil
		})
	m.announce = func(c *wire.ServerCapabilities) { diagnosticOptions(c).InterFileDependencies = true }
	return m
}

func diagnosticOptions(c *wire.ServerCapabilities) *wire.DiagnosticOptions {
	if c.DiagnosticProvider == nil {
		c.DiagnosticProvider = &wire.DiagnosticOptions{}
	}
	return c.DiagnosticProvider
}

// retried makes of a document that changed while its findings were waited for what the protocol has for
// that: ask again.
func retried(err error) error {
	var e *jsonrpc2.Error
	if !errors.As(err, &e) || e.Code != wire.CodeContentModified {
		return err
	}
	again := fail(wire.CodeServerCancelled, "%s", e.Message)
	again.SetError(wire.ServerCancelled{RetriggerRequest: true})
	return again
}

// documentReport is what holds of a document and, for a client that takes them, of the plan's files that
// are not open.
func (s *server) documentReport(d *document, previous string) (any, error) {
	s.mu.Lock()
	t := s.translator()
	own, ok := s.report(d.key)
	if !ok || s.docs[d.key] != d {
		s.mu.Unlock()
		return nil, retried(fail(wire.CodeContentModified, "the document has changed since"))
	}
	var others []report
	if pull := s.client.TextDocument.Diagnostic; pull != nil && pull.RelatedDocumentSupport {
		for _, key := range s.companions(d.key) {
			if rep, ok := s.report(key); ok {
				others = append(others, rep)
			}
		}
	}
	s.mu.Unlock()
	result := diagnosticReport(t.list(own.parts), previous)
	for _, rep := range others {
		if result.RelatedDocuments == nil {
			result.RelatedDocuments = map[string]wire.DiagnosticReport{}
		}
		result.RelatedDocuments[rep.uri] = diagnosticReport(t.list(rep.parts), "")
	}
	return result, nil
}

// companions lists the files that are not open of the plans that reach a document. The caller holds mu.
func (s *server) companions(key string) []string {
	found := map[string]bool{}
	for _, r := range s.roots {
		if r.reaches(key) {
			for other := range r.findings {
				if s.docs[other] == nil {
					found[other] = true
				}
			}
		}
	}
	return slices.Sorted(maps.Keys(found))
}

// diagnosticReport says that nothing is new when the client has the list already.
func diagnosticReport(list json.RawMessage, previous string) wire.DiagnosticReport {
	sum := sha256.Sum256(list)
	id := hex.EncodeToString(sum[:8])
	if id == previous {
		return wire.DiagnosticReport{Kind: wire.ReportUnchanged, ResultID: id}
	}
	return wire.DiagnosticReport{Kind: wire.ReportFull, ResultID: id, Items: list}
}

func workspaceDiagnostic() method {
	m := request("workspace/diagnostic", "what cannot work in every plan of the workspace, its files open or not",
		func(s *server, p *wire.WorkspaceDiagnosticParams) (task, error) {
			return task{
				wait: func(ctx context.Context) error { return s.worked(ctx, nil) },
				work: func(context.Context) (any, error) { return s.workspaceReport(p.PreviousResultIDs), nil },
			}, nil
		})
	m.announce = func(c *wire.ServerCapabilities) { diagnosticOptions(c).WorkspaceDiagnostics = true }
	return m
}

// workspaceReport is what holds of every file of every plan; of a file that was reported before and belongs
// to none any more, that it has no findings.
func (s *server) workspaceReport(before []wire.PreviousResultID) wire.WorkspaceDiagnosticReport {
	previous := map[string]wire.PreviousResultID{}
	for _, p := range before {
		previous[keyOf(p.URI)] = p
	}
	s.mu.Lock()
	t := s.translator()
	keys := map[string]bool{}
	for key := range previous {
		keys[key] = true
	}
	for _, r := range s.roots {
		for key := range r.findings {
			keys[key] = true
		}
	}
	var reports []report
	for _, key := range slices.Sorted(maps.Keys(keys)) {
		if rep, ok := s.report(key); ok {
			reports = append(reports, rep)
		}
	}
	s.mu.Unlock()
	result := wire.WorkspaceDiagnosticReport{Items: []wire.WorkspaceDocumentReport{}}
	for _, rep := range reports {
		uri := rep.uri
		if p, ok := previous[rep.key]; ok {
			uri = p.URI
		}
		result.Items = append(result.Items, wire.WorkspaceDocumentReport{
			URI: uri, Version: rep.version, DiagnosticReport: diagnosticReport(t.list(rep.parts), previous[rep.key].Value),
		})
	}
	return result
}
