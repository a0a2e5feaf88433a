package lsp

import (
	"errors"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lsp/wire"
)

func prepareRename() method {
	return strictly(query("textDocument/prepareRename", "what a rename would change, or why nothing there can be renamed",
		positionURI, func(v *view, p *protocol.TextDocumentPositionParams) (any, error) {
			span, text, err := v.Renaming(v.point(p.Position))
			if err != nil {
				return nil, err
			}
			return protocol.RangeWithPlaceholder{Range: v.within(span), Placeholder: text}, nil
		}, nil))
}

func rename() method {
	return freshly("textDocument/rename", "names of the text and of plots, rows and zones, in every file of the plan",
		func(p *protocol.RenameParams) string { return p.TextDocument.URI },
		func(v *view, p *protocol.RenameParams) (any, error) {
			edits, err := v.Rename(v.point(p.Position), p.NewName)
			if err != nil {
				return nil, err
			}
			edit, ok := v.workspaceEdit(edits)
			if !ok {
				return nil, errors.New("a file of the plan has changed since; try again")
			}
			return edit, nil
		}, func(c *wire.ServerCapabilities) {
			yes := true
			c.RenameProvider = protocol.RenameOptions{PrepareProvider: &yes}
		})
}
