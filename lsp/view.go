package lsp

import (
	"maps"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lang/source"
	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

// view is what a request sees: one document and its plan's last evaluation as they were when it came. It
// does not change.
type view struct {
	*feature.Doc
	open     *document            // nil when the client has not opened it
	root     *root                // only its key and dir may be looked at; nil before any plan reached it
	docs     map[string]*document // open at that moment
	enc      wire.Encoding
	client   wire.ClientCapabilities
	settings settings
	isOld    bool // the plan is being worked out anew
}

// view of a document, which is open or one of the files of a plan.
func (s *server) view(uri string) (*view, error) {
	key := keyOf(uri)
	s.mu.Lock()
	v := &view{docs: maps.Clone(s.docs), enc: s.encoding, client: s.client, settings: s.settings, open: s.docs[key], root: s.rootFor(key)}
	var plan *feature.Plan
	path := ""
	if v.root != nil {
		plan = v.root.plan
		path, _ = v.root.path(key)
		v.isOld = !v.root.isDone()
	}
	s.mu.Unlock()
	switch file := plan.File(path); {
	case v.open != nil && v.root != nil:
		v.Doc = v.open.at(path, plan)
	case v.open != nil:
		v.Doc = v.open.at(v.open.name(), nil)
	case file != nil:
		v.Doc = feature.NewDoc(file, plan)
	default:
		return nil, notOpen(uri)
	}
	return v, nil
}

// point is the place that a position of the document means.
func (v *view) point(p protocol.Position) source.Point { return v.enc.Point(v.File, p) }

// span is the stretch that a range of the document means.
func (v *view) span(r protocol.Range) source.Span { return v.enc.Span(v.File, r) }

// span16 is a place in the document as the client counts it.
func (v *view) of(s source.Span) protocol.Range { return v.enc.Range(s) }
