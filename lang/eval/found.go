package eval

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"

	"go.starlark.net/starlark"
	star "go.starlark.net/syntax"
)

// found is a finding on its way.
type found struct{ diag.Diagnostic }

// longestWord is how much of a word of the plan a message shows, in bytes.
const longestWord = 1000

func finding(rule *diag.Rule, at source.Span, format string, args ...any) *found {
	for i, a := range args {
		if word, ok := a.(string); ok && len(word) > longestWord {
			args[i] = strings.ToValidUTF8(word[:longestWord], "") + "…"
		}
	}
	return &found{diag.Diagnostic{Rule: rule, Primary: diag.Label{Span: at}, Message: fmt.Sprintf(format, args...)}}
}

func (f *found) label(text string) *found { f.Primary.Text = text; return f }

func (f *found) help(format string, args ...any) *found {
	f.Help = fmt.Sprintf(format, args...)
	return f
}

func (f *found) related(span source.Span, text string) *found {
	if span.IsValid() {
		f.Related = append(f.Related, diag.Label{Span: span, Text: text})
	}
	return f
}

func (f *found) value(name, text string) *found {
	f.Values = append(f.Values, diag.Value{Name: name, Text: text})
	return f
}

// fix offers edits, but none of an argument spread from a list or dict: *args and **options stand in the text
// as one, whatever they hold.
func (f *found) fix(safe bool, title string, edits ...diag.Edit) *found {
	if slices.ContainsFunc(edits, isOfSpread) {
		return f
	}
	f.Fixes = append(f.Fixes, diag.Fix{Title: title, Edits: edits, Safe: safe})
	return f
}

func isOfSpread(e diag.Edit) bool {
	file := e.Span.File
	return strings.HasPrefix(file.Text[file.Offset(e.Span.Start):], "*")
}

// chain adds the calls of the helper functions that led to a call.
func (f *found) chain(spans []source.Span) *found {
	for _, s := range spans {
		f.related(s, diag.CalledFrom)
	}
	return f
}

// fault is a mistake in arithmetic that waits to see which argument it reaches.
type fault struct {
	rule       *diag.Rule
	text, help string
	at         source.Span
	reported   bool
}

// fault makes a poison value for a mistake at the operation now running.
func (ev *evaluator) fault(rule *diag.Rule, text, help string) poison {
	f := &fault{rule: rule, text: text, help: help}
	if m, pos := ev.position(); m != nil {
		f.at = m.ready.spanAt(pos)
	}
	ev.pending = append(ev.pending, f)
	return poison{fault: f}
}

// reportFaults reports the faults that reached no argument, where they arose.
func (ev *evaluator) reportFaults() {
	for _, f := range ev.pending {
		if !f.reported {
			f.reported = true
			ev.report(finding(f.rule, f.at, "%s", f.text).help("%s", f.help))
		}
	}
}

// position is where the innermost function of the plan stands.
func (ev *evaluator) position() (*module, star.Position) {
	for depth := range ev.thread.CallStackDepth() {
		pos := ev.thread.CallFrame(depth).Pos
		if pos.Line == 0 {
			continue // a built-in
		}
		if ev.last == nil || ev.last.path != pos.Filename() {
			ev.last = ev.modules[pos.Filename()]
		}
		return ev.last, pos
	}
	return nil, star.Position{}
}

// callSite finds the call that is running: its span, its syntax (nil when it cannot be told) and module.
func (ev *evaluator) callSite() (source.Span, *star.CallExpr, *module) {
	m, pos := ev.position()
	if m == nil {
		return source.Span{}, nil, nil
	}
	call := m.ready.calls.at(pos.Line, pos.Col)
	if call == nil {
		return m.ready.spanAt(pos), nil, m
	}
	return m.ready.span(call), call, m
}

// callers lists the calls of the plan's functions that led to the call running, innermost first.
func (ev *evaluator) callers() []source.Span {
	var spans []source.Span
	seen := false
	for depth := range ev.thread.CallStackDepth() {
		frame := ev.thread.CallFrame(depth)
		if frame.Pos.Line == 0 {
			continue
		}
		if m := ev.modules[frame.Pos.Filename()]; seen && m != nil {
			spans = append(spans, m.ready.spanAt(frame.Pos))
		}
		seen = true
		if frame.Name == "<toplevel>" {
			break
		}
	}
	return spans
}

// spanAt covers the expression whose operation stands at pos, else the one character there.
func (p *prepared) spanAt(pos star.Position) source.Span {
	if call := p.calls.at(pos.Line, pos.Col); call != nil {
		return p.span(call)
	}
	at := source.Point{Line: pos.Line, Col: pos.Col}
	span := source.Span{File: p.file, Start: at, End: source.Point{Line: at.Line, Col: at.Col + 1}}
	i := p.statementAt(pos.Line)
	if i < 0 {
		return span
	}
	star.Walk(p.stmts[i], func(n star.Node) bool {
		if n != nil && operationAt(n) == pointOf(pos) {
			span = p.span(operand(n))
		}
		return true
	})
	return span
}

