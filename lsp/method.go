package lsp

import (
	"context"
	"encoding/json"

	"github.com/sourcegraph/jsonrpc2"

	"haulm/lsp/wire"
)

// notification makes a method that has no answer.
func notification[P any](name, about string, take func(*server, *P) error) method {
	return method{name: name, about: about, take: func(s *server, params json.RawMessage) error {
		p := new(P)
		if err := decode(params, p); err != nil {
			return err
		}
		return take(s, p)
	}}
}

// request makes a method that is about no document, or about many.
func request[P any](name, about string, ask func(*server, *P) (task, error)) method {
	return method{name: name, about: about, ask: func(s *server, params json.RawMessage) (task, error) {
		p := new(P)
		if err := decode(params, p); err != nil {
			return task{}, err
		}
		return ask(s, p)
	}}
}

// query makes a method that asks about one document: what it says is worked out from the document and
// its plan as they were when the request came.
func query[P any](name, about string, uri func(*P) string, work func(*view, *P) (any, error),
	announce func(*wire.ServerCapabilities)) method {
	m := request(name, about, func(s *server, p *P) (task, error) {
		v, err := s.view(uri(p))
		if err != nil {
			return task{}, err
		}
		return task{doc: v.open, work: func(context.Context) (any, error) { return work(v, p) }}, nil
	})
	m.announce = announce
	return m
}

// strictly makes the answer of a query void when its document changes meanwhile, because the places in it
// would be wrong.
func strictly(m method) method {
	ask := m.ask
	m.ask = func(s *server, params json.RawMessage) (task, error) {
		t, err := ask(s, params)
		t.strict = true
		return t, err
	}
	return m
}

// freshly makes a query wait until what is being worked out is, because it speaks of more than its own
// document.
func freshly[P any](name, about string, uri func(*P) string, work func(*view, *P) (any, error),
	announce func(*wire.ServerCapabilities)) method {
	m := request(name, about, func(s *server, p *P) (task, error) {
		d := s.document(uri(p))
		if d == nil {
			return task{}, notOpen(uri(p))
		}
		return task{
			doc: d, strict: true,
			wait: func(ctx context.Context) error { return s.worked(ctx, d) },
			work: func(context.Context) (any, error) {
				v, err := s.view(d.uri)
				if err != nil {
					return nil, err
				}
				return work(v, p)
			},
		}, nil
	})
	m.announce = announce
	return m
}

func notOpen(uri string) error { return fail(jsonrpc2.CodeInvalidParams, "%s is not open", uri) }
