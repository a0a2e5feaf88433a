package eval

import (
	"fmt"
	"maps"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"

	star "go.starlark.net/syntax"
)

// prepared is a parsed file made ready to run: its calls can be found by the place of their opening
// parenthesis, and the operators that could hide a fault or outgrow the limits are calls of ours.
type prepared struct {
	tree     *syntax.Tree
	file     *source.File
	stmts    []star.Stmt
	calls    callIndex
	loads    []*star.LoadStmt
	binds    map[string]bool    // names that some good statement of the file binds at its top level
	first    map[string]binding // where each of them is bound first
	hidden   map[string]bool    // units whose names the file takes for something else
	dashed   map[string]*dashed // names written with a -, by what they should be
	current  int                // index of the statement at the top that is being walked
	metric   bool               // a farm(..., units = "metric") stands in the file
	year     int                // of a farm(..., year = 2027) in the file, 0 for none
	findings []diag.Diagnostic
}

// Names of our own operators: no plan can write them.
const (
	opCompare = "$compare"
	opGrow    = "$grow"
	opRepeat  = "$repeat"
	opMethod  = "$method"
	opCopied  = "$copied"
	opNothing = "$nothing" // no operator: what stands for an argument that cannot be told
	seedMark  = "$"
)

// prepare parses a file and walks it once. The result can be compiled once: compiling changes the tree.
func prepare(file *source.File) *prepared {
	p := prepareHiding(file, nil)
	if len(p.hidden) > 0 {
		return prepareHiding(file, p.hidden) // a hidden unit's products are guarded like any other
	}
	return p
}

func prepareHiding(file *source.File, hidden map[string]bool) *prepared {
	tree := syntax.Parse(file)
	p := &prepared{
		tree: tree, file: file, binds: map[string]bool{}, first: map[string]binding{}, hidden: maps.Clone(hidden),
	}
	p.calls.heads = make([]int32, 0, file.Lines()+2)
	p.findings = append(p.findings, tree.Findings...)
	if tree.Root != nil {
		p.stmts = p.withoutCalledLoads(tree.Root.Stmts)
		p.findDashed(p.stmts)
		for i, s := range p.stmts {
			p.current = i
			p.again(s)
			p.stmt(s, true)
		}
		p.reportDashed()
	}
	return p
}

func (p *prepared) span(n star.Node) source.Span { return syntax.SpanOf(p.file, n) }

func (p *prepared) block(stmts []star.Stmt, top bool) {
	for _, s := range stmts {
		p.stmt(s, top)
	}
}

func (p *prepared) stmt(s star.Stmt, top bool) {
	switch s := s.(type) {
	case *star.ExprStmt:
		s.X = p.expr(s.X)
	case *star.AssignStmt:
		s.RHS = p.expr(p.oneNumber(s.RHS))
		if s.Op == star.EQ {
			s.LHS = p.undashed(s.LHS)
			p.target(s.LHS, top)
		} else {
			s.LHS = p.expr(s.LHS)
			p.augmented(s)
		}
	case *star.IfStmt:
		s.Cond = p.expr(s.Cond)
		p.block(s.True, top)
		p.block(s.False, top)
	case *star.ForStmt:
		p.target(s.Vars, top)
		s.X = p.expr(s.X)
		p.block(s.Body, top)
	case *star.WhileStmt:
		s.Cond = p.expr(s.Cond)
		p.block(s.Body, top)
	case *star.DefStmt:
		p.bind(s.Name, top)
		p.params(s.Params)
		p.block(s.Body, false)
	case *star.ReturnStmt:
		if s.Result != nil {
			s.Result = p.expr(s.Result)
		}
	case *star.LoadStmt:
		p.loads = append(p.loads, s)
		for _, to := range s.To {
			p.bind(to, top)
		}
	}
}

func (p *prepared) params(params []star.Expr) {
	for _, x := range params {
		switch x := x.(type) {
		case *star.Ident:
			p.bind(x, false)
		case *star.UnaryExpr:
			if id, ok := x.X.(*star.Ident); ok {
				p.bind(id, false)
			}
		case *star.BinaryExpr:
			if id, ok := x.X.(*star.Ident); ok {
				p.bind(id, false)
			}
			x.Y = p.expr(x.Y)
		}
	}
}

