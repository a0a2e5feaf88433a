package eval

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/lang/syntax"

	star "go.starlark.net/syntax"
)

// The slips of this file can be read by the language, but never mean what it reads. Each is reported, and
// the tree mended, so that what follows does not suffer.

// withoutCalledLoads takes out Load(...) and LOAD(...), which read like the call of a function. What they
// would load counts as known.
func (p *prepared) withoutCalledLoads(stmts []star.Stmt) []star.Stmt {
	kept := stmts
	for i, s := range stmts {
		call := calledLoad(s)
		if call == nil {
			if len(kept) < len(stmts) {
				kept = append(kept, s)
			}
			continue
		}
		if len(kept) == len(stmts) {
			kept = slices.Clone(stmts[:i])
		}
		piece := syntax.Piece{Span: p.span(s)}
		for _, arg := range call.Args {
			if named, ok := namedArgument(arg); ok {
				piece.Names = append(piece.Names, named.X.(*star.Ident).Name)
			} else if lit, ok := arg.(*star.Literal); ok {
				name, _ := lit.Value.(string)
				piece.Names = append(piece.Names, name)
			}
		}
		p.tree.Bad = append(p.tree.Bad, piece)
		at := p.span(call.Fn)
		p.findings = append(p.findings, finding(unknownName, at, "nothing is called %s here", at.Text()).
			help("load is written in small letters").fix(true, "Write load", diag.Edit{Span: at, Text: "load"}).Diagnostic)
	}
	return kept
}

func calledLoad(s star.Stmt) *star.CallExpr {
	x, ok := s.(*star.ExprStmt)
	if !ok {
		return nil
	}
	call, ok := x.X.(*star.CallExpr)
	if !ok {
		return nil
	}
	if id, ok := call.Fn.(*star.Ident); !ok || !strings.EqualFold(id.Name, "load") {
		return nil
	}
	return call
}

// dashed is a name that is written with a -, by its places and its signs.
type dashed struct {
	places []source.Span
	signs  []diag.Edit
}

// findDashed gathers the names that statements try to bind with a - in them, as first-row = .
func (p *prepared) findDashed(stmts []star.Stmt) {
	for _, s := range stmts {
		switch s := s.(type) {
		case *star.AssignStmt:
			if name := dashedName(s.LHS); name != "" {
				if p.dashed == nil {
					p.dashed = map[string]*dashed{}
				}
				p.dashed[name] = &dashed{}
			}
		case *star.ForStmt:
			p.findDashed(s.Body)
		case *star.IfStmt:
			p.findDashed(s.True)
			p.findDashed(s.False)
		case *star.DefStmt:
			p.findDashed(s.Body)
		}
	}
}

// dashedName gives what a difference of names without spaces is meant to be called, "" for anything else.
func dashedName(x star.Expr) string {
	switch x := x.(type) {
	case *star.Ident:
		return x.Name
	case *star.BinaryExpr:
		left, right := dashedName(x.X), dashedName(x.Y)
		start, _ := x.Y.Span()
		_, end := x.X.Span()
		touch := x.OpPos.Line == end.Line && x.OpPos.Col == end.Col && start.Line == end.Line && start.Col == end.Col+1
		if x.Op == star.MINUS && left != "" && right != "" && touch {
			return left + "_" + right
		}
	}
	return ""
}

// undashed gives the name that stands in the place of one with a -.
func (p *prepared) undashed(x star.Expr) star.Expr {
	b, ok := x.(*star.BinaryExpr)
	if !ok || p.dashed == nil {
		return x
	}
	name := dashedName(b)
	if _, ok := p.dashed[name]; !ok {
		return x
	}
	d := p.dashed[name]
	d.places = append(d.places, p.span(b))
	for ok {
		at := pointOf(b.OpPos)
		d.signs = append(d.signs, diag.Edit{
			Span: source.Span{File: p.file, Start: at, End: source.Point{Line: at.Line, Col: at.Col + 1}}, Text: "_",
		})
		b, ok = b.X.(*star.BinaryExpr)
	}
	start, _ := x.Span()
	return &star.Ident{NamePos: start, Name: name}
}

