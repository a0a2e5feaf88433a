package syntax

import (
	"haulm/lang/source"

	star "go.starlark.net/syntax"
)

// SpanOf is the stretch of text that a node of the file's tree covers, its end exclusive. The node's own
// Span is not used where it can be helped: it leaves out the closing bracket of load and of (), and it
// recurses, so that it cannot be asked of a chain that has yet to be measured.
func SpanOf(f *source.File, n star.Node) source.Span {
	return source.Span{File: f, Start: startOf(n), End: endOf(n)}
}

func pointOf(p star.Position) source.Point { return source.Point{Line: p.Line, Col: p.Col} }

func after(bracket star.Position) source.Point {
	return source.Point{Line: bracket.Line, Col: bracket.Col + 1}
}

func startOf(n star.Node) source.Point {
	for {
		switch x := n.(type) {
		case *star.ExprStmt:
			n = x.X
		case *star.AssignStmt:
			n = x.LHS
		case *star.BinaryExpr:
			n = x.X
		case *star.CondExpr:
			n = x.True
		case *star.CallExpr:
			n = x.Fn
		case *star.DotExpr:
			n = x.X
		case *star.IndexExpr:
			n = x.X
		case *star.SliceExpr:
			n = x.X
		case *star.DictEntry:
			n = x.Key
		case *star.TupleExpr:
			if x.Lparen.IsValid() {
				return pointOf(x.Lparen)
			}
			n = x.List[0]
		case *star.UnaryExpr:
			return pointOf(x.OpPos)
		case *star.LambdaExpr:
			return pointOf(x.Lambda)
		case *star.ForClause:
			return pointOf(x.For)
		case *star.IfClause:
			return pointOf(x.If)
		case *star.DefStmt:
			return pointOf(x.Def)
		case *star.ForStmt:
			return pointOf(x.For)
		case *star.WhileStmt:
			return pointOf(x.While)
		case *star.IfStmt:
			return pointOf(x.If)
		case *star.ReturnStmt:
			return pointOf(x.Return)
		default: // names, literals, what stands in brackets: no recursion
			start, _ := n.Span()
			return pointOf(start)
		}
	}
}

func endOf(n star.Node) source.Point {
	for {
		switch x := n.(type) {
		case *star.ExprStmt:
			n = x.X
		case *star.AssignStmt:
			n = x.RHS
		case *star.BinaryExpr:
			n = x.Y
		case *star.CondExpr:
			n = x.False
		case *star.DotExpr:
			n = x.Name
		case *star.DictEntry:
			n = x.Value
		case *star.LambdaExpr:
			n = x.Body
		case *star.ForClause:
			n = x.X
		case *star.IfClause:
			n = x.Cond
		case *star.CallExpr:
			return after(x.Rparen)
		case *star.IndexExpr:
			return after(x.Rbrack)
		case *star.SliceExpr:
			return after(x.Rbrack)
		case *star.TupleExpr:
			if x.Lparen.IsValid() {
				return after(x.Rparen)
			}
			n = x.List[len(x.List)-1]
		case *star.UnaryExpr:
			if x.X == nil {
				return after(x.OpPos)
			}
			n = x.X
		case *star.LoadStmt:
			return after(x.Rparen)
		case *star.DefStmt:
			n = x.Body[len(x.Body)-1]
		case *star.ForStmt:
			n = x.Body[len(x.Body)-1]
		case *star.WhileStmt:
			n = x.Body[len(x.Body)-1]
		case *star.IfStmt:
			if n = x.True[len(x.True)-1]; len(x.False) > 0 {
				n = x.False[len(x.False)-1]
			}
		case *star.ReturnStmt:
			if x.Result == nil {
				_, end := x.Span()
				return pointOf(end)
			}
			n = x.Result
		default:
			_, end := n.Span()
			return pointOf(end)
		}
	}
}
