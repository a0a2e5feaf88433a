package lsp

import (
	"fmt"

	"haulm/lsp/wire"
)

func didChange() method {
	return notification("textDocument/didChange", "edits, in pieces or as a whole text",
		func(s *server, p *wire.DidChangeParams) error {
			s.mu.Lock()
			defer s.mu.Unlock()
			was := s.docs[keyOf(p.TextDocument.URI)]
			if was == nil {
				return fmt.Errorf("%s is not open", p.TextDocument.URI)
			}
			d, err := was.edited(p.TextDocument.Version, p.Changes, s.encoding)
			if err != nil {
				return err
			}
			s.docs[d.key] = d
			s.changed(d.key)
			if d.version <= was.version {
				return fmt.Errorf("version %d of %s came after version %d; it was taken all the same", d.version, d.name(), was.version)
			}
			return nil
		})
}
