package feature

import (
	"path"
	"slices"
	"strings"

	"haulm/lang/eval"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// meaning is what a name or a value stands for, as far as the text tells.
type meaning struct {
	kind string // "plot", "row", "crop", "date", "function", "a length", ...; "" when not known
	list bool   // many of the kind
	crop *crops.Crop
	from *binding // where the value was made: past aliases and loads
}

// words tell what it is: "plot", "list of rows".
func (m meaning) words() string {
	kind := strings.ReplaceAll(m.kind, "_", " ")
	if m.list {
		return "list of " + kind + "s"
	}
	return kind
}

const (
	kindDate     = "date"
	kindText     = "text"
	kindNumber   = "number"
	kindFunction = "function"
	kindCrop     = "crop"
	kindRow      = "row"
	kindPlot     = "plot"
	kindZone     = "zone"
)

// maxHops bounds how far a name is followed from file to file and from name to name.
const maxHops = 12

// names are the names in scope at a place.
type names struct {
	doc *Doc
	own *nameTable // bound in the part around the place
	top *nameTable // bound at the top of the file
}

// namesAt gives the names in scope at a place of a part: those that the part binds, then those of the
// top of the file.
func (d *Doc) namesAt(p *Part, offset int) *names {
	n := &names{doc: d, own: newNameTable(), top: d.topOf(d.File.Path)}
	list := p.bindings()
	slices.Reverse(list)
	for _, b := range list {
		if b.at <= offset {
			n.own.add(b) // of several, the last before the place
		}
	}
	for _, b := range list {
		n.own.add(b)
	}
	return n
}

// before leaves out what the statement at a place itself binds, for it is not in scope there yet.
func (n *names) before(offset int) *names {
	line := n.doc.File.Point(offset).Line
	out := &names{doc: n.doc, own: newNameTable(), top: n.top}
	for _, b := range n.own.list {
		if b.kind != assigned || n.doc.File.Point(b.at).Line != line {
			out.own.add(b)
		}
	}
	return out
}

// named gives the binding of a name; nil when it is not bound here.
func (n *names) named(name string) *binding {
	if b := n.own.named(name); b != nil {
		return b
	}
	return n.top.named(name)
}

// topOf gives the names bound at the top of a file: of the text last evaluated when there is one, which
// is cheaper than to look through the text now; none for a file that is not the plan's.
func (d *Doc) topOf(path string) *nameTable {
	if t := d.Plan.top(path); t != nil {
		return t
	}
	if path == d.File.Path {
		return d.own()
	}
	return newNameTable()
}

// meaning of a name in scope.
func (n *names) meaning(name string) meaning { return n.follow(n.named(name), name, maxHops) }

func (n *names) follow(b *binding, name string, hops int) meaning {
	switch {
	case hops == 0:
		return meaning{}
	case b == nil:
		return outside(name)
	case b.kind == loaded:
		return n.imported(b, hops)
	case b.kind == defined:
		return meaning{kind: kindFunction, from: b}
	case b.kind == parameter && b.value == 0:
		return n.parameter(b)
	}
	m := n.value(b, hops)
	if m.from == nil {
		m.from = b
	}
	if b.each {
		if !m.list {
			return meaning{from: b}
		}
		m.list = false
	}
	return m
}

// outside tells what a name means that nothing binds.
func outside(name string) meaning {
	if u, ok := quantity.UnitNamed(name); ok {
		return meaning{kind: u.Dim.Noun()}
	}
	if builtinNamed(name) != nil {
		return meaning{kind: kindFunction}
	}
	return meaning{}
}

func (n *names) imported(b *binding, hops int) meaning {
	if b.load.module == cropModule {
		return meaning{kind: kindCrop, crop: cropOf(b.load.name), from: b}
	}
	if !strings.ContainsAny(b.load.module, "./") {
		return meaning{kind: kindFunction, from: b}
	}
	target := loadPath(b.file.Path, b.load.module)
	other := &names{doc: n.doc, own: newNameTable(), top: n.doc.topOf(target)}
	if there := other.named(b.load.name); there != nil {
		return other.follow(there, b.load.name, hops-1)
	}
	return meaning{from: b}
}

// value tells what the value of a binding is.
func (n *names) value(b *binding, hops int) meaning {
	text := b.file.Text
	rest := text[b.value+len(b.chain):]
	switch {
	case b.chain == "":
		return n.literal(b, hops)
	case b.call:
		return n.result(b.chain, hops-1)
	}
	m := n.chain(b.chain, hops-1)
	if strings.HasPrefix(rest, "[") {
		m.list = false
	}
	return m
}

// literal tells what a value that begins with no name is; a list is one of what its first part is.
func (n *names) literal(b *binding, hops int) meaning {
	text := b.file.Text
	if b.value < len(text) && text[b.value] == '[' && hops > 0 {
		first := binding{file: b.file, kind: assigned, value: b.value + 1}
		first.look()
		if m := n.value(&first, hops-1); !m.list {
			return meaning{kind: m.kind, list: m.kind != ""}
		}
		return meaning{}
	}
	return literal(text[min(b.value, len(text)):])
}

// chain tells what a name, or a thing read of it, is: "bench", "here.last_frost".
func (n *names) chain(chain string, hops int) meaning {
	of, attr, dotted := strings.Cut(chain, ".")
	m := n.follow(n.named(of), of, hops)
	if !dotted {
		return m
	}
	for _, h := range eval.Handles() {
		if h.Name != m.kind || m.list {
			continue
		}
		for _, a := range h.Attrs {
			if a.Name == attr {
				return meaning{kind: bare(a.Type)}
			}
		}
	}
	return meaning{}
}

// result tells what a call of a name gives.
func (n *names) result(chain string, hops int) meaning {
	if hops <= 0 {
		return meaning{}
	}
	if i := strings.LastIndexByte(chain, '.'); i >= 0 {
		if chain[i+1:] == "variety" {
			of := n.chain(chain[:i], hops)
			return meaning{kind: kindCrop, crop: of.crop}
		}
		return meaning{}
	}
	b := n.named(chain)
	if b == nil {
		return returned(builtinNamed(chain))
	}
	m := n.follow(b, chain, hops)
	if m.from == nil || m.from.kind != defined {
		return meaning{}
	}
	return n.returns(m.from, hops)
}

// returned reads "a plot" or "a list of rows".
func returned(b *eval.Builtin) meaning {
	if b == nil {
		return meaning{}
	}
	kind := bare(b.Returns)
	if of, ok := strings.CutPrefix(kind, "list_of_"); ok {
		return meaning{kind: strings.TrimSuffix(of, "s"), list: true}
	}
	return meaning{kind: kind}
}

// bare takes the article off a kind and joins its words as names of built-ins do.
func bare(kind string) string {
	for _, article := range []string{"a ", "an "} {
		kind = strings.TrimPrefix(kind, article)
	}
	return strings.ReplaceAll(kind, " ", "_")
}

// returns tells what a function of the plan gives back, by the first of its returns that tells anything.
func (n *names) returns(def *binding, hops int) meaning {
	line := int(def.file.Point(def.at).Line)
	part := partAt(def.file, line, line+1)
	inside := &names{doc: n.doc, own: newNameTable(), top: n.doc.topOf(def.file.Path)}
	own := part.bindings()
	slices.Reverse(own)
	for _, b := range own {
		if b.at != def.at {
			inside.own.add(b)
		}
	}
	for _, t := range part.code() {
		if part.text(t) != "return" {
			continue
		}
		b := binding{file: def.file, kind: assigned, value: t.End}
		b.look()
		if m := inside.value(&b, hops-1); m.kind != "" {
			return m
		}
	}
	return meaning{}
}

// parameter guesses what a parameter is from the calls it is handed on to.
func (n *names) parameter(b *binding) meaning {
	line := int(b.file.Point(b.at).Line)
	part := partAt(b.file, line, line+1)
	for _, c := range part.Calls() {
		of := c.Builtin()
		if of == nil {
			continue
		}
		for i, a := range c.Args {
			if a.Value.Text() != b.name {
				continue
			}
			if p := c.Param(of, i); p != nil {
				return meaning{kind: kindOf(p.Type), from: b}
			}
		}
	}
	return meaning{from: b}
}

// kindOf gives the kind of the values that a parameter takes.
func kindOf(t eval.Type) string {
	switch t.Kind {
	case eval.KindHandle:
		return strings.ReplaceAll(t.Handle, " ", "_")
	case eval.KindDate:
		return kindDate
	case eval.KindText, eval.KindChoice:
		return kindText
	case eval.KindNumber, eval.KindWhole:
		return kindNumber
	case eval.KindFlag:
		return "truth"
	case eval.KindQuantity:
		return t.Dim.Noun()
	case eval.KindDays:
		return quantity.Time.Noun()
	}
	return ""
}

// literal tells what a value is that begins with no name.
func literal(text string) meaning {
	if text == "" {
		return meaning{}
	}
	switch c := text[0]; {
	case c == '"' || c == '\'':
		if len(text) > 11 {
			if _, err := season.Parse(text[1:11]); err == nil {
				return meaning{kind: kindDate}
			}
		}
		return meaning{kind: kindText}
	case c == '[' || c == '(':
		m := literal(strings.TrimLeft(text[1:], " \t\r\n"))
		m.list = c == '['
		return m
	case isDigit(c) || c == '-' || c == '.':
		n := 1
		for n < len(text) && (isDigit(text[n]) || strings.IndexByte(". *", text[n]) >= 0) {
			n++
		}
		if m := outside(text[n : n+nameLength(text[n:])]); m.kind != "" && m.kind != kindFunction {
			return m
		}
		return meaning{kind: kindNumber}
	}
	return meaning{}
}

const cropModule = "crops"

// loadPath gives the path from the plan's root of a file that another loads.
func loadPath(from, module string) string { return path.Join(path.Dir(from), module) }

// cropOf gives the crop of the table that a plan loads by the name; nil for none.
func cropOf(ident string) *crops.Crop {
	for _, c := range crops.All() {
		if c.Ident == ident {
			return c
		}
	}
	return nil
}

// builtinNamed gives the built-in function of a name; nil for none.
func builtinNamed(name string) *eval.Builtin {
	for _, b := range eval.Builtins() {
		if b.Name == name && !b.IsMethod() {
			return b
		}
	}
	return nil
}

// known tells whether a name means something without being bound.
func known(name string) bool { return outside(name).kind != "" || slices.Contains(universe, name) }

// universe are Starlark's own names that a grower would use.
var universe = []string{
	"abs", "all", "any", "bool", "dict", "enumerate", "fail", "float", "hasattr", "int", "len", "list", "max", "min",
	"print", "range", "repr", "reversed", "set", "sorted", "str", "tuple", "type", "zip", "True", "False", "None",
}

// callAt gives the call of a file whose callee begins at a byte offset; nil for none.
func callFrom(f *source.File, offset int) *Call {
	line := int(f.Point(offset).Line)
	start := f.Point(offset)
	for _, c := range partAt(f, line, line+1).Calls() {
		if c.Span.Start == start {
			return c
		}
	}
	return nil
}

// isWordByte tells whether a token is a name.
func isName(p *Part, t syntax.Token) bool {
	return t.Kind == syntax.Word && !syntax.IsKeyword(p.text(t))
}

// builtinsGiving lists the built-in functions whose calls give the kind.
func builtinsGiving(kind string) []string {
	var list []string
	for _, b := range eval.Builtins() {
		if kind != "" && !b.IsMethod() && returned(b).kind == kind {
			list = append(list, b.Name)
		}
	}
	return list
}
