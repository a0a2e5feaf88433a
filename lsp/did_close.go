package lsp

import (
	"fmt"

	protocol "github.com/tliron/glsp/protocol_3_16"
)

func didClose() method {
	return notification("textDocument/didClose", "its findings are cleared, and the text is the disk's again",
		func(s *server, p *protocol.DidCloseTextDocumentParams) error {
			key := keyOf(p.TextDocument.URI)
			s.mu.Lock()
			defer s.mu.Unlock()
			d := s.docs[key]
			if d == nil {
				return fmt.Errorf("%s is not open", p.TextDocument.URI)
			}
			delete(s.docs, key)
			delete(s.shown, key)
			s.closed[key] = d.uri
			s.stale[key] = true
			for _, r := range s.roots {
				if r.reaches(key) {
					s.republish(r) // it may have been the last of its documents
				}
			}
			s.changed(key)
			s.dropIdle()
			s.spawn("publish", s.publish)
			return nil
		})
}
