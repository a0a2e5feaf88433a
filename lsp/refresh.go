package lsp

import (
	"maps"
	"slices"
)

// What the client can be told to ask for again.
const (
	refreshDiagnostics = "workspace/diagnostic/refresh"
	refreshHints       = "workspace/inlayHint/refresh"
	refreshLenses      = "workspace/codeLens/refresh"
	refreshTokens      = "workspace/semanticTokens/refresh"
)

// owe notes that the client has an answer made from a plan that was being worked out anew. The caller
// holds mu.
func (s *server) owe(refresh string) { s.owed[refresh] = true }

// refresh has the client ask again for what it got too early, once nothing is under way any more.
func (s *server) refresh() {
	s.mu.Lock()
	if !s.isWorked(nil) {
		s.mu.Unlock()
		return
	}
	owed := slices.Sorted(maps.Keys(s.owed))
	clear(s.owed)
	w := &s.client.Workspace
	can := map[string]bool{
		refreshDiagnostics: w.Diagnostics.RefreshSupport, refreshHints: w.InlayHint.RefreshSupport,
		refreshLenses: w.CodeLens.RefreshSupport, refreshTokens: w.SemanticTokens.RefreshSupport,
	}
	s.mu.Unlock()
	for _, name := range owed {
		if can[name] {
			s.spawn("refresh", func() { _ = s.call(name, nil, nil) }) // a client that refuses keeps what it has
		}
	}
}
