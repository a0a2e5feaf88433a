package feature

import (
	"strings"

	"haulm/lang/source"
)

// Signature is the call being written: what the function takes, and which of it the cursor is at.
type Signature struct {
	Label  string // "row(plot, at, name = ..., ...)"
	Doc    string // Markdown
	Params []SignatureParam
	Active int // index into Params, -1 for none
}

// SignatureParam is one parameter of a Signature. Its label stands in the signature's between two byte
// offsets.
type SignatureParam struct {
	Start, End int
	Doc        string // Markdown
}

// Signature gives the signature of the call around a place; nil outside calls of known functions.
func (d *Doc) Signature(at source.Point) *Signature {
	part, offset := d.Part(at), d.File.Offset(at)
	n := d.namesAt(part, offset)
	for call := part.Call(offset); call != nil; call = call.Outer {
		if s := d.signatureOf(n, call); s != nil {
			return s
		}
	}
	return nil
}

func (d *Doc) signatureOf(n *names, call *Call) *Signature {
	s := &Signature{Active: -1}
	b := call.Builtin()
	if m := n.meaning(call.Name); call.Receiver == "" && n.named(call.Name) != nil {
		if m.from == nil || m.from.kind != defined {
			return nil
		}
		return d.ownSignature(m, call)
	}
	if b == nil {
		return nil
	}
	var label strings.Builder
	label.WriteString(b.Name + "(")
	for i := range b.Params {
		p := &b.Params[i]
		if i > 0 {
			label.WriteString(", ")
		}
		start := label.Len()
		label.WriteString(p.Name)
		switch {
		case p.Default != "":
			label.WriteString(" = " + p.Default)
		case i >= b.Free && p.Required:
			label.WriteString(" = ...")
		case i >= b.Free:
			label.WriteString(" = None")
		}
		s.Params = append(s.Params, SignatureParam{Start: start, End: label.Len(), Doc: paramText(p, d.units())})
	}
	label.WriteString(")")
	s.Label, s.Doc = label.String(), sentence(b.Summary)
	if active := call.Param(b, call.Arg); active != nil {
		for i := range b.Params {
			if &b.Params[i] == active {
				s.Active = i
			}
		}
	}
	return s
}

// ownSignature is that of a function that the plan defines.
func (d *Doc) ownSignature(m meaning, call *Call) *Signature {
	s := &Signature{Active: -1}
	label := m.from.name + "("
	params := parametersOf(m.from)
	for i, p := range params {
		if i > 0 {
			label += ", "
		}
		start := len(label)
		label += p.name
		if p.value > 0 {
			label += " = " + firstValue(p)
		}
		s.Params = append(s.Params, SignatureParam{Start: start, End: len(label)})
		named := call.Arg < len(call.Args) && call.Args[call.Arg].Name != ""
		if named && call.Args[call.Arg].Name == p.name || !named && call.Arg == i {
			s.Active = i
		}
	}
	s.Label = label + ")"
	if text := d.functionText(m); text != "" {
		_, s.Doc, _ = strings.Cut(text, "```\n\n")
	}
	return s
}

// firstValue is a parameter's default as it stands.
func firstValue(p binding) string {
	text := p.file.Text[p.value:]
	depth := 0
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '(', '[', '{':
			depth++
		case ')', ']', '}':
			if depth--; depth < 0 {
				return strings.TrimSpace(text[:i])
			}
		case ',', '\n':
			if depth == 0 {
				return strings.TrimSpace(text[:i])
			}
		}
	}
	return strings.TrimSpace(text)
}
