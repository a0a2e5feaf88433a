package lsp

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

func foldingRange() method {
	return strictly(query("textDocument/foldingRange", "calls and blocks over several lines, loads, remarks",
		func(p *protocol.FoldingRangeParams) string { return p.TextDocument.URI },
		func(v *view, _ *protocol.FoldingRangeParams) (any, error) {
			list := []protocol.FoldingRange{}
			for _, f := range v.Folds() {
				out := protocol.FoldingRange{StartLine: uint32(f.From - 1), EndLine: uint32(f.To - 1)}
				if kind := foldKind(f.Kind); kind != "" {
					out.Kind = &kind
				}
				list = append(list, out)
			}
			return list, nil
		}, func(c *wire.ServerCapabilities) { c.FoldingRangeProvider = true }))
}

func foldKind(k feature.FoldKind) string {
	switch k {
	case feature.FoldComment:
		return string(protocol.FoldingRangeKindComment)
	case feature.FoldLoads:
		return string(protocol.FoldingRangeKindImports)
	}
	return ""
}
