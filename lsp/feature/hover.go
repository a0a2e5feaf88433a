package feature

import (
	"slices"
	"strings"

	"haulm/lang/eval"
	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

// Hover is what there is to say about a stretch of text, in Markdown.
type Hover struct {
	Span source.Span
	Text string
}

// Hover tells about what stands at a place; nil when there is nothing to say.
func (d *Doc) Hover(at source.Point) *Hover {
	h := &hoverer{doc: d, part: d.Part(at), offset: d.File.Offset(at)}
	for _, t := range h.part.Tokens {
		if t.Kind != syntax.Comment {
			h.code = append(h.code, t)
		}
		says := t.Kind <= syntax.Text || t.Kind == syntax.Comment
		if t.Start <= h.offset && h.offset <= t.End && (says || h.in.End == 0) {
			h.in, h.at = t, len(h.code)-1
		}
	}
	if h.in.End == 0 {
		return nil
	}
	h.names = d.namesAt(h.part, h.offset)
	text := ""
	span := d.between(h.in.Start, h.in.End)
	switch h.in.Kind {
	case syntax.Comment:
		text, span = h.comment()
	case syntax.Text:
		text = h.text()
	case syntax.Number:
		text, span = h.amount()
	case syntax.Word:
		text, span = h.word(span)
	}
	if text == "" {
		return nil
	}
	return &Hover{Span: span, Text: text}
}

// hoverer gathers what is at one place.
type hoverer struct {
	doc    *Doc
	part   *Part
	offset int
	code   []syntax.Token
	in     syntax.Token // the token at the place
	at     int          // its index in code
	names  *names
}

func (h *hoverer) token(i int) string {
	if i < 0 || i >= len(h.code) {
		return ""
	}
	return h.part.text(h.code[i])
}

// word tells about a name by where it stands: an argument's, a thing read of a value, a call, a value.
func (h *hoverer) word(span source.Span) (string, source.Span) {
	name := h.part.text(h.in)
	call := h.part.Call(h.in.Start)
	if h.token(h.at-1) == "." {
		return h.attribute(name), span
	}
	if call != nil && call.Name != "load" && h.token(h.at+1) == "=" {
		for i, a := range call.Args {
			if a.Name == name && a.Key.Start == span.Start {
				return h.argument(call, i), span
			}
		}
	}
	if h.token(h.at+1) == "(" {
		if text := h.called(name); text != "" {
			return text, span
		}
	}
	if h.names.named(name) != nil {
		return h.value(name, span), span
	}
	if b := builtinNamed(name); b != nil {
		return builtinText(b), span
	}
	if _, ok := quantity.UnitNamed(name); ok {
		return h.amount()
	}
	return "", span
}

// called tells about a call: what it declared when the plan was last evaluated, then what the function
// is.
func (h *hoverer) called(name string) string {
	var call *Call
	for _, c := range h.part.Calls() {
		if h.doc.File.Offset(c.NameSpan.Start) == h.in.Start {
			call = c
		}
	}
	if call == nil {
		return ""
	}
	var parts []string
	if h.doc.Plan != nil {
		then, fresh := h.doc.Evaluated(call.Span)
		parts = append(parts, h.doc.thingsText(h.doc.Plan.Things(then), fresh))
	}
	switch b := call.Builtin(); {
	case h.names.named(name) != nil:
		parts = append(parts, h.doc.functionText(h.names.meaning(name)))
	case b != nil && joinParts(parts) != "":
		parts = append(parts, "`"+b.Name+"`: "+sentence(b.Summary))
	case b != nil:
		parts = append(parts, builtinText(b))
	}
	return joinParts(parts)
}

// value tells about what a name stands for.
func (h *hoverer) value(name string, span source.Span) string {
	m := h.names.meaning(name)
	var things []Thing
	if m.from != nil {
		things = h.names.thingsOf(m.from, m.kind)
	}
	if h.doc.Plan != nil {
		if then, fresh := h.doc.Evaluated(span); fresh {
			if here := h.doc.Plan.given(then); len(here) > 0 {
				things = here // what was handed on at this very place
			}
		}
	}
	if text := h.doc.thingsText(things, h.names.isFresh(m.from)); text != "" {
		return text
	}
	switch {
	case m.crop != nil:
		return cropText(m.crop, h.doc.units())
	case m.kind == kindFunction:
		return h.doc.functionText(m)
	case m.from != nil && m.from.value > 0:
		if a, ok := h.names.amount(m.from.file, m.from.value, endOfStatement(m.from)); ok {
			return "`" + name + "`: " + h.doc.amountText(a)
		}
	}
	if m.kind == "" {
		return ""
	}
	kind := strings.ReplaceAll(m.kind, "_", " ")
	if m.list {
		return "`" + name + "`: a list of " + kind + "s"
	}
	return "`" + name + "`: " + article(strings.TrimPrefix(strings.TrimPrefix(kind, "a "), "an "))
}

func endOfStatement(b *binding) int {
	line := int(b.file.Point(b.at).Line)
	tokens := statementFrom(partAt(b.file, line, line+1), b.value)
	if len(tokens) == 0 {
		return b.value
	}
	return tokens[len(tokens)-1].End
}

// attribute tells about what is read of a value.
func (h *hoverer) attribute(name string) string {
	if h.at < 2 {
		return ""
	}
	if name == "variety" {
		return h.called(name)
	}
	of := h.token(h.at - 2)
	m := h.names.meaning(of)
	for _, k := range eval.Handles() {
		if k.Name != m.kind || m.list {
			continue
		}
		for _, a := range k.Attrs {
			if a.Name != name {
				continue
			}
			text := "`" + name + "` of " + article(strings.ReplaceAll(k.Name, "_", " ")) + ": " + sentence(a.Doc)
			if v, ok := h.names.frost(of, name); ok {
				text = "**" + h.doc.amountText(v) + "**\n\n" + text
			}
			return text
		}
	}
	return ""
}

// comment tells about the finding that an accept comment names.
func (h *hoverer) comment() (string, source.Span) {
	comment := h.part.text(h.in)
	list, ok := strings.CutPrefix(strings.TrimLeft(comment, "# \t"), "accept:")
	if !ok {
		return "", source.Span{}
	}
	start := h.in.Start + len(comment) - len(list)
	for _, r := range plan.Rules() {
		i := strings.Index(list, r.Code)
		if i < 0 {
			continue
		}
		if from := start + i; h.offset >= from && h.offset <= from+len(r.Code) {
			first, _, _ := strings.Cut(strings.TrimSpace(r.Explain), "\n\n")
			return joinParts([]string{ruleHead(r), first}), h.doc.between(from, from+len(r.Code))
		}
	}
	return "", source.Span{}
}

// text tells about a text by what it is given for.
func (h *hoverer) text() string {
	content := unquoted(h.part.text(h.in))
	call := h.part.Call(h.in.Start + 1)
	if call == nil {
		return ""
	}
	if call.Name == "load" {
		return h.loadText(call, content)
	}
	w := h.names.wanted(h.part, h.in.Start+1, h.in.Start)
	if w.param == nil {
		return ""
	}
	switch p := w.param; {
	case p.Type.Kind == eval.KindDate:
		if a, ok := h.names.amount(h.doc.File, h.in.Start, h.in.End); ok {
			return h.doc.amountText(a)
		}
	case p.Type.Kind == eval.KindCrops:
		if c, ok := crops.Named(content); ok {
			return cropText(c, h.doc.units())
		}
	case p.Name == "name" && h.doc.Plan != nil:
		then, fresh := h.doc.Evaluated(call.Span)
		things := h.doc.Plan.Things(then)
		things = slices.DeleteFunc(things, func(t Thing) bool { return t.Through })
		if text := h.doc.thingsText(things, fresh); text != "" {
			return text
		}
		return h.argument(call, call.Arg)
	case isShared(p) && h.doc.Plan != nil:
		return h.doc.sharedText(p.Name, content)
	}
	return h.argument(call, call.Arg)
}

func (h *hoverer) loadText(call *Call, content string) string {
	module := unquoted(call.Args[0].Value.Text())
	if call.Arg == 0 {
		return h.doc.moduleText(module)
	}
	if module == cropModule {
		if c := cropOf(content); c != nil {
			return cropText(c, h.doc.units())
		}
		return ""
	}
	b := binding{file: h.doc.File, name: content, kind: loaded, load: &loadOf{module, content}}
	m := h.names.imported(&b, maxHops)
	if m.from == nil {
		return ""
	}
	if text := h.doc.thingsText(h.names.thingsOf(m.from, m.kind), true); text != "" {
		return text
	}
	if m.kind == kindFunction {
		return h.doc.functionText(m)
	}
	return ""
}
