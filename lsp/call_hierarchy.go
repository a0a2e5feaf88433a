package lsp

import (
	"context"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

func prepareCallHierarchy() method {
	return query("textDocument/prepareCallHierarchy", "the way of the water: source, zone, row, planting, with what each takes",
		func(p *protocol.CallHierarchyPrepareParams) string { return p.TextDocument.URI },
		func(v *view, p *protocol.CallHierarchyPrepareParams) (any, error) {
			items := v.flowItems(v.Flow(v.point(p.Position)))
			if len(items) == 0 {
				return nil, nil
			}
			return items, nil
		}, func(c *wire.ServerCapabilities) { c.CallHierarchyProvider = true })
}

func incomingCalls() method {
	return flowMethod("callHierarchy/incomingCalls", "what feeds it", func(v *view, own, other wire.CallHierarchyItem) wire.CallHierarchyCall {
		return wire.CallHierarchyCall{From: &other, FromRanges: []protocol.Range{other.SelectionRange}}
	}, (*feature.Doc).FedBy)
}

func outgoingCalls() method {
	return flowMethod("callHierarchy/outgoingCalls", "what it feeds", func(v *view, own, other wire.CallHierarchyItem) wire.CallHierarchyCall {
		return wire.CallHierarchyCall{To: &other, FromRanges: []protocol.Range{own.SelectionRange}}
	}, (*feature.Doc).Feeds)
}

// flowMethod follows the water one step from an item.
func flowMethod(name, about string, call func(v *view, own, other wire.CallHierarchyItem) wire.CallHierarchyCall,
	step func(d *feature.Doc, order int) []feature.FlowItem) method {
	return request(name, about, func(s *server, p *wire.CallHierarchyParams) (task, error) {
		return task{work: func(context.Context) (any, error) {
			v, err := s.view(p.Item.URI)
			if err != nil {
				return nil, err
			}
			order, ok := v.orderOf(p.Item)
			if !ok {
				return nil, nil
			}
			calls := []wire.CallHierarchyCall{}
			for _, other := range v.flowItems(step(v.Doc, order)) {
				calls = append(calls, call(v, p.Item, other))
			}
			return calls, nil
		}}, nil
	})
}

// orderOf finds an item that the client has in the plan of now: by its number when the plan has not been
// worked out since, else by its name where it stood.
func (v *view) orderOf(item wire.CallHierarchyItem) (order int, ok bool) {
	if item.Data.Turn == v.turn {
		return item.Data.Order, true
	}
	for _, f := range v.Flow(v.point(item.SelectionRange.Start)) {
		if f.Name == item.Name {
			return f.Order, true
		}
	}
	return 0, false
}

func (v *view) flowItems(list []feature.FlowItem) []wire.CallHierarchyItem {
	out := []wire.CallHierarchyItem{}
	for _, f := range list {
		l, ok := v.location(f.Span)
		head, _ := v.location(f.NameSpan)
		if !ok {
			continue
		}
		out = append(out, wire.CallHierarchyItem{
			Name: nonEmpty(f.Name), Kind: flowKind(f.Kind), Detail: f.Detail, URI: l.URI, Range: l.Range, SelectionRange: head.Range,
			Data: wire.CallHierarchyData{Order: f.Order, Turn: v.turn},
		})
	}
	return out
}

func flowKind(kind string) protocol.SymbolKind {
	switch kind {
	case "row":
		return protocol.SymbolKindArray
	case "planting":
		return protocol.SymbolKindField
	}
	return protocol.SymbolKindEvent
}
