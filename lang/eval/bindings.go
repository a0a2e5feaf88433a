package eval

import (
	"slices"

	"haulm/lang/diag"
	"haulm/lang/source"

	star "go.starlark.net/syntax"
)

// binding is the place at the top of a file where a name gets its meaning.
type binding struct {
	id   *star.Ident
	stmt int            // index of the statement
	load *star.LoadStmt // of a loaded name
	kept bool           // by a load or a plain assignment: whoever binds the name again loses what it meant
	told int            // 1 + the index of the finding that says so
}

// maxAgain is the most places that a finding of a name given again and again names.
const maxAgain = 4

// again notes what a plain statement at the top of a file binds, and reports names that mean something
// already. Loops, conditions and x = f(x) change a name on purpose.
func (p *prepared) again(s star.Stmt) {
	switch s := s.(type) {
	case *star.LoadStmt:
		for i, to := range s.To {
			p.bindAgain(to, s, i)
		}
	case *star.DefStmt:
		p.bindAgain(s.Name, nil, 0)
	case *star.AssignStmt:
		if s.Op != star.EQ {
			return
		}
		for _, id := range targets(s.LHS) {
			first, again := p.first[id.Name]
			switch {
			case !again:
				p.first[id.Name] = binding{id: id, stmt: p.current, kept: true}
			case first.kept && !mentions(s.RHS, id.Name):
				p.bindAgain(id, nil, 0)
			}
		}
	}
}

// mentions tells whether an expression uses a name.
func mentions(x star.Expr, name string) bool {
	found := false
	star.Walk(x, func(n star.Node) bool {
		id, ok := n.(*star.Ident)
		found = found || ok && id.Name == name
		return !found
	})
	return found
}

// targets are the names that an assignment binds.
func targets(x star.Expr) []*star.Ident {
	var ids []*star.Ident
	switch x := x.(type) {
	case *star.Ident:
		ids = append(ids, x)
	case *star.ParenExpr:
		ids = targets(x.X)
	case *star.TupleExpr:
		for _, e := range x.List {
			ids = append(ids, targets(e)...)
		}
	case *star.ListExpr:
		for _, e := range x.List {
			ids = append(ids, targets(e)...)
		}
	}
	return ids
}

// bindAgain reports a name that a load or a plain assignment gave a meaning before; load is the statement
// that loads it now, nil for none.
func (p *prepared) bindAgain(id *star.Ident, load *star.LoadStmt, i int) {
	first, ok := p.first[id.Name]
	if !ok {
		p.first[id.Name] = binding{id: id, stmt: p.current, load: load, kept: load != nil}
		return
	}
	if !first.kept || id.Name == "_" {
		return
	}
	if first.told > 0 { // said already: a name of convenience, given again and again
		d := &p.findings[first.told-1]
		if len(d.Related) < maxAgain {
			d.Related = append(d.Related, diag.Label{Span: p.span(id), Text: "and again"})
		}
		return
	}
	f := finding(nameGivenTwice, p.span(id), "%s means something already; from here on it means this instead", id.Name).
		label("choose another name").related(p.span(first.id), "given first")
	switch {
	case load != nil && first.load != nil && first.load.ModuleName() == load.ModuleName() && p.loadsSame(first, load, i):
		f.Message, f.Primary.Text = id.Name+" is loaded already", ""
		f.fix(true, "Take it out", p.removeLoaded(load, i))
	default:
		if first.load != nil && first.load.ModuleName() == cropModule {
			crop := first.load.From[slices.Index(first.load.To, first.id)].Name
			f.Message = "the name " + id.Name + " hides the crop " + crop + " in what follows"
			f.Related[0].Text = "the crop"
		}
		first.told = len(p.findings) + 1
		p.first[id.Name] = first
	}
	p.findings = append(p.findings, f.Diagnostic)
}

// loadsSame tells whether a load gives a name what another gave it.
func (p *prepared) loadsSame(first binding, load *star.LoadStmt, i int) bool {
	at := slices.Index(first.load.To, first.id)
	return at >= 0 && first.load.From[at].Name == load.From[i].Name
}

// indexAt is the index of the statement at the top of the file in which a place lies.
func (p *prepared) indexAt(at source.Point) int {
	i, ok := slices.BinarySearchFunc(p.stmts, at, func(s star.Stmt, at source.Point) int {
		start, _ := s.Span()
		switch {
		case at.Before(pointOf(start)):
			return 1
		case pointOf(start).Before(at):
			return -1
		}
		return 0
	})
	if !ok {
		i--
	}
	return i
}

var nameGivenTwice = &diag.Rule{
	Code: "name-given-twice", Severity: diag.Warning, Source: ownSource,
	Summary: "a name gets a second meaning",
	Explain: "A row, a plot or a loaded crop is called by its name. When a later line gives the name to something " +
		"else, every line below means the second, and the first can no longer be planted or spoken of. That is " +
		"nearly always a slip: a line was copied and the name left as it was.\n\nChoose another name. Names in " +
		"loops, conditions and functions, and lines that work a name's new value out of its old one, are left alone.",
	Example: exampleGround + "first = row(bench, at = 4 * ft)\nfirst = row(bench, at = 8 * ft)\n",
}
