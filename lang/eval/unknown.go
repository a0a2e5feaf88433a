package eval

import (
	"slices"
	"strconv"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"

	"go.starlark.net/resolve"
	"go.starlark.net/starlark"
	star "go.starlark.net/syntax"
)

// reportUnknown reports every use of names that nothing binds.
func (ev *evaluator) reportUnknown(m *module, stmts []star.Stmt, unknown map[string]bool) {
	for _, piece := range m.ready.tree.Bad {
		for _, name := range piece.Names {
			unknown[name] = false // bound in a statement that does not parse
		}
	}
	for _, load := range m.ready.loads {
		for i, from := range load.From {
			if crop, ok := crops.Named(from.Name); ok && load.ModuleName() == cropModule && !isAliased(load, i) && from.Name != crop.Ident {
				unknown[crop.Ident] = false // the load is at fault, and mending it makes the name known
			}
		}
	}
	for _, s := range stmts {
		var around []star.Node
		star.Walk(s, func(n star.Node) bool {
			if n == nil {
				around = around[:len(around)-1]
				return true
			}
			if id, ok := n.(*star.Ident); ok && unknown[id.Name] && isUse(id) {
				ev.report((&use{ev: ev, p: m.ready, id: id, around: around}).explain())
			}
			around = append(around, n)
			return true
		})
	}
}

func isUse(id *star.Ident) bool {
	b, ok := id.Binding.(*resolve.Binding)
	return ok && b.Scope == resolve.Predeclared
}

// use is a place where a name stands that nothing binds, with the nodes around it, outermost first.
type use struct {
	ev     *evaluator
	p      *prepared
	id     *star.Ident
	around []star.Node
	at     source.Span
}

// explain finds what the name was meant to be: the surest guess first.
func (u *use) explain() *found {
	u.at = u.p.span(u.id)
	name := u.id.Name
	f := finding(unknownName, u.at, "nothing is called %s here", name)
	param := u.argument()
	if f, ok := u.joined(); ok {
		return f
	}
	if f, ok := u.later(); ok {
		return f
	}
	if module, ok := moduleOffering(name); ok {
		edit, title := loadEdit(u.p, module, name)
		return f.label("not loaded").help("load it first: load(%q, %q)", module, name).fix(true, title, edit)
	}
	if text := languageWord(name); text != "" {
		sure := param != nil && param.Type.Kind == KindFlag || strings.EqualFold(text, name)
		return f.help("write %s", text).fix(sure, "Write "+text, u.write(text))
	}
	if unit, ok := quantity.UnitCalled(name); ok {
		if factor, number := u.factor(); factor {
			return f.help("write %s", unit.Name).fix(number && len(name) > 1, "Write "+unit.Name, u.write(unit.Name))
		}
	}
	if u.isCalled() {
		if b := builtinMeant(name); b != nil {
			return f.help("write %s(...): %s", b.Name, b.Summary).
				fix(strings.EqualFold(b.Name, name), "Write "+b.Name, u.write(b.Name))
		}
	}
	if param != nil && u.quoted(param, f) {
		return f
	}
	if name == "here" {
		f.Message = "here means nothing yet: no site is called so"
		return f.help(`say first where the farm lies: here = site(latitude = ..., last_frost = "...", first_frost = "...")`)
	}
	if whole := u.ofSite(); whole != "" {
		return f.help("ask the site for it: %s", whole).fix(false, "Write "+whole, u.write(whole))
	}
	if near := u.ev.nearest(name, u.known()); near != "" {
		return f.help("did you mean %s?", near).fix(false, "Write "+near, u.write(near))
	}
	if param != nil && param.Type.Kind == KindText {
		return u.inQuotes(f, name)
	}
	if crop, ok := crops.Named(name); ok {
		return f.help("the crop is called %s: load(%q, %q)", crop.Ident, cropModule, crop.Ident).
			fix(false, "Write "+crop.Ident, u.write(crop.Ident))
	}
	if param != nil && param.Type.Kind == KindHandle {
		f.help("%s", u.ev.howTo(param))
	}
	return f
}

