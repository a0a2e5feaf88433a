package lsp

import (
	"fmt"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func didOpen() method {
	m := notification("textDocument/didOpen", "a document's text is the editor's from now on, not the disk's",
		func(s *server, p *protocol.DidOpenTextDocumentParams) error {
			item := p.TextDocument
			if !isPlan(item) {
				return fmt.Errorf("%s is no plan: it is left alone", item.URI)
			}
			d := newDocument(item.URI, item.Version, item.Text)
			entries := s.entriesFor(d.key)
			s.mu.Lock()
			defer s.mu.Unlock()
			s.docs[d.key] = d
			s.touched(d.key)
			for _, entry := range entries {
				s.addRoot(entry, false)
			}
			s.adopt()
			s.wake()
			return nil
		})
	m.announce = func(c *wire.ServerCapabilities) {
		yes, change, no := true, protocol.TextDocumentSyncKindIncremental, false
		c.TextDocumentSync = protocol.TextDocumentSyncOptions{
			OpenClose: &yes, Change: &change, Save: &protocol.SaveOptions{IncludeText: &no},
		}
	}
	return m
}
