package syntax_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	star "go.starlark.net/syntax"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

func TestCleanFile(t *testing.T) {
	text := "load(\"crops\", \"leek\")\r\nbench = plot(\"Läuferbeet 🌽\", length = 52 * ft)  # sonnig\rif bench:\n\trow(bench,\r\n\t    at = 4 * ft)\n"
	f := source.New("farm.star", text)
	tree := syntax.Parse(f)
	require.Empty(t, tree.Findings)
	require.Empty(t, tree.Bad)
	require.Same(t, f, tree.File)
	require.Equal(t, "farm.star", tree.Root.Path)
	spans := []string{}
	for _, s := range tree.Root.Stmts {
		spans = append(spans, syntax.SpanOf(f, s).Text())
	}
	require.Equal(t, []string{
		"load(\"crops\", \"leek\")", "bench = plot(\"Läuferbeet 🌽\", length = 52 * ft)",
		"if bench:\n\trow(bench,\r\n\t    at = 4 * ft)",
	}, spans)
	length := tree.Root.Stmts[1].(*star.AssignStmt).RHS.(*star.CallExpr).Args[1]
	require.Equal(t, source.Span{File: f, Start: source.Point{Line: 2, Col: 30}, End: source.Point{Line: 2, Col: 46}}, syntax.SpanOf(f, length))
}

// Every node's span is text that means the same by itself.
func TestSpans(t *testing.T) {
	text := `load("crops", "leek", pea = "peas")
def f(a, b = 1, *c, **d):
    if not a: return
    elif a < b: pass
    else: return ()
    for x, y in [(1, 2), ()]: a += -x
    return [a.b[c][1:2](3, *c, **d) for a in b if c], {"a": 1, "b": lambda: 'é🌽'}
x = a if b else ("""c
d""")
y = f(a, k = ()); z = lambda a, *b: (a, 1)
`
	f := source.New("farm.star", text)
	tree := syntax.Parse(f)
	require.Empty(t, tree.Findings)
	seen := map[string]bool{}
	star.Walk(tree.Root, func(n star.Node) bool {
		switch n := n.(type) {
		case nil, *star.File, *star.DictEntry, *star.ForClause, *star.IfClause:
		case *star.UnaryExpr, *star.BinaryExpr: // a parameter or an argument means nothing by itself
			seen[syntax.SpanOf(f, n).Text()] = true
		case star.Expr:
			got := syntax.SpanOf(f, n).Text()
			seen[got] = true
			x, err := syntax.Options().ParseExpr("", got, 0)
			if tuple, ok := n.(*star.TupleExpr); ok && err == nil {
				require.IsType(t, tuple, x)
				break
			}
			require.NoError(t, err, got)
			require.IsType(t, n, x, got)
		case star.Stmt:
			seen[syntax.SpanOf(f, n).Text()] = true
		}
		return true
	})
	for _, want := range []string{
		`load("crops", "leek", pea = "peas")`, `return ()`, `elif a < b: pass
    else: return ()`, `a += -x`, `-x`, `*c`, `**d`, `not a`, `b = 1`, `k = ()`, `x, y`, `(1, 2)`, `()`,
		`z = lambda a, *b: (a, 1)`, `a.b[c][1:2](3, *c, **d)`, `("""c
d""")`, `'é🌽'`, `return`, `pass`,
	} {
		require.True(t, seen[want], want)
	}
}

func TestEmptyFiles(t *testing.T) {
	for _, text := range []string{"", "\n", "# nothing yet", "\ufeff", " \t\r\n"} {
		tree := syntax.Parse(source.New("farm.star", text))
		require.NotNil(t, tree.Root)
		require.Empty(t, tree.Root.Stmts)
		require.Empty(t, tree.Bad)
	}
}

func TestOptions(t *testing.T) {
	o := syntax.Options()
	require.True(t, o.Set && o.TopLevelControl && o.GlobalReassign)
	require.False(t, o.While || o.Recursion)
}