// joined finds a word to choose that has an and in it: stake and weave.
func (u *use) joined() (*found, bool) {
	for i := len(u.around) - 1; i > 0; i-- {
		x, ok := u.around[i].(*star.BinaryExpr)
		if !ok {
			return nil, false
		}
		outer, at := u.around[i-1], star.Node(x)
		if named, ok := outer.(*star.BinaryExpr); ok && named.Op == star.EQ && i > 1 {
			outer, at = u.around[i-2], named
		}
		call, ok := outer.(*star.CallExpr)
		if !ok {
			continue
		}
		param, span := paramOf(call, at), u.p.span(x)
		if param == nil || !slices.Contains(param.Type.Choices, span.Text()) {
			return nil, false
		}
		text := strconv.Quote(span.Text())
		return finding(unknownName, span, "a word to choose stands in quotes: %s", text).
			fix(true, "Write "+text, diag.Edit{Span: span, Text: text}), true
	}
	return nil, false
}

func (u *use) write(text string) diag.Edit { return diag.Edit{Span: u.at, Text: text} }

// later finds that the name gets its meaning further down, or in this very statement.
func (u *use) later() (*found, bool) {
	first, ok := u.p.first[u.id.Name]
	if !ok {
		return nil, false
	}
	f := finding(unknownName, u.at, "%s means nothing yet: it gets its meaning further down, in line %d", u.id.Name, first.id.NamePos.Line).
		related(u.p.span(first.id), "meant from here on").help("move that line above this one")
	if first.stmt == u.stmt() {
		f = finding(unknownName, u.at, "%s means nothing yet: this statement is what gives it its meaning", u.id.Name)
		if near := u.ev.nearest(u.id.Name, u.known()); near != "" {
			f.help("did you mean %s?", near).fix(false, "Write "+near, u.write(near))
		}
	}
	return f, true
}

// stmt is the index of the statement at the top of the file.
func (u *use) stmt() int { return u.p.indexAt(pointOf(u.id.NamePos)) }

// known are the names that mean something where the use stands.
func (u *use) known() []string {
	if u.ev.guesses > maxGuesses {
		return nil
	}
	var known []string
	at, inside := u.stmt(), false
	for _, n := range u.around {
		if def, ok := n.(*star.DefStmt); ok {
			inside = true
			known = append(known, localNames(def)...)
		}
	}
	for name, first := range u.p.first {
		if first.stmt < at || inside && first.stmt != at {
			known = append(known, name)
		}
	}
	factor, _ := u.factor()
	called := u.isCalled()
	for _, names := range []starlark.StringDict{u.ev.names, starlark.Universe} {
		for name, v := range names {
			_, isFunction := v.(*starlark.Builtin)
			_, isUnit := quantity.UnitNamed(name)
			if !strings.HasPrefix(name, seedMark) && (!isUnit || factor) && isFunction == called {
				known = append(known, name)
			}
		}
	}
	slices.Sort(known)
	return known
}

// localNames are the parameters of a function and what its statements bind.
func localNames(def *star.DefStmt) []string {
	local := map[string]bool{}
	for _, x := range def.Params {
		if b, ok := x.(*star.BinaryExpr); ok {
			x = b.X
		}
		names(x, local)
	}
	for _, s := range def.Body {
		(&prepared{binds: local}).stmtNames(s)
	}
	var list []string
	for name := range local {
		list = append(list, name)
	}
	return list
}

// parent is the node around the use, nil for none.
func (u *use) parent() star.Node {
	if len(u.around) == 0 {
		return nil
	}
	return u.around[len(u.around)-1]
}

func (u *use) isCalled() bool {
	call, ok := u.parent().(*star.CallExpr)
	return ok && call.Fn == star.Expr(u.id)
}

// factor tells whether the use is multiplied or divided, and whether with a plain number.
func (u *use) factor() (is, byNumber bool) {
	var other star.Expr
	switch x := u.parent().(type) {
	case *star.BinaryExpr:
		if x.Op != star.STAR && x.Op != star.SLASH {
			return false, false
		}
		if other = x.X; other == star.Expr(u.id) {
			other = x.Y
		}
	case *star.CallExpr: // the operator that stands in the place of *
		if id, ok := x.Fn.(*star.Ident); !ok || id.Name != opRepeat {
			return false, false
		}
		if other = x.Args[0]; other == star.Expr(u.id) {
			other = x.Args[1]
		}
	default:
		return false, false
	}
	return true, isPlainNumber(other)
}

