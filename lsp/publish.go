package lsp

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"

	"haulm/lsp/wire"
)

// published is what the client was told last of a document's findings.
type published struct {
	version *int32 // nil for a document that is not open
	list    json.RawMessage
}

// report is what holds of one document now.
type report struct {
	key, uri string
	version  *int32 // nil for a document that is not open
	parts    []part
	active   bool // it or another file of its plans is open
}

var nothing = json.RawMessage("[]")

// republish marks the findings of all files of a plan as in need of publishing. The caller holds mu.
func (s *server) republish(r *root) {
	for key := range r.findings {
		s.stale[key] = true
	}
}

// isPulling tells whether the client asks for findings instead of waiting for them. The caller holds mu.
func (s *server) isPulling() bool { return s.client.TextDocument.Diagnostic != nil }

// publish tells the client what is new of the findings: of a document that closed that it has none, of an
// open one with its version, of another file only while a file of its plan is open. What is being worked
// out is left for the end of that.
func (s *server) publish() {
	s.publishing.Lock()
	defer s.publishing.Unlock()
	reports, t := s.unpublished()
	for _, r := range reports {
		was, told := s.published[r.key]
		if !told {
			was.list = nothing
		}
		now := published{r.version, t.list(r.parts)}
		if bytes.Equal(was.list, now.list) && sameVersion(was.version, now.version) {
			continue
		}
		s.published[r.key] = now
		if r.version == nil && bytes.Equal(now.list, nothing) {
			delete(s.published, r.key)
		}
		s.notify("textDocument/publishDiagnostics", wire.PublishParams{URI: r.uri, Version: r.version, Diagnostics: now.list})
	}
}

func sameVersion(a, b *int32) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }

// unpublished takes what can be published now.
func (s *server) unpublished() ([]report, *translator) {
	s.mu.Lock()
	defer s.mu.Unlock()
	t := s.translator()
	var list []report
	for _, key := range slices.Sorted(maps.Keys(s.closed)) {
		list = append(list, report{key: key, uri: s.closed[key]})
		delete(s.closed, key)
	}
	for _, key := range slices.Sorted(maps.Keys(s.stale)) {
		r, ok := s.report(key)
		if !ok {
			continue
		}
		delete(s.stale, key)
		switch {
		case s.isPulling():
			s.owed[refreshDiagnostics] = true
		case !r.active:
			r.parts = nil
			list = append(list, r)
		case r.version == nil || len(r.parts) > 0: // an open document that no plan reaches yet soon has one
			list = append(list, r)
		}
	}
	return list, t
}

// report gathers what is known of a document's findings; not ok while a plan that it belongs to is being
// worked out. The caller holds mu.
func (s *server) report(key string) (report, bool) {
	rep := report{key: key, uri: s.uri(key)}
	d := s.docs[key]
	if d != nil {
		rep.version = &d.version
	}
	rep.active = d != nil
	for _, rootKey := range slices.Sorted(maps.Keys(s.roots)) {
		r := s.roots[rootKey]
		if !r.touches(key) {
			continue
		}
		if !r.isDone() {
			return rep, false
		}
		if list, ok := r.findings[key]; ok {
			rep.parts = append(rep.parts, part{r, list})
			rep.active = rep.active || s.isActive(r)
		}
	}
	return rep, true
}

// uri of a document: as the client writes it where it is open. The caller holds mu.
func (s *server) uri(key string) string {
	if d := s.docs[key]; d != nil {
		return d.uri
	}
	return uriOf(key)
}