// target visits what an assignment or a loop binds.
func (p *prepared) target(x star.Expr, top bool) {
	switch x := x.(type) {
	case *star.Ident:
		p.bind(x, top)
	case *star.ParenExpr:
		p.target(x.X, top)
	case *star.TupleExpr:
		for _, e := range x.List {
			p.target(e, top)
		}
	case *star.ListExpr:
		for _, e := range x.List {
			p.target(e, top)
		}
	case *star.IndexExpr:
		x.X, x.Y = p.expr(x.X), p.expr(x.Y)
	case *star.DotExpr:
		x.X = p.expr(x.X)
	}
}

func (p *prepared) bind(id *star.Ident, top bool) {
	if top {
		p.binds[id.Name] = true
		if _, ok := p.first[id.Name]; !ok {
			p.first[id.Name] = binding{id: id, stmt: p.current}
		}
	}
	unit, isUnit := quantity.UnitNamed(id.Name)
	if !isUnit && !(top && isBuiltin(id.Name)) {
		return
	}
	what := "the built-in " + id.Name
	if isUnit {
		if p.hidden == nil {
			p.hidden = map[string]bool{}
		}
		p.hidden[id.Name] = true
		what = fmt.Sprintf("the unit %s (%s)", id.Name, unit.Dim.Name())
	}
	p.findings = append(p.findings, diag.Diagnostic{
		Rule:    hidesAUnit,
		Message: fmt.Sprintf("the name %s hides %s in what follows", id.Name, what),
		Primary: diag.Label{Span: p.span(id), Text: "choose another name"},
	})
}

func (p *prepared) exprs(list []star.Expr) {
	for i, x := range list {
		list[i] = p.expr(x)
	}
}

// expr visits an expression and returns what stands in its place.
func (p *prepared) expr(x star.Expr) star.Expr {
	switch x := x.(type) {
	case *star.CallExpr:
		p.call(x)
	case *star.BinaryExpr:
		if y := p.undashed(x); y != star.Expr(x) {
			return y
		}
		if y, ok := p.unquotedDate(x); ok {
			return y
		}
		x.X, x.Y = p.expr(x.X), p.expr(x.Y)
		if name := p.ownOperator(x); name != "" {
			return p.operator(name, x, x.OpPos, x.X, x.Y)
		}
	case *star.UnaryExpr:
		if x.X != nil {
			x.X = p.expr(x.X)
		}
	case *star.DotExpr:
		x.X = p.expr(x.X)
		if isMethodName(x.Name.Name) {
			return p.operator(opMethod, x, x.Dot, x)
		}
	case *star.ParenExpr:
		x.X = p.expr(x.X)
	case *star.ListExpr:
		p.exprs(x.List)
	case *star.TupleExpr:
		p.exprs(x.List)
	case *star.DictExpr:
		p.exprs(x.List)
	case *star.DictEntry:
		x.Key, x.Value = p.expr(x.Key), p.expr(x.Value)
	case *star.CondExpr:
		x.Cond, x.True, x.False = p.expr(x.Cond), p.expr(x.True), p.expr(x.False)
	case *star.IndexExpr:
		x.X, x.Y = p.expr(x.X), p.expr(x.Y)
	case *star.SliceExpr:
		x.X = p.operator(opCopied, x, x.Lbrack, p.expr(x.X))
		for _, part := range []*star.Expr{&x.Lo, &x.Hi, &x.Step} {
			if *part != nil {
				*part = p.expr(*part)
			}
		}
	case *star.LambdaExpr:
		p.params(x.Params)
		x.Body = p.expr(x.Body)
	case *star.Comprehension:
		for _, clause := range x.Clauses {
			switch c := clause.(type) {
			case *star.ForClause:
				p.target(c.Vars, false)
				c.X = p.expr(c.X)
			case *star.IfClause:
				c.Cond = p.expr(c.Cond)
			}
		}
		x.Body = p.expr(x.Body)
	}
	return x
}

func (p *prepared) call(x *star.CallExpr) {
	x.Fn = p.expr(x.Fn)
	p.calls.add(x.Lparen, x)
	p.dateOfNumbers(x)
	p.comparedArguments(x)
	p.lateArguments(x)
	kept := x.Args[:0]
	for _, arg := range x.Args {
		if named, ok := namedArgument(arg); ok {
			if first := argumentNamed(kept, named.X.(*star.Ident).Name); first != nil {
				p.repeated(first, named)
				named.Y = p.expr(named.Y)
				continue
			}
			named.Y = p.expr(named.Y)
		} else {
			arg = p.expr(arg)
		}
		kept = append(kept, arg)
	}
	x.Args = kept
	if id, ok := x.Fn.(*star.Ident); ok && id.Name == "farm" {
		if units := argumentNamed(x.Args, "units"); units != nil {
			lit, ok := units.Y.(*star.Literal)
			p.metric = p.metric || ok && lit.Value == "metric"
		}
		if year := argumentNamed(x.Args, "year"); year != nil {
			if lit, ok := year.Y.(*star.Literal); ok {
				n, _ := lit.Value.(int64)
				p.year = int(n)
			}
		}
	}
}

