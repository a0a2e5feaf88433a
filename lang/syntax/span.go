package syntax

import (
	"haulm/lang/source"

	star "go.starlark.net/syntax"
)

// SpanOf is the stretch of text that a node of the file's tree covers, its end exclusive.
func SpanOf(f *source.File, n star.Node) source.Span {
	start, end := n.Span()
	return source.Span{File: f, Start: pointOf(start), End: pointOf(end)}
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
