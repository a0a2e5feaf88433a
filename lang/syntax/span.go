package syntax

import (
	"haulm/lang/source"

	star "go.starlark.net/syntax"
)

// SpanOf is the stretch of text that a node of the file's tree covers, its end exclusive.
func SpanOf(f *source.File, n star.Node) source.Span {
	start, end := n.Span()
	span := source.Span{File: f, Start: pointOf(start), End: pointOf(end)}
	if endsBeforeBracket(n) {
		span.End.Col++
	}
	return span
}

// endsBeforeBracket tells whether the parser's own span leaves out the bracket that closes the node: it
// does so after an index, a slice or a tuple in parentheses.
func endsBeforeBracket(n star.Node) bool {
	for {
		switch x := n.(type) {
		case *star.IndexExpr, *star.SliceExpr:
			return true
		case *star.TupleExpr:
			if x.Lparen.IsValid() || len(x.List) == 0 {
				return x.Lparen.IsValid()
			}
			n = x.List[len(x.List)-1]
		case *star.BinaryExpr:
			n = x.Y
		case *star.UnaryExpr:
			if x.X == nil {
				return false
			}
			n = x.X
		case *star.CondExpr:
			n = x.False
		case *star.LambdaExpr:
			n = x.Body
		case *star.DictEntry:
			n = x.Value
		case *star.AssignStmt:
			n = x.RHS
		case *star.ExprStmt:
			n = x.X
		case *star.ReturnStmt:
			if x.Result == nil {
				return false
			}
			n = x.Result
		default:
			return false
		}
	}
}

func pointOf(p star.Position) source.Point { return source.Point{Line: p.Line, Col: p.Col} }

// startOf is where a statement begins. Unlike the node's own Span it does not recurse, so that it can be
// asked of a chain that has yet to be measured.
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
		case *star.TupleExpr:
			if x.Lparen.IsValid() {
				return pointOf(x.Lparen)
			}
			n = x.List[0]
		default:
			start, _ := n.Span()
			return pointOf(start)
		}
	}
}
