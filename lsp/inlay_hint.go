package lsp

import (
	"context"
	"slices"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

func inlayHint() method {
	return strictly(query("textDocument/inlayHint", "what lines amount to, each kind switchable; marked where the line has changed since",
		func(p *wire.InlayHintParams) string { return p.TextDocument.URI },
		func(v *view, p *wire.InlayHintParams) (any, error) {
			v.owe(refreshHints)
			later := slices.Contains(v.client.TextDocument.InlayHint.ResolveSupport.Properties, "tooltip")
			list := []wire.InlayHint{}
			for _, h := range v.Hints(v.span(p.Range), v.shows) {
				out := wire.InlayHint{Position: v.enc.Position(v.File, h.At), Label: h.Label, PaddingLeft: true}
				if later && h.Tip != "" {
					out.Data = &wire.InlayHintData{URI: p.TextDocument.URI}
				} else {
					out.Tooltip = tooltip(h)
				}
				list = append(list, out)
			}
			return list, nil
		}, func(c *wire.ServerCapabilities) { hintOptions(c) }))
}

func hintOptions(c *wire.ServerCapabilities) *wire.InlayHintOptions {
	if c.InlayHintProvider == nil {
		c.InlayHintProvider = &wire.InlayHintOptions{}
	}
	return c.InlayHintProvider
}

func (v *view) shows(k feature.HintKind) bool { return v.settings.hints[string(k)] }

func tooltip(h feature.Hint) *protocol.MarkupContent {
	return markup(h.Tip, []string{string(protocol.MarkupKindMarkdown)})
}

// inlayHintResolve says how the one hint that is pointed at was reckoned: reckonings are many times longer than
// the hints of a screen.
func inlayHintResolve() method {
	m := request("inlayHint/resolve", "how the hint that is pointed at was reckoned",
		func(s *server, p *wire.InlayHint) (task, error) {
			return task{work: func(context.Context) (any, error) {
				if p.Data == nil {
					return p, nil
				}
				v, err := s.view(p.Data.URI)
				if err != nil {
					return p, nil // closed meanwhile: there is no more to say
				}
				at := v.span(protocol.Range{Start: p.Position, End: p.Position})
				for _, h := range v.Hints(at, v.shows) {
					if v.enc.Position(v.File, h.At) == p.Position && h.Label == p.Label {
						p.Tooltip = tooltip(h)
					}
				}
				return p, nil
			}}, nil
		})
	m.announce = func(c *wire.ServerCapabilities) { hintOptions(c).ResolveProvider = true }
	return m
}
