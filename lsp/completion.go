package lsp

import (
	"context"
	"fmt"
	"strings"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lang/source"
	"haulm/lsp/feature"
	"haulm/lsp/wire"
)

func completion() method {
	return query("textDocument/completion", "built-ins, arguments still free, crops, names, units that fit, words and names inside quotes, files; what fits comes first",
		func(p *wire.CompletionParams) string { return p.TextDocument.URI },
		func(v *view, p *wire.CompletionParams) (any, error) {
			at := v.point(p.Position)
			list := wire.CompletionList{Items: []wire.CompletionItem{}}
			if p.Context.TriggerCharacter == " " && !v.isAfterSign(at) {
				return list, nil
			}
			found := v.Complete(at)
			list.IsIncomplete = found.More
			for i := range found.Items {
				list.Items = append(list.Items, v.completion(i, &found.Items[i]))
			}
			return list, nil
		}, func(c *wire.ServerCapabilities) {
			completionOptions(c).TriggerCharacters = []string{`"`, `'`, ".", "/", "(", ",", "=", "*", " "}
		})
}

func completionOptions(c *wire.ServerCapabilities) *protocol.CompletionOptions {
	if c.CompletionProvider == nil {
		c.CompletionProvider = &protocol.CompletionOptions{}
	}
	return c.CompletionProvider
}

// isAfterSign tells whether the space before a place follows a sign that asks for something, or a number,
// which asks for its unit: after any other, nobody wants to be offered anything until they type.
func (v *view) isAfterSign(at source.Point) bool {
	line := v.File.Line(int(at.Line))
	start := v.File.Offset(source.Point{Line: at.Line, Col: 1})
	before := strings.TrimRight(line[:min(v.File.Offset(at)-start, len(line))], " ")
	if before != "" && '0' <= before[len(before)-1] && before[len(before)-1] <= '9' {
		return true
	}
	return strings.HasSuffix(before, ",") || strings.HasSuffix(before, "=") || strings.HasSuffix(before, "*") || strings.HasSuffix(before, "(")
}

func (v *view) completion(i int, c *feature.Completion) wire.CompletionItem {
	can := v.client.TextDocument.Completion.CompletionItem
	item := wire.CompletionItem{
		Label: c.Label, Kind: completionKind(c.Kind), SortText: fmt.Sprintf("%05d", i), FilterText: c.Filter,
		TextEdit: &protocol.TextEdit{Range: v.within(c.Replace), NewText: c.Insert}, AdditionalTextEdits: v.textEdits(c.Extra),
		Preselect: i == 0,
	}
	if can.SnippetSupport && c.Snippet != "" {
		item.TextEdit.NewText, item.InsertTextFormat = c.Snippet, protocol.InsertTextFormatSnippet
	}
	switch {
	case !can.LabelDetailsSupport:
		item.Detail = strings.TrimSpace(c.Detail + "  " + c.Note)
	case c.Detail != "" || c.Note != "":
		item.LabelDetails = &wire.LabelDetails{Detail: spaced(c.Detail), Description: c.Note}
	}
	if c.Key != "" && v.open != nil {
		item.Data = &wire.CompletionData{URI: v.open.uri, Key: c.Key}
	}
	return item
}

func completionKind(k feature.CompletionKind) protocol.CompletionItemKind {
	switch k {
	case feature.CompleteFunction:
		return protocol.CompletionItemKindFunction
	case feature.CompleteArgument:
		return protocol.CompletionItemKindProperty
	case feature.CompleteCrop, feature.CompleteThing:
		return protocol.CompletionItemKindValue
	case feature.CompleteUnit:
		return protocol.CompletionItemKindUnit
	case feature.CompleteChoice:
		return protocol.CompletionItemKindEnumMember
	case feature.CompleteFile:
		return protocol.CompletionItemKindFile
	case feature.CompleteModule:
		return protocol.CompletionItemKindModule
	case feature.CompleteKeyword:
		return protocol.CompletionItemKindKeyword
	case feature.CompleteField:
		return protocol.CompletionItemKindField
	case feature.CompleteCode:
		return protocol.CompletionItemKindConstant
	}
	return protocol.CompletionItemKindVariable
}

// completionResolve says more about the one item that the grower looks at.
func completionResolve() method {
	m := request("completionItem/resolve", "the documentation of the completion that is looked at",
		func(s *server, p *wire.CompletionItem) (task, error) {
			return task{work: func(context.Context) (any, error) {
				if p.Data == nil {
					return p, nil
				}
				v, err := s.view(p.Data.URI)
				if err != nil {
					return p, nil // closed meanwhile: there is no more to say
				}
				p.Documentation = markup(v.Document(p.Data.Key), v.client.TextDocument.Completion.CompletionItem.DocumentationFormat)
				return p, nil
			}}, nil
		})
	m.announce = func(c *wire.ServerCapabilities) {
		yes := true
		completionOptions(c).ResolveProvider = &yes
	}
	return m
}

// spaced sets a text off from the label that it stands right behind.
func spaced(text string) string {
	if text == "" {
		return ""
	}
	return " " + text
}
