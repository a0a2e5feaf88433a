package feature

import (
	"slices"
	"strings"

	"haulm/lang/eval"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"
)

// code offers what belongs outside texts and comments.
func (c *completer) code() {
	n := len(c.tokens)
	sameLine := n > 0 && c.doc.File.Point(c.tokens[n-1].End).Line == c.doc.File.Point(c.offset).Line
	if n > 0 && c.tokens[n-1].Kind == syntax.Number && sameLine {
		c.afterNumber(c.offset - len(c.typed))
		return
	}
	w := c.names.wanted(c.part, c.offset, c.offset-len(c.typed))
	switch {
	case w.call != nil:
		c.inCall(w)
	case n == 0 || !sameLine || c.before(0) == ":":
		c.statement()
	case c.before(0) == "def" || c.before(0) == "for":
	case c.before(0) == "=" || c.before(0) == "in" || c.before(0) == "return" || c.isOperator():
		c.expression(w)
	case c.typed != "":
		c.statement()
	}
}

func (c *completer) isOperator() bool {
	n := len(c.tokens)
	k := c.tokens[n-1].Kind
	return k == syntax.Sign && c.before(0) != "." || k == syntax.Opener
}

// inCall offers the arguments of a call still free, or what belongs in the one being written.
func (c *completer) inCall(w want) {
	if w.call.Name == "load" {
		return // its arguments are texts
	}
	if w.fresh {
		c.arguments(w)
	}
	if w.fresh && w.param == nil && w.builtin != nil {
		return // only named arguments are left
	}
	c.expression(w)
}

// arguments offers the names of a call's arguments that are not given yet.
func (c *completer) arguments(w want) {
	given := map[string]bool{}
	placed := map[int]bool{}
	for i, a := range w.call.Args {
		switch {
		case i == w.call.Arg:
		case a.Name != "":
			given[a.Name] = true
		default:
			placed[i] = true
		}
	}
	if w.builtin == nil {
		c.ownArguments(w, given, placed)
		return
	}
	amount := given["count"] || given["length"] || given["fill"]
	for i := range w.builtin.Params {
		p := &w.builtin.Params[i]
		if given[p.Name] || i < w.builtin.Free && placed[i] {
			continue
		}
		r := possible
		switch {
		case p.Required:
			r = required
		case isPlanting(w.builtin) && isAmount(p.Name):
			if amount {
				continue // one of the three is said already
			}
			r = required
		case isPlanting(w.builtin) && (p.Name == "spacing" || p.Name == "on"):
			r = required
		}
		c.argument(r, p)
	}
}

func isPlanting(b *eval.Builtin) bool { return b.Name == "plant" || b.Name == "sow" }

func isAmount(name string) bool { return name == "count" || name == "length" || name == "fill" }

func (c *completer) argument(r rank, p *eval.Param) {
	note := p.Type.String()
	if p.Default != "" {
		note += ", " + p.Default + " when not given"
	}
	item := Completion{
		Label: p.Name, Kind: CompleteArgument, Note: note, Insert: p.Name + " = ",
		Key: argumentKey(c.names.wanted(c.part, c.offset, c.offset-len(c.typed)).builtin, p),
	}
	if p.Type.Kind == eval.KindFlag {
		item.Insert = p.Name + " = True"
	}
	c.add(r, item)
}

// ownArguments offers the parameters of a function that the plan defines.
func (c *completer) ownArguments(w want, given map[string]bool, placed map[int]bool) {
	m := c.names.meaning(w.call.Name)
	if m.from == nil || m.from.kind != defined {
		return
	}
	for i, p := range parametersOf(m.from) {
		if !given[p.name] && !placed[i] {
			c.add(required, Completion{Label: p.name, Kind: CompleteArgument, Insert: p.name + " = "})
		}
	}
}

// parametersOf gives the parameters of a function that a plan defines.
func parametersOf(def *binding) []binding {
	line := int(def.file.Point(def.at).Line)
	var list []binding
	found := false
	for _, b := range partAt(def.file, line, line+1).bindings() {
		switch {
		case b.at == def.at:
			found = true
		case found && b.kind == parameter:
			list = append(list, b)
		case found:
			return list
		}
	}
	return list
}

// expression offers what can stand in an expression, best what belongs there.
func (c *completer) expression(w want) {
	if w.param != nil && w.begins {
		c.values(w)
	}
	goal, known := w.dimension(c.names, c.part, c.tokens)
	kind := ""
	switch {
	case w.param != nil && w.begins:
		kind = kindOf(w.param.Type)
	case known:
		kind = goal.Noun()
	}
	c.scope(w, kind)
	if known && c.isOperator() && c.before(0) != "=" && c.before(0) != "," {
		c.unitsOf(goal, "")
	}
	if w.param != nil && c.typed == "" {
		c.toLoad(w)
		c.items = slices.DeleteFunc(c.items, func(i Completion) bool { return i.rank >= other })
		return // it is clear what belongs here
	}
	if w.param == nil {
		c.builtins(other, false)
	}
	c.toLoad(w)
	c.others()
}

// others offers the rest of what can be named.
func (c *completer) others() {
	for _, u := range quantity.Units() {
		c.add(last, unitItem(u))
	}
	for _, name := range universe {
		c.add(last, Completion{Label: name, Kind: CompleteKeyword})
	}
	for _, word := range []string{"if", "else", "for", "in", "not", "and", "or", "lambda"} {
		c.add(last, Completion{Label: word, Kind: CompleteKeyword})
	}
}

// statement offers what a line can begin with: the declarations, then what is in scope.
func (c *completer) statement() {
	c.builtins(fits, true)
	for _, k := range []struct{ word, snippet string }{
		{"load", `load("$1", "$2")`},
		{"for", "for ${1:name} in ${2:list}:\n    $0"},
		{"if", "if ${1:condition}:\n    $0"},
		{"def", "def ${1:name}(${2}):\n    $0"},
		{"return", ""}, {"pass", ""}, {"else", ""}, {"elif", ""}, {"break", ""}, {"continue", ""},
	} {
		c.add(possible, Completion{Label: k.word, Kind: CompleteKeyword, Snippet: k.snippet})
	}
	c.scope(want{}, "")
	c.toLoad(want{})
}

// builtins offers the built-in functions as whole calls.
func (c *completer) builtins(r rank, statement bool) {
	for _, b := range eval.Builtins() {
		if b.IsMethod() || c.names.named(b.Name) != nil {
			continue
		}
		rank := r
		if statement && b.Group == "values" {
			rank = last
		}
		c.add(rank, c.callItem(b, statement))
	}
}

func (c *completer) callItem(b *eval.Builtin, statement bool) Completion {
	return Completion{
		Label: b.Name, Kind: CompleteFunction, Note: strings.TrimSuffix(b.Summary, "."),
		Snippet: snippet(b, c.doc.units(), c.doc.year(), statement), Key: keyBuiltin + b.Name,
	}
}
