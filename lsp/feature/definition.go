package feature

import (
	"slices"
	"strings"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Definition gives the places that give a name its meaning: for a name of this file its assignments, for
// a loaded one those in the file it comes from, for an argument the parameter, for a path in a load the
// file's beginning. There is none for what the language itself has.
func (d *Doc) Definition(at source.Point) []source.Span {
	part, offset := d.Part(at), d.File.Offset(at)
	tok, i, code := part.tokenAt(offset)
	text := part.text(tok)
	call := part.Call(offset)
	switch {
	case tok.Kind == syntax.Text:
		return d.textDefinition(part, tok, call)
	case tok.Kind != syntax.Word:
		return nil
	case i > 0 && part.text(code[i-1]) == ".":
		return d.fieldDefinition(part, code, i)
	case call != nil && call.Name != "load" && i+1 < len(code) && part.text(code[i+1]) == "=" && isArgumentName(call, d.File.Point(tok.Start)):
		return d.parameterDefinition(part, offset, call, text)
	}
	name, _ := d.Names().At(d.File.Point(tok.Start))
	if name == nil {
		return nil
	}
	return d.definitions(name)
}

// tokenAt gives the token at a byte offset, or just before it where no other says anything there, with
// its index among the part's tokens without comments; the zero token for none.
func (p *Part) tokenAt(offset int) (syntax.Token, int, []syntax.Token) {
	code := p.code()
	at := -1
	for i, t := range code {
		says := t.Kind <= syntax.Text
		if t.Start <= offset && offset <= t.End && (says || at < 0) {
			at = i
		}
	}
	if at < 0 {
		return syntax.Token{Kind: syntax.Stray}, -1, code
	}
	return code[at], at, code
}

func isArgumentName(c *Call, at source.Point) bool {
	return slices.ContainsFunc(c.Args, func(a Arg) bool { return a.Name != "" && a.Key.Start == at })
}

// definitions of a name of the file, followed through its load.
func (d *Doc) definitions(name *syntax.Name) []source.Span {
	if name.Load != nil && strings.ContainsAny(name.Load.Module, "./") {
		if spans := d.exported(loadPath(d.File.Path, name.Load.Module), name.Load.Name, maxHops); len(spans) > 0 {
			return spans
		}
	}
	var spans []source.Span
	for _, s := range name.Sites {
		if s.Binds {
			spans = append(spans, s.Span)
		}
	}
	return spans
}

// exported gives the places where another file of the plan binds a name at its top.
func (d *Doc) exported(path, name string, hops int) []source.Span {
	names := d.scopesOf(path)
	if names == nil || hops == 0 {
		return nil
	}
	n := names.TopNamed(name)
	if n == nil {
		return nil
	}
	if n.Load != nil && strings.ContainsAny(n.Load.Module, "./") {
		return d.exported(loadPath(path, n.Load.Module), n.Load.Name, hops-1)
	}
	var spans []source.Span
	for _, s := range n.Sites {
		if s.Binds {
			spans = append(spans, s.Span)
		}
	}
	return spans
}

// scopesOf gives the names of a file: of the text now for this one, of the text last evaluated for the
// plan's others; nil for a file that is not the plan's.
func (d *Doc) scopesOf(path string) *syntax.Scopes {
	if path == d.File.Path {
		return d.Names()
	}
	return d.Plan.scopes(path)
}

func (d *Doc) textDefinition(part *Part, tok syntax.Token, call *Call) []source.Span {
	if call == nil || call.Name != "load" || len(call.Args) == 0 {
		return nil
	}
	module := unquoted(call.Args[0].Value.Text())
	if !strings.ContainsAny(module, "./") {
		return nil
	}
	target := loadPath(d.File.Path, module)
	if call.Arg == 0 {
		if f := d.Plan.File(target); f != nil {
			return []source.Span{f.Span(0, 0)}
		}
		return nil
	}
	return d.exported(target, unquoted(part.text(tok)), maxHops)
}

// fieldDefinition leads from here.last_frost to the argument that gave it.
func (d *Doc) fieldDefinition(part *Part, code []syntax.Token, i int) []source.Span {
	if i < 2 {
		return nil
	}
	n := d.namesAt(part, code[i].Start)
	m := n.meaning(part.text(code[i-2]))
	if m.from == nil || !m.from.call {
		return nil
	}
	call := callFrom(m.from.file, m.from.value)
	if call == nil {
		return nil
	}
	b := call.Builtin()
	for j, a := range call.Args {
		if a.Name == part.text(code[i]) {
			return d.places(a.Key)
		}
		if p := paramOf(call, j); b != nil && p == part.text(code[i]) {
			return d.places(a.Value)
		}
	}
	return nil
}

func paramOf(c *Call, i int) string {
	b := c.Builtin()
	if b == nil {
		return ""
	}
	if p := c.Param(b, i); p != nil {
		return p.Name
	}
	return ""
}

// parameterDefinition leads from the name of an argument to the parameter of the plan's own function.
func (d *Doc) parameterDefinition(part *Part, offset int, call *Call, name string) []source.Span {
	n := d.namesAt(part, offset)
	m := n.meaning(call.Name)
	if m.from == nil || m.from.kind != defined {
		return nil
	}
	for _, p := range parametersOf(m.from) {
		if p.name == name {
			return d.places(p.file.Span(p.at, p.at+len(p.name)))
		}
	}
	return nil
}

// TypeDefinition gives the calls that declared what a name stands for, through aliases, loops, loads and
// helpers: from the r of plant(r, ...) to row(...), from a variety to its variety call.
func (d *Doc) TypeDefinition(at source.Point) []source.Span {
	part, offset := d.Part(at), d.File.Offset(at)
	tok, _, _ := part.tokenAt(offset)
	if tok.Kind != syntax.Word {
		return nil
	}
	var things []Thing
	if then, fresh := d.Evaluated(d.between(tok.Start, tok.End)); fresh && d.Plan != nil {
		things = d.Plan.given(then)
	}
	n := d.namesAt(part, offset)
	if len(things) == 0 {
		things = n.things(part.text(tok))
	}
	var spans []source.Span
	for _, t := range things {
		spans = append(spans, t.Decl.Call)
	}
	if spans = d.places(spans...); len(spans) == 0 {
		if m := n.meaning(part.text(tok)); m.from != nil && m.from.call && m.from.value > 0 {
			if c := callFrom(m.from.file, m.from.value); c != nil {
				return d.places(c.Span)
			}
		}
	}
	return spans
}