// operand is what an operation is at fault for: of a loop what it goes through, of an assignment its value.
func operand(n star.Node) star.Node {
	switch n := n.(type) {
	case *star.ForStmt:
		return n.X
	case *star.ForClause:
		return n.X
	case *star.AssignStmt:
		return n.RHS
	case *star.DictEntry:
		return n.Key
	}
	return n
}

// operationAt is the place that Starlark reports for a node's own operation.
func operationAt(n star.Node) source.Point {
	var pos star.Position
	switch n := n.(type) {
	case *star.BinaryExpr:
		pos = n.OpPos
	case *star.DotExpr:
		pos = n.Dot
	case *star.IndexExpr:
		pos = n.Lbrack
	case *star.UnaryExpr:
		pos = n.OpPos
	case *star.Ident:
		pos = n.NamePos
	case *star.LoadStmt:
		pos = n.Load
	case *star.ForStmt:
		pos = n.For
	case *star.ForClause:
		pos = n.For
	case *star.AssignStmt:
		pos = n.OpPos
	case *star.DictEntry:
		pos = n.Colon
	}
	return pointOf(pos)
}

// statementAt is the index of the top-level statement that covers a line, -1 for none.
func (p *prepared) statementAt(line int32) int {
	i, ok := slices.BinarySearchFunc(p.stmts, line, func(s star.Stmt, line int32) int {
		start, end := s.Span()
		switch {
		case end.Line < line:
			return -1
		case start.Line > line:
			return 1
		}
		return 0
	})
	if !ok {
		return -1
	}
	return i
}

// loadAt finds the load statement of a module on a line, or the first one of that module.
func (p *prepared) loadAt(line int32, name string) *star.LoadStmt {
	from, _ := slices.BinarySearchFunc(p.loads, line, func(s *star.LoadStmt, line int32) int {
		_, end := s.Span()
		return cmp.Compare(end.Line, line)
	})
	for _, s := range p.loads[from:] {
		if s.Load.Line > line {
			break
		}
		if s.ModuleName() == name {
			return s
		}
	}
	i := slices.IndexFunc(p.loads, func(s *star.LoadStmt) bool { return s.ModuleName() == name })
	return p.loads[i]
}

// stmtNames collects the names that a statement binds.
func (p *prepared) stmtNames(s star.Stmt) {
	star.Walk(s, func(n star.Node) bool {
		switch n := n.(type) {
		case *star.AssignStmt:
			names(n.LHS, p.binds)
		case *star.ForStmt:
			names(n.Vars, p.binds)
		case *star.LoadStmt:
			for _, to := range n.To {
				p.binds[to.Name] = true
			}
		case *star.DefStmt:
			p.binds[n.Name.Name] = true
			return false
		}
		return true
	})
}

func names(x star.Expr, into map[string]bool) {
	star.Walk(x, func(n star.Node) bool {
		if id, ok := n.(*star.Ident); ok {
			into[id.Name] = true
		}
		return true
	})
}

// reportFailure reports what stopped a statement while it ran.
func (ev *evaluator) reportFailure(ee *starlark.EvalError) {
	var at source.Span
	var callers []source.Span
	stack := ee.CallStack
	if strings.HasPrefix(ee.Msg, "function ") && len(stack) > 1 {
		stack = stack[:len(stack)-1] // the call is at fault, not the function
	}
	for i := len(stack) - 1; i >= 0; i-- {
		frame := stack[i]
		m := ev.modules[frame.Pos.Filename()]
		if frame.Pos.Line == 0 || m == nil {
			continue
		}
		span := m.ready.spanAt(frame.Pos)
		if !at.IsValid() {
			at = span
		} else {
			callers = append(callers, span)
		}
		if frame.Name == "<toplevel>" {
			break
		}
	}
	if ev.isSpent() {
		ev.overspent(at)
		return
	}
	text, help := plainWords(ee.Msg)
	if help == "" {
		help = "this statement is left out; the rest of the plan goes on"
	}
	ev.report(finding(cannotEvaluate, at, "%s", text).chain(callers).help("%s", help))
}

// refusedAt is what the resolver refused at a place: an expression, or the first word of a statement.
func (p *prepared) refusedAt(pos star.Position) source.Span {
	at := pointOf(pos)
	span := source.Span{File: p.file, Start: at, End: source.Point{Line: at.Line, Col: at.Col + 1}}
	i := p.indexAt(at)
	if i < 0 {
		return span
	}
	found := false
	star.Walk(p.stmts[i], func(n star.Node) bool {
		if n == nil || found {
			return false
		}
		if start, _ := n.Span(); pointOf(start) == at {
			switch n.(type) {
			case *star.WhileStmt:
				span.End.Col, found = at.Col+int32(len("while")), true
			case *star.LoadStmt:
				span.End.Col, found = at.Col+int32(len("load")), true
			case star.Expr, *star.BranchStmt, *star.ReturnStmt:
				span, found = p.span(n), true
			}
		}
		return !found
	})
	return span
}

func pointOf(pos star.Position) source.Point { return source.Point{Line: pos.Line, Col: pos.Col} }