// isPlainNumber tells whether an expression is a number by its looks.
func isPlainNumber(x star.Expr) bool {
	switch x := x.(type) {
	case *star.Literal:
		return x.Token == star.INT || x.Token == star.FLOAT
	case *star.ParenExpr:
		return isPlainNumber(x.X)
	case *star.UnaryExpr:
		return x.Op == star.MINUS && isPlainNumber(x.X)
	case *star.BinaryExpr:
		return isPlainNumber(x.X) && isPlainNumber(x.Y)
	case *star.CallExpr:
		id, ok := x.Fn.(*star.Ident)
		return ok && strings.HasPrefix(id.Name, seedMark) && len(x.Args) > 1 && isPlainNumber(x.Args[0]) && isPlainNumber(x.Args[1])
	}
	return false
}

// argument is the parameter that the use is given for, alone or in a list; nil for none.
func (u *use) argument() *Param {
	x := star.Node(u.id)
	for i := len(u.around) - 1; i >= 0; i-- {
		switch n := u.around[i].(type) {
		case *star.ListExpr:
		case *star.BinaryExpr:
			if n.Op != star.EQ {
				return nil
			}
		case *star.CallExpr:
			return paramOf(n, x)
		default:
			return nil
		}
		x = u.around[i]
	}
	return nil
}

// paramOf gives the parameter that an argument of a call is for, nil if the call is of no built-in.
func paramOf(call *star.CallExpr, arg star.Node) *Param {
	b := calledBuiltin(call)
	if b == nil || star.Node(call.Fn) == arg {
		return nil
	}
	for i, x := range call.Args {
		if star.Node(x) != arg {
			continue
		}
		if named, ok := namedArgument(x); ok {
			return b.Param(named.X.(*star.Ident).Name)
		}
		if i < b.Free {
			return &b.Params[i]
		}
	}
	return nil
}

// calledBuiltin gives the built-in that a call names, nil for none.
func calledBuiltin(call *star.CallExpr) *Builtin {
	switch fn := call.Fn.(type) {
	case *star.Ident:
		return registry().names[fn.Name]
	case *star.DotExpr:
		if fn.Name.Name == varietyName {
			return registry().variety
		}
	}
	return nil
}

// quoted finds that the name is rather a text without its quotes: a word to choose, or a family.
func (u *use) quoted(param *Param, f *found) bool {
	text, what := "", ""
	if param.Type.Kind == KindChoice {
		text, what = sameButCapitals(strings.ReplaceAll(u.id.Name, "_", " "), param.Type.Choices), "a word to choose stands"
	} else if param.Type.Kind == KindCrops || param.Type.Family {
		text, _ = crops.Family(u.id.Name)
		what = "families stand"
	}
	if text == "" {
		return false
	}
	text = strconv.Quote(text)
	f.help("%s in quotes: %s", what, text).fix(true, "Write "+text, u.write(text))
	return true
}

// ofSite finds that the name is what the plan's site is asked for: here.last_frost for last_frost.
func (u *use) ofSite() string {
	if !slices.ContainsFunc(siteHandle.Attrs, func(a Attr) bool { return a.Name == u.id.Name }) {
		return ""
	}
	for _, s := range u.p.stmts {
		assign, ok := s.(*star.AssignStmt)
		if !ok {
			continue
		}
		id, isName := assign.LHS.(*star.Ident)
		call, isCall := assign.RHS.(*star.CallExpr)
		if !isName || !isCall {
			continue
		}
		if fn, ok := call.Fn.(*star.Ident); ok && fn.Name == siteHandle.Name {
			return id.Name + "." + u.id.Name
		}
	}
	return ""
}

func (u *use) inQuotes(f *found, name string) *found {
	text := strconv.Quote(name)
	return f.help("the names of things stand in quotes: %s", text).fix(false, "Write "+text, u.write(text))
}

// languageWord gives what the language writes for a word of other languages, "" for none.
func languageWord(name string) string {
	switch strings.ToLower(name) {
	case "true", "yes":
		return "True"
	case "false", "no":
		return "False"
	case "none", "null", "nil", "nothing", "unknown":
		return "None"
	}
	return ""
}

// builtinMeant gives the built-in that goes by another word, nil for none.
func builtinMeant(word string) *Builtin {
	for _, b := range Builtins() {
		if !b.IsMethod() && (strings.EqualFold(b.Name, word) || sameButCapitals(word, b.Also) != "") {
			return b
		}
	}
	return nil
}
