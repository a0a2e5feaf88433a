package lsp

import (
	"bytes"
	"cmp"
	"encoding/json"
	"slices"

	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/lsp/wire"
)

// part is the findings in one document by one plan.
type part struct {
	root     *root
	findings []diag.Diagnostic
}

// translator puts findings into the protocol's form.
type translator struct {
	enc   wire.Encoding
	can   wire.DiagnosticSupport
	pages *pages
	uris  map[string]string // of open documents, by key, as the client writes them
}

// translator for what is known now. The caller holds mu.
func (s *server) translator() *translator {
	t := &translator{enc: s.encoding, can: s.client.TextDocument.PublishDiagnostics, pages: s.pages, uris: map[string]string{}}
	for key, d := range s.docs {
		t.uris[key] = d.uri
	}
	return t
}

// list gives the findings of one document as a JSON array, sorted; what two plans find alike stands once.
func (t *translator) list(parts []part) json.RawMessage {
	var all []protocol.Diagnostic
	for _, p := range parts {
		for i := range p.findings {
			all = append(all, t.diagnostic(p.root, &p.findings[i]))
		}
	}
	if len(parts) > 1 {
		slices.SortStableFunc(all, func(a, b protocol.Diagnostic) int {
			return cmp.Or(comparePositions(a.Range.Start, b.Range.Start), comparePositions(a.Range.End, b.Range.End))
		})
	}
	items := make([]json.RawMessage, 0, len(all))
	for _, d := range all {
		item := encode(d)
		if len(parts) == 1 || !slices.ContainsFunc(items, func(x json.RawMessage) bool { return bytes.Equal(x, item) }) {
			items = append(items, item)
		}
	}
	return encode(items)
}

// encode writes what the protocol's types cannot fail to give.
func encode(v any) json.RawMessage {
	text, err := json.Marshal(v)
	if err != nil {
		panic(err)
	}
	return text
}

func comparePositions(a, b protocol.Position) int {
	return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Character, b.Character))
}

// diagnostic is one finding: what is wrong and what would help as the message, the places that have to do
// with it beside it.
func (t *translator) diagnostic(r *root, d *diag.Diagnostic) protocol.Diagnostic {
	severity, name := severityOf(d.Rule.Severity), "haulm"
	out := protocol.Diagnostic{
		Range:    t.enc.Range(d.Primary.Span),
		Severity: &severity,
		Code:     &protocol.IntegerOrString{Value: d.Code()},
		Source:   &name,
		Message:  d.Message,
	}
	if d.Help != "" {
		out.Message += "\n" + d.Help
	}
	if t.can.CodeDescriptionSupport {
		if href := t.pages.href(d.Rule); href != "" {
			out.CodeDescription = &protocol.CodeDescription{HRef: href}
		}
	}
	if tag := tagOf(d.Code()); tag != 0 && t.can.TagSupport != nil && slices.Contains(t.can.TagSupport.ValueSet, tag) {
		out.Tags = []protocol.DiagnosticTag{tag}
	}
	for _, l := range d.Related {
		if l.Span.IsValid() && t.can.RelatedInformation {
			out.RelatedInformation = append(out.RelatedInformation, protocol.DiagnosticRelatedInformation{
				Location: t.location(r, l.Span), Message: l.Text,
			})
		}
	}
	return out
}

// location is a place in one of a plan's files.
func (t *translator) location(r *root, span source.Span) protocol.Location {
	key := r.at(span.File.Path)
	uri, open := t.uris[key]
	if !open {
		uri = uriOf(key)
	}
	return protocol.Location{URI: uri, Range: t.enc.Range(span)}
}

func severityOf(s diag.Severity) protocol.DiagnosticSeverity {
	switch s {
	case diag.Error:
		return protocol.DiagnosticSeverityError
	case diag.Warning:
		return protocol.DiagnosticSeverityWarning
	}
	return protocol.DiagnosticSeverityInformation
}

// tagOf marks the findings that say of a text that it is there for nothing: an editor shows it faded.
func tagOf(code string) protocol.DiagnosticTag {
	switch code {
	case "unused-declaration", "stale-accept", "duplicate-argument":
		return protocol.DiagnosticTagUnnecessary
	}
	return 0
}
