package lsp

import (
	"context"
	"fmt"
	"time"

	protocol "github.com/tliron/glsp/protocol_3_16"
)

// showProgress shows the client that something is under way once it takes long; calling what it gives ends
// that.
func (s *server) showProgress(ctx context.Context, title string) (end func()) {
	s.mu.Lock()
	can := s.client.Window.WorkDoneProgress
	s.mu.Unlock()
	if !can {
		return func() {}
	}
	over := make(chan struct{})
	s.spawn("progress", func() {
		select {
		case <-over:
			return
		case <-time.After(s.pace.slow):
		}
		token := s.token()
		if s.call("window/workDoneProgress/create", protocol.WorkDoneProgressCreateParams{Token: token}, nil) != nil {
			return
		}
		s.progress(token, protocol.WorkDoneProgressBegin{Kind: "begin", Title: title})
		select {
		case <-over:
		case <-ctx.Done():
		}
		s.progress(token, protocol.WorkDoneProgressEnd{Kind: "end"})
	})
	return func() { close(over) }
}

func (s *server) token() protocol.ProgressToken {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.tokens++
	return protocol.ProgressToken{Value: fmt.Sprintf("haulm-%d", s.tokens)}
}

func (s *server) progress(token protocol.ProgressToken, value any) {
	s.notify("$/progress", protocol.ProgressParams{Token: token, Value: value})
}