// The texts around a broken one, and whatever may be found, lie where they should.
func checkParse(t require.TestingT, text string) {
	before, after := "before = 1\n", "\nafter = 2\n"
	f := source.New("farm.star", before+text+after)
	tree := syntax.Parse(f)
	inside := func(s source.Span) {
		require.Same(t, f, s.File)
		start, end := f.Offset(s.Start), f.Offset(s.End)
		require.LessOrEqual(t, start, end)
		require.Equal(t, s, source.Span{File: f, Start: f.Point(start), End: f.Point(end)})
	}
	for _, d := range tree.Findings {
		require.NotEmpty(t, d.Message)
		inside(d.Primary.Span)
		for _, l := range d.Related {
			inside(l.Span)
		}
		for _, fix := range d.Fixes {
			for _, e := range fix.Edits {
				inside(e.Span)
			}
		}
	}
	for i, p := range tree.Bad {
		inside(p.Span)
		require.True(t, i == 0 || tree.Bad[i-1].Span.Compare(p.Span) < 0, "pieces out of order")
	}
	found := map[string]bool{}
	for _, s := range tree.Root.Stmts {
		span := syntax.SpanOf(f, s)
		inside(span)
		found[span.Text()] = true
	}
	for _, a := range tree.Accepts {
		inside(a.Span)
		require.NotEmpty(t, a.Reason)
		if a.Target.IsValid() {
			inside(a.Target)
		}
	}
	if len(tree.Root.Stmts)+len(tree.Bad) == 0 {
		return // not UTF-8
	}
	require.Equal(t, len(tree.Bad) > 0, broken(tree), "pieces without findings, or findings without pieces")
	require.True(t, found["before = 1"], "%q", text)
	// A backslash can join the next line to the text; too many faults end the reading.
	if !strings.Contains(text, "\\") && len(tree.Findings) < 20 {
		require.True(t, found["after = 2"], "%q", text)
	}
}

// broken tells whether a finding says that a statement is lost.
func broken(tree *syntax.Tree) bool {
	for _, d := range tree.Findings {
		if d.Code() == "nested-too-deep" || d.Code() == "syntax" && !strings.Contains(d.Message, "opens no block") {
			return true
		}
	}
	return false
}

func FuzzParse(f *testing.F) {
	for _, c := range breakages {
		f.Add(strings.NewReplacer("⟦", "", "⟧", "").Replace(c.text))
	}
	f.Add("row(b) # accept: a-b — why\n# accept: c\n")
	f.Add("\xff\x00é🌽")
	f.Fuzz(func(t *testing.T, text string) { checkParse(t, text) })
}

// Breakages cut short anywhere, as they are while someone types.
func TestTyping(t *testing.T) {
	for _, c := range breakages {
		text := strings.NewReplacer("⟦", "", "⟧", "").Replace(c.text)
		if len(text) > 200 {
			continue
		}
		for i := range text {
			checkParse(t, text[:i])
		}
	}
}

func plan(rows int) string {
	var b strings.Builder
	b.WriteString("bench = plot(\"Lower bench\", length = 52 * ft, width = 4000 * ft)\n")
	for i := range rows {
		fmt.Fprintf(&b, "row(bench, at = %d * ft, zone = \"fruiting\")\n", i)
	}
	return b.String()
}

func BenchmarkParse(b *testing.B) {
	clean := plan(10_000)
	for _, c := range []struct{ name, text string }{
		{"clean", clean},
		{"with accepts", clean + "x = 1  # accept: a-b — why\n"},
		{"broken", clean + "\nx = row(bench, (at = 3\n" + clean},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				syntax.Parse(source.New("farm.star", c.text))
			}
		})
	}
	b.Run("bare parser", func(b *testing.B) {
		for b.Loop() {
			if _, err := syntax.Options().Parse("farm.star", clean, 0); err != nil {
				b.Fatal(err)
			}
		}
	})
}
