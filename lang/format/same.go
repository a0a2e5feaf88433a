package format

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"haulm/lang/source"
	"haulm/lang/syntax"

	star "go.starlark.net/syntax"
)

// same holds that a new layout has the statements, the comments and the accepted findings of the old.
func same(before *syntax.Tree, laidOut *source.File) error {
	old, after := before.File, syntax.Parse(laidOut)
	for i, s := range before.Root.Stmts {
		if i >= len(after.Root.Stmts) || shape(s) != shape(after.Root.Stmts[i]) {
			return fmt.Errorf("%s: a new layout would change what this statement means, so the file is left as it is",
				syntax.SpanOf(old, s))
		}
	}
	if len(after.Root.Stmts) != len(before.Root.Stmts) || len(after.Bad) > 0 {
		return fmt.Errorf("%s: a new layout would change what the file means, so it is left as it is", old.Path)
	}
	was, is := comments(old), comments(laidOut)
	for i, c := range was {
		if i >= len(is) || c.text != is[i].text {
			return fmt.Errorf("%s: a new layout would lose or move this comment, so the file is left as it is", c.span)
		}
	}
	if len(is) != len(was) {
		return fmt.Errorf("%s: a new layout would add comments, so the file is left as it is", old.Path)
	}
	wasFor, isFor := targets(before), targets(after)
	for i, n := range wasFor {
		if i >= len(isFor) || isFor[i] != n {
			return fmt.Errorf("%s: a new layout would move this comment to another statement, so the file is left as it is",
				before.Accepts[i].Span)
		}
	}
	return nil
}

// shape writes down what a statement means, without places and without brackets around values.
func shape(s star.Stmt) string {
	var b strings.Builder
	var left []string // what to write when a node on the way down is left
	star.Walk(s, func(n star.Node) bool {
		if n == nil {
			b.WriteString(left[len(left)-1])
			left = left[:len(left)-1]
			return true
		}
		if _, ok := n.(*star.ParenExpr); ok {
			left = append(left, "")
			return true
		}
		left = append(left, ")")
		fmt.Fprintf(&b, "(%T", n)
		switch n := n.(type) {
		case *star.Ident:
			b.WriteString(" " + n.Name)
		case *star.Literal:
			fmt.Fprintf(&b, " %v %T %q", n.Token, n.Value, fmt.Sprint(n.Value))
		case *star.BinaryExpr:
			fmt.Fprintf(&b, " %v", n.Op)
		case *star.UnaryExpr:
			fmt.Fprintf(&b, " %v", n.Op)
		case *star.AssignStmt:
			fmt.Fprintf(&b, " %v", n.Op)
		case *star.BranchStmt:
			fmt.Fprintf(&b, " %v", n.Token)
		case *star.Comprehension:
			fmt.Fprintf(&b, " %v", n.Curly)
		case *star.SliceExpr:
			fmt.Fprintf(&b, " %v %v %v", n.Lo != nil, n.Hi != nil, n.Step != nil)
		case *star.IfStmt:
			fmt.Fprintf(&b, " %d", len(n.True))
		case *star.DefStmt:
			fmt.Fprintf(&b, " %d", len(n.Params))
		case *star.LambdaExpr:
			fmt.Fprintf(&b, " %d", len(n.Params))
		}
		return true
	})
	return b.String()
}

type comment struct {
	text string
	span source.Span
}

func comments(f *source.File) []comment {
	var list []comment
	for _, t := range syntax.Tokens(f, 0, len(f.Text)) {
		if t.Kind == syntax.Comment {
			list = append(list, comment{strings.TrimSpace(f.Text[t.Start:t.End]), f.Span(t.Start, t.End)})
		}
	}
	return list
}

// targets gives, for each accept comment, the number of the statement that it stands for, counting those
// inside others; the number of all statements if it stands for none.
func targets(t *syntax.Tree) []int {
	if len(t.Accepts) == 0 {
		return nil
	}
	var starts []source.Point
	star.Walk(t.Root, func(n star.Node) bool {
		if s, ok := n.(star.Stmt); ok {
			starts = append(starts, syntax.SpanOf(t.File, s).Start)
		}
		return true
	})
	slices.SortFunc(starts, func(a, b source.Point) int {
		return source.Span{Start: a}.Compare(source.Span{Start: b})
	})
	var list []int
	for _, a := range t.Accepts {
		n := len(starts)
		if a.Target.IsValid() {
			n = sort.Search(len(starts), func(i int) bool { return !starts[i].Before(a.Target.Start) })
		}
		list = append(list, n)
	}
	return list
}
