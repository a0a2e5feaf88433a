package lsp

import (
	"encoding/json"
	"slices"
	"strings"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

func codeAction() method {
	return strictly(query("textDocument/codeAction", "every fix of every finding, all safe ones at once, values that work, other units, loads, loops, accepting with a reason",
		func(p *wire.CodeActionParams) string { return p.TextDocument.URI },
		func(v *view, p *wire.CodeActionParams) (any, error) {
			list := []wire.CodeAction{}
			actions := v.Actions(v.span(p.Range))
			if all, ok := v.FixAll(); ok {
				actions = append(actions, all)
			}
			for i := range actions {
				if a, ok := v.action(&actions[i], p); ok {
					list = append(list, a)
				}
			}
			return list, nil
		}, func(c *wire.ServerCapabilities) {
			c.CodeActionProvider = protocol.CodeActionOptions{CodeActionKinds: []string{
				string(feature.ActionFix), string(feature.ActionRewrite), string(feature.ActionExtract), string(feature.ActionFixAll),
			}}
		}))
}

// action gives one action as the protocol has it; not ok for one that was not asked for, or that would
// change text that is not as it was.
func (v *view) action(a *feature.Action, p *wire.CodeActionParams) (out wire.CodeAction, ok bool) {
	if p.Context.Only != nil && !slices.ContainsFunc(p.Context.Only, func(kind string) bool {
		return string(a.Kind) == kind || kind == "" || strings.HasPrefix(string(a.Kind), kind+".")
	}) {
		return out, false
	}
	edit, ok := v.workspaceEdit(a.Edits)
	if !ok {
		return out, false
	}
	out = wire.CodeAction{Title: a.Title, Kind: string(a.Kind), IsPreferred: a.Preferred, Edit: edit}
	if a.Finding != nil {
		out.Diagnostics = v.known(a, p.Context.Diagnostics)
	}
	return out, true
}

// known picks what the client calls an action's finding among those that it sent.
func (v *view) known(a *feature.Action, sent []json.RawMessage) (found []json.RawMessage) {
	at := v.within(v.Place(a.Finding.Primary.Span))
	for _, raw := range sent {
		var d struct {
			Range protocol.Range
			Code  any
		}
		if json.Unmarshal(raw, &d) == nil && d.Code == a.Finding.Code() && d.Range == at {
			found = append(found, raw)
		}
	}
	return found
}
