package lsp

import (
	"errors"
	"path/filepath"
	"strings"
	"sync"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lang/source"
	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

// document is an open document at one version. An edit makes a new one.
type document struct {
	key     string
	uri     string // as the client writes it
	version int32
	text    *source.File // its path is the document's key

	mu   sync.Mutex
	made *feature.Doc // the last one asked for
}

func newDocument(uri string, version int32, text string) *document {
	key := keyOf(uri)
	return &document{key: key, uri: uri, version: version, text: source.New(key, text)}
}

// at gives the Doc of the document as a file of a plan, by the path that it has there.
func (d *document) at(path string, p *feature.Plan) *feature.Doc {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.made == nil || d.made.Plan != p || d.made.File.Path != path {
		file := d.text
		if d.made != nil && d.made.File.Path == path {
			file = d.made.File
		} else if path != d.key {
			file = d.text.As(path)
		}
		d.made = feature.NewDoc(file, p)
	}
	return d.made
}

// edited is the document after changes, each made to the text that the one before left.
func (d *document) edited(version int32, changes []wire.Change, enc wire.Encoding) (*document, error) {
	f := d.text
	for _, c := range changes {
		if c.Text == nil {
			return nil, errors.New("a change has no text")
		}
		if c.Range == nil {
			f = source.New(d.key, *c.Text)
			continue
		}
		s := enc.Span(f, *c.Range)
		start, end := f.Offset(s.Start), f.Offset(s.End)
		f = f.Edit(start, end, *c.Text)
	}
	return &document{key: d.key, uri: d.uri, version: version, text: f}, nil
}

// name of a document for people: the end of its path.
func (d *document) name() string { return filepath.Base(d.key) }

// isPlan tells whether a document is a plan's text by its name or by what the client calls its language.
func isPlan(item protocol.TextDocumentItem) bool {
	return strings.HasSuffix(item.URI, ".star") || item.LanguageID == "haulm" || item.LanguageID == "starlark"
}

// document gives the open document of a URI, nil for none.
func (s *server) document(uri string) *document {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.docs[keyOf(uri)]
}

// isCurrent tells whether a document is still what the client shows.
func (s *server) isCurrent(d *document) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return d == nil || s.docs[d.key] == d
}
