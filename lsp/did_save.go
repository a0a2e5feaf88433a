package lsp

import protocol "github.com/tliron/glsp/protocol_3_16"

// didSave is of use only for files that are not open and were saved all the same.
func didSave() method {
	return notification("textDocument/didSave", "nothing changes for an open document; for any other it is read again",
		func(s *server, p *protocol.DidSaveTextDocumentParams) error {
			key := keyOf(p.TextDocument.URI)
			s.mu.Lock()
			defer s.mu.Unlock()
			if s.docs[key] == nil {
				s.changed(key)
			}
			return nil
		})
}
