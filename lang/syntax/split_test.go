package syntax

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	star "go.starlark.net/syntax"
	"pgregory.net/rapid"

	"haulm/lang/source"
)

// outline writes down every node of some statements with its place.
func outline(stmts []star.Stmt) string {
	var b strings.Builder
	for _, s := range stmts {
		star.Walk(s, func(n star.Node) bool {
			if n == nil {
				return true
			}
			start, end := n.Span()
			fmt.Fprintf(&b, "%T %d:%d-%d:%d", n, start.Line, start.Col, end.Line, end.Col)
			if lit, ok := n.(*star.Literal); ok {
				fmt.Fprintf(&b, " %q", lit.Value)
			}
			b.WriteByte('\n')
			return true
		})
	}
	return b.String()
}

// checkSplit holds the tokens, and the pieces that they are cut into, against Starlark's own parser.
func checkSplit(t require.TestingT, text string) {
	f := source.New("farm.star", text)
	r := &reader{tree: &Tree{File: f, Root: &star.File{}}, text: text}
	r.scan()
	at := markSize(text)
	comments := r.comments
	for _, token := range r.tokens {
		require.Less(t, token.start, token.end)
		for len(comments) > 0 && comments[0].start < token.start {
			blank(t, text[at:comments[0].start])
			at = int(comments[0].end)
			comments = comments[1:]
		}
		blank(t, text[at:token.start])
		at = int(token.end)
	}
	if strings.Contains(text, "\x00") || hasLongNumber(text) {
		return
	}
	stmts, err := r.parse(markSize(text), len(text))
	if err != nil {
		return
	}
	for i, token := range r.tokens {
		require.Equal(t, sound, token.fault, "%q", r.textOf(i))
	}
	r.pieces()
	require.Empty(t, r.findings)
	require.Empty(t, r.tree.Bad)
	require.Equal(t, outline(stmts), outline(r.tree.Root.Stmts), "%q", text)
}

// blank holds that nothing stands between tokens but space, line ends and joined lines.
func blank(t require.TestingT, s string) {
	require.Empty(t, strings.Trim(s, " \t\r\n\\"), "between tokens")
}

var fragments = []string{
	"x", "rows", "é", " ", "  ", "\n", "\n", "\n    ", "\r\n", "\r", "\t", "=", "==", "(", ")", "[", "]", "{", "}", ",",
	":", ";", ".", "+", "**", "//=", "12", "1.5e3", "0x1F", ".5", "'a'", "\"🌽\"", "r'\\'", "b'x'", "'''a\nb'''",
	"\"\"\"", "'", "\\\n", "# note\n", "if x:\n    y\n", "else:\n    z\n", "elif w:\n  v\n", "for i in r:\n    row(i)\n",
	"def f(a, *b, **c):\n    return a\n", "load('crops', 'x', y = 'z')\n", " for i in r", " if x else ", "lambda a: ",
	"not ", " in ", " and ", "row(x, at = 3)\n", "pass\n", "f(\nx = 1,\n)\n",
}

func TestSplitAgreesWithTheParser(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		checkSplit(t, strings.Join(rapid.SliceOfN(rapid.SampledFrom(fragments), 0, 12).Draw(t, "text"), ""))
	})
}

func FuzzSplit(f *testing.F) {
	f.Add(strings.Join(fragments, ""))
	f.Add("\ufeffx = [\n1,\n2]\nif x: y\nelse: z\n")
	f.Add("\ufeff\\\r\n  \\\n    x\n")
	f.Add("x = (1 +\\\n2) ; y = '\\\r\n'\r\n# end")
	f.Add("def f():\n\treturn {'a': [b for c in d if e]}\n\nf(*a, **b)[1:2:3].c\n")
	f.Fuzz(func(t *testing.T, text string) {
		if utf8.ValidString(text) {
			checkSplit(t, text)
		}
	})
}
