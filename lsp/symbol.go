package lsp

import (
	"context"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

func documentSymbol() method {
	return strictly(query("textDocument/documentSymbol", "the farm in the file: plots with their rows, rows with their plantings, with counts",
		func(p *protocol.DocumentSymbolParams) string { return p.TextDocument.URI },
		func(v *view, p *protocol.DocumentSymbolParams) (any, error) {
			outline := v.Outline()
			if v.client.TextDocument.DocumentSymbol.Hierarchical {
				return v.symbols(outline), nil
			}
			flat := []protocol.SymbolInformation{}
			v.flatten(outline, "", &flat)
			return flat, nil
		}, func(c *wire.ServerCapabilities) { c.DocumentSymbolProvider = true }))
}

func (v *view) symbols(list []feature.Symbol) []protocol.DocumentSymbol {
	out := make([]protocol.DocumentSymbol, 0, len(list))
	for _, s := range list {
		d := protocol.DocumentSymbol{
			Name: nonEmpty(s.Name), Kind: symbolKind(s.Kind), Range: v.within(s.Span), SelectionRange: v.within(s.Head),
			Children: v.symbols(s.Inside),
		}
		if s.Detail != "" {
			d.Detail = &s.Detail
		}
		out = append(out, d)
	}
	return out
}

// nonEmpty replaces a name that there is none of, which some clients refuse.
func nonEmpty(name string) string {
	if name == "" {
		return "(no name)"
	}
	return name
}

func (v *view) flatten(list []feature.Symbol, in string, out *[]protocol.SymbolInformation) {
	for _, s := range list {
		if l, ok := v.location(s.Span); ok {
			*out = append(*out, symbolInformation(s, l, in))
		}
		v.flatten(s.Inside, s.Name, out)
	}
}

func symbolInformation(s feature.Symbol, l protocol.Location, in string) protocol.SymbolInformation {
	info := protocol.SymbolInformation{Name: nonEmpty(s.Name), Kind: symbolKind(s.Kind), Location: l}
	if in != "" {
		info.ContainerName = &in
	}
	return info
}

func symbolKind(k feature.SymbolKind) protocol.SymbolKind {
	switch k {
	case feature.SymbolFarm:
		return protocol.SymbolKindNamespace
	case feature.SymbolPlot:
		return protocol.SymbolKindClass
	case feature.SymbolRow:
		return protocol.SymbolKindArray
	case feature.SymbolPlanting:
		return protocol.SymbolKindField
	case feature.SymbolCrop:
		return protocol.SymbolKindEnumMember
	case feature.SymbolWater:
		return protocol.SymbolKindEvent
	case feature.SymbolFunction:
		return protocol.SymbolKindFunction
	}
	return protocol.SymbolKindVariable
}

func workspaceSymbol() method {
	m := request("workspace/symbol", "the same by name over every plan of the workspace",
		func(s *server, p *protocol.WorkspaceSymbolParams) (task, error) {
			return task{
				wait: func(ctx context.Context) error { return s.worked(ctx, nil) },
				work: func(context.Context) (any, error) { return s.workspaceSymbols(p.Query), nil },
			}, nil
		})
	m.announce = func(c *wire.ServerCapabilities) { c.WorkspaceSymbolProvider = true }
	return m
}

// workspaceSymbols lists things of all plans; what two plans share stands once.
func (s *server) workspaceSymbols(query string) []protocol.SymbolInformation {
	type symbol struct {
		name, uri string
		at        protocol.Range
	}
	seen, list := map[symbol]bool{}, []protocol.SymbolInformation{}
	for _, v := range s.views() {
		for _, sym := range v.Plan.Symbols(query) {
			l, ok := v.location(sym.Span)
			if key := (symbol{sym.Name, l.URI, l.Range}); ok && !seen[key] {
				seen[key] = true
				list = append(list, symbolInformation(sym, l, sym.In))
			}
		}
	}
	return list
}
