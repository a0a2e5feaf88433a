package lsp

import (
	"encoding/json"

	"github.com/sourcegraph/jsonrpc2"
)

func cancelRequest() method {
	return notification("$/cancelRequest", "a request that is under way is answered at once, as cancelled",
		func(s *server, p *struct {
			ID jsonrpc2.ID `json:"id"`
		}) error {
			s.mu.Lock()
			r := s.running[p.ID]
			delete(s.running, p.ID)
			s.mu.Unlock()
			if r != nil {
				r.cancel()
				s.spawn("cancel", func() { s.answer(p.ID, r, nil, errCancelled) })
			}
			return nil
		})
}

func setTrace() method {
	return notification("$/setTrace", "taken and left at that: the server has nothing to trace",
		func(*server, *json.RawMessage) error { return nil })
}
