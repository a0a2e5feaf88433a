package lsp

import (
	"maps"
	"slices"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/lang/source"
	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

// view is what a request sees: one document and its plan's last evaluation as they were when it came. It
// does not change.
type view struct {
	*feature.Doc
	server   *server
	open     *document            // nil when the client has not opened it
	key, dir string               // of the document; that paths of its plan start from
	turn     uint64               // of the evaluation
	isOld    bool                 // the plan is being worked out anew
	docs     map[string]*document // open at that moment
	enc      wire.Encoding
	client   *wire.ClientCapabilities // does not change once the server is initialized
	settings settings
}

// view of a document, which is open or one of the files of a plan.
func (s *server) view(uri string) (*view, error) {
	key := keyOf(uri)
	s.mu.Lock()
	v, plan, path := s.viewIn(key, s.rootFor(key))
	s.mu.Unlock()
	if !v.show(plan, path) {
		return nil, notOpen(uri)
	}
	return v, nil
}

// views are one of each plan, in the order of their names.
func (s *server) views() []*view {
	s.mu.Lock()
	defer s.mu.Unlock()
	var list []*view
	for _, key := range slices.Sorted(maps.Keys(s.roots)) {
		if v, plan, path := s.viewIn(key, s.roots[key]); plan != nil && v.show(plan, path) {
			list = append(list, v)
		}
	}
	return list
}

// viewIn begins a view of a document as a file of a plan, nil for none, and gives that plan and the file's path
// in it. The caller holds mu.
func (s *server) viewIn(key string, r *root) (v *view, plan *feature.Plan, path string) {
	v = &view{
		server: s, key: key, docs: maps.Clone(s.docs), enc: s.encoding, client: &s.client, settings: s.settings, open: s.docs[key],
	}
	if r != nil {
		plan, v.dir, v.turn, v.isOld = r.plan, r.dir, r.done, !r.isDone()
		path, _ = r.path(key)
	}
	return v, plan, path
}

// show fills in the Doc: the open document's text, else the file as the plan read it; false for neither.
func (v *view) show(plan *feature.Plan, path string) bool {
	file := plan.File(path)
	switch {
	case v.open != nil && path == "":
		v.Doc = v.open.at(v.open.name(), nil)
	case v.open != nil:
		v.Doc = v.open.at(path, plan)
	case file != nil:
		v.Doc = feature.NewDoc(file, plan)
	}
	return v.Doc != nil
}

// point is the place that a position of the document means.
func (v *view) point(p protocol.Position) source.Point { return v.enc.Point(v.File, p) }

// span is the stretch that a range of the document means.
func (v *view) span(r protocol.Range) source.Span { return v.enc.Span(v.File, r) }

// within is a place in the document as the client counts it.
func (v *view) within(s source.Span) protocol.Range { return v.enc.Range(s) }

// ranges are places in the document as the client counts them.
func (v *view) ranges(spans []source.Span) []protocol.Range {
	list := make([]protocol.Range, 0, len(spans))
	for _, s := range spans {
		list = append(list, v.within(s))
	}
	return list
}

// owe has the client ask again once the plan is worked out, if it is not.
func (v *view) owe(refresh string) {
	if v.isOld {
		v.server.mu.Lock()
		v.server.owe(refresh)
		v.server.mu.Unlock()
	}
}

// document gives the key of the file that a span is in and the open document there, nil for none.
func (v *view) document(s source.Span) (key string, d *document) {
	if s.File.Path == v.File.Path {
		return v.key, v.open
	}
	key = (&root{dir: v.dir, key: v.key}).at(s.File.Path)
	return key, v.docs[key]
}

// now moves a span of an evaluated text to where it stands in the open document; ok is false where it was
// edited since.
func (v *view) now(s source.Span, d *document) (moved source.Span, ok bool) {
	switch {
	case d == nil || s.File.Text == d.text.Text || s.File == v.File:
		return s, true
	case v.Plan.File(s.File.Path) == nil: // of an earlier year's plan
		return feature.Moved(s, d.text)
	}
	return d.at(s.File.Path, v.Plan).Now(s)
}

// location is a place in any file of the plan, or of one that it looks back to; ok is false for none, and for a
// place in what every plan can load, which is no file.
func (v *view) location(s source.Span) (l protocol.Location, ok bool) {
	if !s.IsValid() || eval.IsLibrary(s.File.Path) {
		return l, false
	}
	key, d := v.document(s)
	s, _ = v.now(s, d)
	if !s.IsValid() {
		return l, false
	}
	return protocol.Location{URI: v.uri(key, d), Range: v.enc.Range(s)}, true
}

func (v *view) uri(key string, d *document) string {
	if d != nil {
		return d.uri
	}
	return uriOf(key)
}

// locations are places in any files of the plan.
func (v *view) locations(spans []source.Span) []protocol.Location {
	list := []protocol.Location{}
	for _, s := range spans {
		if l, ok := v.location(s); ok {
			list = append(list, l)
		}
	}
	return list
}

// textEdits are changes of the document.
func (v *view) textEdits(edits []diag.Edit) []protocol.TextEdit {
	list := make([]protocol.TextEdit, 0, len(edits))
	for _, e := range edits {
		list = append(list, protocol.TextEdit{Range: v.within(e.Span), NewText: e.Text})
	}
	return list
}

// workspaceEdit is changes of any files of the plan; ok is false when one was edited since at the very
// place.
func (v *view) workspaceEdit(edits []diag.Edit) (out *protocol.WorkspaceEdit, ok bool) {
	byKey := map[string][]protocol.TextEdit{}
	open := map[string]*document{}
	for _, e := range edits {
		key, d := v.document(e.Span)
		s, ok := v.now(e.Span, d)
		if !ok {
			return nil, false
		}
		open[key] = d
		byKey[key] = append(byKey[key], protocol.TextEdit{Range: v.enc.Range(s), NewText: e.Text})
	}
	if !v.client.Workspace.WorkspaceEdit.DocumentChanges {
		changes := map[string][]protocol.TextEdit{}
		for key, list := range byKey {
			changes[v.uri(key, open[key])] = list
		}
		return &protocol.WorkspaceEdit{Changes: changes}, true
	}
	out = &protocol.WorkspaceEdit{DocumentChanges: []any{}}
	for _, key := range slices.Sorted(maps.Keys(byKey)) {
		change := protocol.TextDocumentEdit{Edits: []any{}}
		change.TextDocument.URI = v.uri(key, open[key])
		if d := open[key]; d != nil {
			change.TextDocument.Version = &d.version
		}
		for _, e := range byKey[key] {
			change.Edits = append(change.Edits, e)
		}
		out.DocumentChanges = append(out.DocumentChanges, change)
	}
	return out, true
}

// markup is Markdown for a client that shows it as one of the formats it lists, else the same as plain text.
func markup(text string, formats []string) *protocol.MarkupContent {
	if text == "" {
		return nil
	}
	kind := protocol.MarkupKindPlainText
	if slices.Contains(formats, string(protocol.MarkupKindMarkdown)) {
		kind = protocol.MarkupKindMarkdown
	}
	return &protocol.MarkupContent{Kind: kind, Value: text}
}

// positionURI is the document of the methods that ask about a place.
func positionURI(p *protocol.TextDocumentPositionParams) string { return p.TextDocument.URI }
