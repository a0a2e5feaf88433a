package format

import "github.com/bazelbuild/buildtools/build"

// maxColumns is the length of a line beyond which calls, lists and dicts are broken, one argument a
// line. It is long for code, but a row or a planting with its place and date reads best on one line.
const maxColumns = 100

// apart is a line number that no part has: the printer breaks what begins on another line than its first
// part. Where a thing ends must stay, since blank lines between statements are told by that.
const apart = 1 << 30

// wrap marks the outermost call, list or dict with more than one part that stands on one line and runs
// past the last column, in each statement that has one.
func wrap(tree *build.File) {
	marked := map[build.Expr]bool{}
	build.Walk(tree, func(x build.Expr, around []build.Expr) {
		start, end := x.Span()
		if start.Line != end.Line || end.LineRune-1 <= maxColumns {
			return
		}
		for _, outer := range around {
			if marked[outer] {
				return
			}
		}
		switch x := x.(type) {
		case *build.CallExpr:
			if len(x.List) > 1 {
				x.ListStart.Line = apart
				marked[x] = true
			}
		case *build.ListExpr:
			if len(x.List) > 1 {
				x.Start.Line = apart
				marked[x] = true
			}
		case *build.DictExpr:
			if len(x.List) > 1 {
				x.Start.Line = apart
				marked[x] = true
			}
		}
	})
}