// reportDashed reports each name with a - once, where it stands first, with a fix of all its places.
func (p *prepared) reportDashed() {
	for _, name := range slices.Sorted(maps.Keys(p.dashed)) {
		d := p.dashed[name]
		if len(d.places) == 0 {
			continue
		}
		first := slices.MinFunc(d.places, source.Span.Compare)
		p.findings = append(p.findings, finding(unknownName, first, "a name has no - in it: write %s", name).
			help("- takes one number away from another").fix(true, "Write "+name, d.signs...).Diagnostic)
	}
}

// fourDigits are those of a year.
var fourDigits = regexp.MustCompile(`\b\d{4}\b`)

// unquotedDate finds 2027-10-15, which the language reads as two subtractions, and gives the text that
// stands in its place.
func (p *prepared) unquotedDate(x *star.BinaryExpr) (star.Expr, bool) {
	left, ok := x.X.(*star.BinaryExpr)
	if !ok || x.Op != star.MINUS || left.Op != star.MINUS || !isPlainNumber(x) {
		return nil, false
	}
	at := p.span(x)
	text := at.Text()
	w, ok := syntax.ReadDate(text, false)
	if !ok || w.Year < 1900 || w.Year > 2200 || w.ISO(0) == "" || !fourDigits.MatchString(text) {
		return nil, false // 10-10-10 is an analysis
	}
	iso := w.ISO(0)
	p.findings = append(p.findings, finding(badDate, at, "%s is a subtraction; a date stands in quotes: %q", text, iso).
		fix(w.Sure, fmt.Sprintf("Write %q", iso), diag.Edit{Span: at, Text: fmt.Sprintf("%q", iso)}).Diagnostic)
	start, _ := x.Span()
	return &star.Literal{Token: star.STRING, TokenPos: start, Raw: text, Value: iso}, true
}

// dateOfNumbers finds date(2027, 5, 24), whose one argument is a text.
func (p *prepared) dateOfNumbers(call *star.CallExpr) {
	b := calledBuiltin(call)
	if b == nil || b.Name != "date" || len(call.Args) != 3 {
		return
	}
	var parts []string
	for _, x := range call.Args {
		if !isPlainNumber(x) {
			return
		}
		parts = append(parts, p.span(x).Text())
	}
	w, ok := syntax.ReadDate(strings.Join(parts, "-"), false)
	if !ok || w.ISO(0) == "" {
		return
	}
	at := p.span(call.Args[0])
	at.End = p.span(call.Args[2]).End
	iso := fmt.Sprintf("%q", w.ISO(0))
	p.findings = append(p.findings, finding(badDate, at, "a date is one text: date(%s)", iso).
		fix(w.Sure, "Write "+iso, diag.Edit{Span: at, Text: iso}).Diagnostic)
	start, _ := call.Args[0].Span()
	call.Args = []star.Expr{&star.Literal{Token: star.STRING, TokenPos: start, Raw: at.Text(), Value: w.ISO(0)}}
}

// comparedArguments finds at == 4 * ft among the arguments of a built-in, where a name and its value belong.
func (p *prepared) comparedArguments(call *star.CallExpr) {
	b := calledBuiltin(call)
	if b == nil {
		return
	}
	for _, x := range call.Args {
		c, ok := x.(*star.BinaryExpr)
		if !ok || c.Op != star.EQL {
			continue
		}
		id, ok := c.X.(*star.Ident)
		if !ok || b.Param(id.Name) == nil || argumentNamed(call.Args, id.Name) != nil {
			continue
		}
		at := pointOf(c.OpPos)
		span := source.Span{File: p.file, Start: at, End: source.Point{Line: at.Line, Col: at.Col + 2}}
		p.findings = append(p.findings, finding(unnamedArgument, span, "== compares; %s of %s gets its value by one =", id.Name, b.Name).
			fix(true, "Write =", diag.Edit{Span: span, Text: "="}).Diagnostic)
		c.Op = star.EQ
	}
}

