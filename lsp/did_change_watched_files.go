package lsp

import (
	"path/filepath"

	protocol "github.com/tliron/glsp/protocol_3_16"
)

func didChangeWatchedFiles() method {
	return notification("workspace/didChangeWatchedFiles", "files that change on disk are read again; plans appear and go",
		func(s *server, p *protocol.DidChangeWatchedFilesParams) error {
			s.mu.Lock()
			defer s.mu.Unlock()
			for _, change := range p.Changes {
				key := keyOf(change.URI)
				if s.docs[key] != nil {
					continue // the editor's text is what counts
				}
				r := s.roots[key]
				switch {
				case change.Type == protocol.UInteger(protocol.FileChangeTypeDeleted) && r != nil:
					s.dropRoot(r)
				case r == nil && filepath.Base(key) == entryName && s.inWorkspace(key):
					s.addRoot(key, false).kept = true
				}
				s.changed(key)
			}
			s.spawn("publish", s.publish)
			return nil
		})
}
