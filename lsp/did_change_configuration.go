package lsp

import "encoding/json"

func didChangeConfiguration() method {
	return notification("workspace/didChangeConfiguration", "settings change while the server runs",
		func(s *server, p *struct {
			Settings json.RawMessage `json:"settings"`
		}) error {
			s.mu.Lock()
			ask := s.client.Workspace.Configuration
			s.mu.Unlock()
			if ask {
				s.spawn("settings", s.askSettings)
				return nil
			}
			s.configure(p.Settings)
			return nil
		})
}
