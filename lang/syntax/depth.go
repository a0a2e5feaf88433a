package syntax

import (
	"fmt"

	"haulm/lang/source"

	star "go.starlark.net/syntax"
)

const (
	// Starlark's parser bounds nesting but not chains such as a + a + a + ..., which become trees as deep
	// as they are long. Resolving and compiling them recurses, and a process whose stack is spent ends.
	maxDepth = 5000

	// No statement shorter than this, in bytes, can be as deep: a link takes two bytes or more.
	maybeDeep = 2 * maxDepth
)

// keep adds parsed statements to the tree, but for those that are too deep. They end before the offset.
func (r *reader) keep(stmts []star.Stmt, end int) {
	f, kept := r.tree.File, stmts
	if end > maybeDeep {
		kept = stmts[:0]
		start := 0
		for i, s := range stmts {
			if i == 0 {
				start = f.Offset(startOf(s))
			}
			next := end
			if i+1 < len(stmts) {
				next = f.Offset(startOf(stmts[i+1]))
			}
			if next-start > maybeDeep && deeper(s) {
				r.refuse(start, next)
			} else {
				kept = append(kept, s)
			}
			start = next
		}
	}
	r.tree.Root.Stmts = append(r.tree.Root.Stmts, kept...)
}

// deeper tells whether a tree is deeper than allowed, without going deeper itself.
func deeper(n star.Node) bool {
	depth, found := 0, false
	star.Walk(n, func(n star.Node) bool {
		switch {
		case n == nil:
			depth--
			return true
		case found || depth == maxDepth:
			found = true
			return false
		}
		depth++
		return true
	})
	return found
}

func (r *reader) refuse(start, next int) {
	r.scan()
	from, to := r.tokensIn(start, next)
	r.bad(from, to)
	r.tooDeep(r.span(start, lineEnd(r.text, start)))
}

func (r *reader) tooDeep(at source.Span) {
	r.report(ruleTooDeep, at, fmt.Sprintf(
		"this statement goes too deep: about 75 brackets inside each other, or %s links in a chain, are the most",
		thousands(maxDepth))).Help = "give parts of it names of their own, or use a loop"
}