// lateArguments finds arguments without a name behind ones that have theirs: the second half of a number
// with a comma in it, or one of the few of a built-in that go without a name.
func (p *prepared) lateArguments(call *star.CallExpr) {
	named, plain := false, 0
	kept := call.Args[:0]
	for _, x := range call.Args {
		if _, ok := namedArgument(x); ok {
			named = true
		} else if u, ok := x.(*star.UnaryExpr); !ok || u.Op != star.STAR && u.Op != star.STARSTAR {
			if named {
				before, ok := namedArgument(kept[len(kept)-1])
				if ok && p.commaInNumber(x) {
					before.Y = &star.Ident{NamePos: before.OpPos, Name: opNothing}
					continue
				}
				if x = p.lateName(call, x, plain); x == nil {
					continue
				}
			}
			plain++
		}
		kept = append(kept, x)
	}
	call.Args = kept
}

// lateName names an argument of a built-in that may go without a name, but not where it stands; any
// other it reports and gives nil for.
func (p *prepared) lateName(call *star.CallExpr, x star.Expr, at int) star.Expr {
	b := calledBuiltin(call)
	if b == nil {
		return x
	}
	span := p.span(x)
	if at >= b.Free || argumentNamed(call.Args, b.Params[at].Name) != nil {
		p.findings = append(p.findings, finding(unnamedArgument, span, "this argument of %s needs its name", b.Name).
			help("%s", b.outline()).Diagnostic)
		return nil
	}
	name := b.Params[at].Name
	p.findings = append(p.findings, finding(unnamedArgument, span, "behind arguments with names this one needs its own: %s = %s", name, span.Text()).
		fix(true, "Name it "+name, insertBefore(span, name+" = ")).Diagnostic)
	start, _ := x.Span()
	return &star.BinaryExpr{X: &star.Ident{NamePos: start, Name: name}, OpPos: start, Op: star.EQ, Y: x}
}

// oneNumber finds x = 4,5 * ft, which the language reads as two values.
func (p *prepared) oneNumber(x star.Expr) star.Expr {
	t, ok := x.(*star.TupleExpr)
	if ok && !t.Lparen.IsValid() && len(t.List) == 2 && p.commaInNumber(t.List[1]) {
		start, _ := t.Span()
		return &star.Ident{NamePos: start, Name: opNothing}
	}
	return x
}

// commaInNumber reports a number with a comma in it, whose second half an expression begins with.
func (p *prepared) commaInNumber(second star.Expr) bool {
	first, _ := second.Span()
	text, at := p.file.Text, p.file.Offset(pointOf(first))
	start, end := at-1, at
	if start < 0 || text[start] != ',' {
		return false
	}
	for start > 0 && isDigit(text[start-1]) {
		start--
	}
	for end < len(text) && isDigit(text[end]) {
		end++
	}
	left, right := text[start:at-1], text[at:end]
	if left == "" || right == "" || start > 0 && strings.IndexByte(" \t=([-", text[start-1]) < 0 {
		return false
	}
	span := p.file.Span(start, end)
	write := func(f *found, form string) *found {
		return f.fix(false, "Write "+form, diag.Edit{Span: span, Text: form})
	}
	f := finding(cannotEvaluate, span, "a number has a point before its decimals, not a comma: %s.%s", left, right)
	if len(right) == 3 && len(left) <= 3 {
		f = finding(cannotEvaluate, span, "a number has no comma between its thousands: %s%s", left, right)
		write(f, left+right)
	}
	p.findings = append(p.findings, write(f, left+"."+right).Diagnostic)
	return true
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }
