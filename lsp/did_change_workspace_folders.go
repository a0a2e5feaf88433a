package lsp

import (
	"slices"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/disk"
	"haulm/lsp/wire"
)

func didChangeWorkspaceFolders() method {
	m := notification("workspace/didChangeWorkspaceFolders", "several folders, each `farm.star` in them a plan; they come and go",
		func(s *server, p *protocol.DidChangeWorkspaceFoldersParams) error {
			s.mu.Lock()
			defer s.mu.Unlock()
			for _, f := range p.Event.Removed {
				if dir, ok := pathOf(f.URI); ok {
					s.folders = slices.DeleteFunc(s.folders, func(x string) bool { return x == dir })
				}
			}
			for _, f := range p.Event.Added {
				if dir, ok := pathOf(f.URI); ok && !slices.Contains(s.folders, dir) {
					s.folders = append(s.folders, dir)
					s.scan(dir)
				}
			}
			for _, r := range s.roots {
				r.kept = s.inWorkspace(r.key)
			}
			s.dropIdle()
			s.spawn("publish", s.publish)
			return nil
		})
	m.announce = func(c *wire.ServerCapabilities) {
		yes := true
		c.Workspace = &protocol.ServerCapabilitiesWorkspace{WorkspaceFolders: &protocol.WorkspaceFoldersServerCapabilities{
			Supported: &yes, ChangeNotifications: &protocol.BoolOrString{Value: true},
		}}
	}
	return m
}

// inWorkspace tells whether a file lies in one of the workspace's folders. The caller holds mu.
func (s *server) inWorkspace(key string) bool {
	return slices.ContainsFunc(s.folders, func(dir string) bool { return disk.Holds(dir, key) })
}
