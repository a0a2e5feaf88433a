package lsp

import (
	"strconv"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

// tokens are what a client was given last of a document, to tell it only what has changed since.
type tokens struct {
	id   string
	data []uint32
}

func semanticTokens() method {
	return strictly(query("textDocument/semanticTokens/full", "keywords, units, built-ins, arguments and names told apart",
		func(p *protocol.SemanticTokensParams) string { return p.TextDocument.URI },
		func(v *view, _ *protocol.SemanticTokensParams) (any, error) {
			v.owe(refreshTokens)
			now := v.server.keepTokens(v.key, v.encodeTokens(v.SemanticTokens()))
			return protocol.SemanticTokens{ResultID: &now.id, Data: now.data}, nil
		}, func(c *wire.ServerCapabilities) { tokenOptions(c).Full = true }))
}

func semanticTokensDelta() method {
	return strictly(query("textDocument/semanticTokens/full/delta", "the same, as what has changed since",
		func(p *protocol.SemanticTokensDeltaParams) string { return p.TextDocument.URI },
		func(v *view, p *protocol.SemanticTokensDeltaParams) (any, error) {
			v.owe(refreshTokens)
			was, ok := v.server.tokensOf(v.key)
			now := v.server.keepTokens(v.key, v.encodeTokens(v.SemanticTokens()))
			if !ok || was.id != p.PreviousResultID {
				return protocol.SemanticTokens{ResultID: &now.id, Data: now.data}, nil
			}
			delta := protocol.SemanticTokensDelta{ResultId: &now.id, Edits: []protocol.SemanticTokensEdit{}}
			if c, changed := feature.ChangedTokens(was.data, now.data); changed {
				delta.Edits = append(delta.Edits, protocol.SemanticTokensEdit{
					Start: uint32(c.From), DeleteCount: uint32(c.Gone), Data: c.New,
				})
			}
			return delta, nil
		}, func(c *wire.ServerCapabilities) {
			yes := true
			tokenOptions(c).Full = protocol.SemanticDelta{Delta: &yes}
		}))
}

func semanticTokensRange() method {
	return strictly(query("textDocument/semanticTokens/range", "the same for the lines on the screen",
		func(p *protocol.SemanticTokensRangeParams) string { return p.TextDocument.URI },
		func(v *view, p *protocol.SemanticTokensRangeParams) (any, error) {
			v.owe(refreshTokens)
			return protocol.SemanticTokens{Data: v.encodeTokens(v.SemanticTokensIn(v.span(p.Range)))}, nil
		}, func(c *wire.ServerCapabilities) { tokenOptions(c).Range = true }))
}

func tokenOptions(c *wire.ServerCapabilities) *protocol.SemanticTokensOptions {
	o, _ := c.SemanticTokensProvider.(*protocol.SemanticTokensOptions)
	if o == nil {
		o = &protocol.SemanticTokensOptions{Legend: protocol.SemanticTokensLegend{
			TokenTypes: feature.TokenTypes(), TokenModifiers: feature.TokenModifiers(),
		}}
		c.SemanticTokensProvider = o
	}
	return o
}

// encodeTokens writes five numbers for each token: lines and columns from the one before, length, type and
// modifiers.
func (v *view) encodeTokens(list []feature.SemanticToken) []uint32 {
	data := make([]uint32, 0, 5*len(list))
	var line, char uint32
	for _, t := range list {
		r := v.within(t.Span)
		if r.Start.Line != line {
			data = append(data, r.Start.Line-line, r.Start.Character)
		} else {
			data = append(data, 0, r.Start.Character-char)
		}
		data = append(data, r.End.Character-r.Start.Character, uint32(t.Type), uint32(t.Mods))
		line, char = r.Start.Line, r.Start.Character
	}
	return data
}

func (s *server) tokensOf(key string) (tokens, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	t, ok := s.shown[key]
	return t, ok
}

// keepTokens notes what the client is given of a document, for as long as that is open.
func (s *server) keepTokens(key string, data []uint32) tokens {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.tokens++
	t := tokens{strconv.Itoa(s.tokens), data}
	if s.docs[key] != nil {
		s.shown[key] = t
	}
	return t
}