func (p *prepared) repeated(first, again *star.BinaryExpr) {
	name := again.X.(*star.Ident).Name
	p.findings = append(p.findings, diag.Diagnostic{
		Rule:    duplicateArgument,
		Message: fmt.Sprintf("%s is given twice in one call; the second is left out", name),
		Primary: diag.Label{Span: p.span(again), Text: "given again"},
		Related: []diag.Label{{Span: p.span(first), Text: "given first"}},
		Help:    "keep the one you mean",
	})
}

func namedArgument(x star.Expr) (*star.BinaryExpr, bool) {
	b, ok := x.(*star.BinaryExpr)
	if !ok || b.Op != star.EQ {
		return nil, false
	}
	_, ok = b.X.(*star.Ident)
	return b, ok
}

func argumentNamed(args []star.Expr, name string) *star.BinaryExpr {
	for _, x := range args {
		if b, ok := namedArgument(x); ok && b.X.(*star.Ident).Name == name {
			return b
		}
	}
	return nil
}

// operator puts a call of one of our operators, with the operation's own span, in an expression's place.
func (p *prepared) operator(name string, whole star.Expr, pos star.Position, args ...star.Expr) star.Expr {
	start, end := whole.Span()
	rparen := end
	rparen.Col--
	call := &star.CallExpr{Fn: &star.Ident{NamePos: start, Name: name}, Lparen: pos, Args: args, Rparen: rparen}
	if b, ok := whole.(*star.BinaryExpr); ok {
		sign := &star.Literal{Token: star.STRING, TokenPos: b.OpPos, Value: b.Op.String()}
		call.Args = append(call.Args, sign)
	}
	p.calls.add(pos, call)
	return call
}

// augmented guards x += y and its kind, which change x in place and so stay what they are.
func (p *prepared) augmented(s *star.AssignStmt) {
	name := map[star.Token]string{
		star.PLUS_EQ: opGrow, star.STAR_EQ: opRepeat, star.PERCENT_EQ: opRepeat,
	}[s.Op]
	if name == "" || hasCall(s.LHS) || p.isSmall(s.RHS) {
		return
	}
	guard := p.operator(name, s.RHS, s.OpPos, s.LHS, s.RHS).(*star.CallExpr)
	guard.Args = append(guard.Args[:2], &star.Literal{Token: star.STRING, TokenPos: s.OpPos, Value: s.Op.String()})
	s.RHS = guard
}

func hasCall(x star.Expr) bool {
	found := false
	star.Walk(x, func(n star.Node) bool {
		if _, ok := n.(*star.CallExpr); ok {
			found = true
		}
		return !found
	})
	return found
}

// ownOperator names the operator of ours that a binary operation runs through, "" for Starlark's own.
// Products and sums with a unit or a number cannot outgrow anything, and are most of a plan.
func (p *prepared) ownOperator(x *star.BinaryExpr) string {
	switch x.Op {
	case star.EQL, star.NEQ, star.LT, star.LE, star.GT, star.GE, star.IN, star.NOT_IN:
		return opCompare
	case star.PLUS:
		if !p.isSmall(x.X) && !p.isSmall(x.Y) {
			return opGrow
		}
	case star.STAR:
		if !p.hasUnit(x.X) && !p.hasUnit(x.Y) {
			return opRepeat
		}
	case star.PERCENT:
		return opRepeat
	}
	return ""
}

func (p *prepared) isSmall(x star.Expr) bool {
	lit, ok := x.(*star.Literal)
	return ok && lit.Token != star.STRING && lit.Token != star.BYTES || p.hasUnit(x)
}

// hasUnit tells whether an expression is a quantity by its looks: a unit, or a product with one.
func (p *prepared) hasUnit(x star.Expr) bool {
	switch x := x.(type) {
	case *star.Ident:
		_, ok := quantity.UnitNamed(x.Name)
		return ok && !p.hidden[x.Name]
	case *star.ParenExpr:
		return p.hasUnit(x.X)
	case *star.BinaryExpr:
		return (x.Op == star.STAR || x.Op == star.SLASH) && (p.hasUnit(x.X) || p.hasUnit(x.Y))
	}
	return false
}
