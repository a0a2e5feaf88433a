package lsp

import (
	"context"
	"encoding/json"
)

func shutdown() method {
	return request("shutdown", "nothing more is worked out; only exit is waited for",
		func(s *server, _ *json.RawMessage) (task, error) {
			s.mu.Lock()
			defer s.mu.Unlock()
			s.phase = leaving
			for _, r := range s.roots {
				r.gone = true
				if r.stop != nil {
					r.stop()
				}
			}
			return task{inline: true, work: func(context.Context) (any, error) { return nil, nil }}, nil
		})
}

func exit() method {
	m := notification("exit", "the server ends, with exit code 0 after shutdown and 1 without",
		func(s *server, _ *json.RawMessage) error {
			s.leave()
			return nil
		})
	m.early = true
	return m
}
