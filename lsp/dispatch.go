package lsp

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"sync/atomic"

	"github.com/sourcegraph/jsonrpc2"

	"haulm/lsp/wire"
)

// method is one method of the protocol that the server has.
type method struct {
	name     string
	about    string                               // what it is good for, for README.md
	announce func(*wire.ServerCapabilities)       // nil for what needs no announcement
	take     func(*server, json.RawMessage) error // of a notification
	ask      func(*server, json.RawMessage) (task, error)
	early    bool // also before the server is initialized
}

// task is a request on its way: what it needs was picked when it came.
type task struct {
	doc    *document                       // that it is about; nil for none
	strict bool                            // its answer is of no use once the document has changed
	wait   func(ctx context.Context) error // until it can be worked on; nil for at once
	work   func(ctx context.Context) (any, error)
	inline bool // answered before the next message is read
}

// running is a request that is not answered yet.
type running struct {
	cancel   context.CancelFunc
	answered atomic.Bool
}

// Handle takes one message; jsonrpc2 calls it with one after the other.
func (s *server) Handle(_ context.Context, _ *jsonrpc2.Conn, req *jsonrpc2.Request) {
	s.handling.Lock()
	defer s.handling.Unlock()
	if s.over {
		return
	}
	params := json.RawMessage("null")
	if req.Params != nil {
		params = *req.Params
	}
	if req.Notif {
		s.notification(req.Method, params)
		return
	}
	s.request(req, params)
}

// notification runs a notification to its end, so that those after it find its effect.
func (s *server) notification(name string, params json.RawMessage) {
	m := s.methods[name]
	if m == nil || m.take == nil || !m.early && s.phaseNow() != serving {
		return // by the protocol: nothing that has no answer is an error
	}
	defer s.recovered(name)
	if err := m.take(s, params); err != nil {
		s.log(logWarning, name+": "+err.Error())
	}
}

func (s *server) phaseNow() phase {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.phase
}

// request picks what a request needs and leaves the rest to a goroutine.
func (s *server) request(req *jsonrpc2.Request, params json.RawMessage) {
	ctx, cancel := context.WithCancel(s.ctx)
	r := &running{cancel: cancel}
	t, err := s.admit(req, params, r)
	if err != nil {
		s.spawn(req.Method, func() { s.answer(req.ID, r, nil, err); cancel() })
		return
	}
	if t.inline {
		s.finish(ctx, req, r, t)
		return
	}
	s.spawn(req.Method, func() { s.finish(ctx, req, r, t) })
}

// admit tells what keeps a request from being served, else notes it as running.
func (s *server) admit(req *jsonrpc2.Request, params json.RawMessage, r *running) (t task, err error) {
	m := s.methods[req.Method]
	s.mu.Lock()
	phase, twice, many := s.phase, s.running[req.ID] != nil, len(s.running) >= maxRunning
	s.mu.Unlock()
	switch {
	case phase == fresh && (m == nil || !m.early):
		return t, fail(wire.CodeNotInitialized, "the server is not initialized yet")
	case phase == leaving:
		return t, fail(jsonrpc2.CodeInvalidRequest, "the server is shutting down")
	case m == nil || m.ask == nil:
		return t, fail(jsonrpc2.CodeMethodNotFound, "%s is not served", req.Method)
	case twice:
		return t, fail(jsonrpc2.CodeInvalidRequest, "a request with the id %s is still under way", req.ID)
	case many:
		return t, fail(wire.CodeServerCancelled, "%d requests are under way; no more can be taken", maxRunning)
	}
	defer func() {
		if fault := recover(); fault != nil {
			s.logFault(req.Method, fault)
			err = errFault
		}
	}()
	if t, err = m.ask(s, params); err != nil {
		return t, err
	}
	s.mu.Lock()
	s.running[req.ID] = r
	s.mu.Unlock()
	return t, nil
}

var errFault = fail(jsonrpc2.CodeInternalError, "something went wrong inside the server; its log says what")

// finish works on a request and answers it.
func (s *server) finish(ctx context.Context, req *jsonrpc2.Request, r *running, t task) {
	defer r.cancel()
	result, err := s.result(ctx, req.Method, t)
	switch {
	case ctx.Err() != nil:
		err = errCancelled
	case err == nil && t.strict && !s.isCurrent(t.doc):
		err = fail(wire.CodeContentModified, "the document has changed since")
	}
	s.mu.Lock()
	delete(s.running, req.ID)
	s.mu.Unlock()
	s.answer(req.ID, r, result, err)
}

var errCancelled = fail(wire.CodeRequestCancelled, "cancelled")

// result waits for what a request needs, then for its turn, and works on it.
func (s *server) result(ctx context.Context, name string, t task) (result any, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			s.logFault(name, fault)
			result, err = nil, errFault
		}
	}()
	if t.wait != nil {
		if err := t.wait(ctx); err != nil {
			return nil, err
		}
	}
	select {
	case s.slots <- struct{}{}:
		defer func() { <-s.slots }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	return t.work(ctx)
}

// answer sends the answer of a request, once.
func (s *server) answer(id jsonrpc2.ID, r *running, result any, err error) {
	if !r.answered.CompareAndSwap(false, true) {
		return
	}
	conn, response := s.connection(), &jsonrpc2.Response{ID: id}
	if err == nil {
		err = response.SetResult(result)
	}
	if err != nil {
		var e *jsonrpc2.Error
		if !errors.As(err, &e) {
			e = fail(wire.CodeRequestFailed, "%s", err)
		}
		response.Result, response.Error = nil, e
	}
	_ = conn.SendResponse(s.ctx, response) // the connection may be gone: then there is nobody to tell
}

func (s *server) connection() *jsonrpc2.Conn {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.conn
}

// fail is an error with a code of the protocol.
func fail(code int64, format string, args ...any) *jsonrpc2.Error {
	return &jsonrpc2.Error{Code: code, Message: fmt.Sprintf(format, args...)}
}

// decode reads parameters.
func decode(params json.RawMessage, into any) error {
	err := json.Unmarshal(params, into)
	if err == nil {
		return nil
	}
	return fail(jsonrpc2.CodeInvalidParams, "%s", strings.TrimPrefix(err.Error(), "json: "))
}

// notify sends a notification; when the client is gone there is nobody to tell.
func (s *server) notify(name string, params any) { _ = s.connection().Notify(s.ctx, name, params) }

// call asks the client and waits for its answer.
func (s *server) call(name string, params, result any) error {
	return s.connection().Call(s.ctx, name, params, result)
}
