package syntax_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

// What goes far too deep, or breaks in every line, ends with a finding.
func TestHostileText(t *testing.T) {
	const size = 1 << 19
	repeat := func(before, unit, after string) string {
		return before + strings.Repeat(unit, size/len(unit)) + after
	}
	for _, c := range []struct{ name, text, code string }{
		{"signs", repeat("x = ", "-", "1"), "nested-too-deep"},
		{"not", repeat("x = ", "not ", "1"), "nested-too-deep"},
		{"lambdas", repeat("x = ", "lambda:", "1"), "nested-too-deep"},
		{"open brackets", repeat("x = ", "[", ""), "nested-too-deep"},
		{"open brackets, one a line", repeat("x = ", "[\n", ""), "nested-too-deep"},
		{"brackets", repeat("x = ", "[", strings.Repeat("]", size)), "nested-too-deep"},
		{"500 brackets", "x = " + strings.Repeat("[", 500) + strings.Repeat("]", 500), "nested-too-deep"},
		{"sum", repeat("x = ", "a+", "a"), "nested-too-deep"},
		{"all of", repeat("x = ", "a and ", "a"), "nested-too-deep"},
		{"dots", repeat("x", ".y", ""), "nested-too-deep"},
		{"dots behind a sign", repeat("-x", ".y", ""), "nested-too-deep"},
		{"dots in a function", repeat("def f(x):\n    return x", ".y", ""), "nested-too-deep"},
		{"calls", repeat("f", "()", ""), "nested-too-deep"},
		{"indexes", repeat("x = f", "[0]", ""), "nested-too-deep"},
		{"slices", repeat("x = f", "[:1]", ""), "nested-too-deep"},
		{"conditions", repeat("x = ", "a if b else ", "c"), "nested-too-deep"},
		{"elif", repeat("if a:\n  b\n", "elif a:\n  b\n", ""), "nested-too-deep"},
		{"sum over lines", repeat("x = [\n", "f(a =\na)+\n", "1]"), "nested-too-deep"},
		{"open calls, one a line", repeat("", "a(\n", ""), "syntax"},
		{"nothing but closing brackets", repeat("", ")\n", ""), "syntax"},
		{"open texts", repeat("", "'\n", ""), "syntax"},
		{"open long texts", repeat("", "\"\"\"a\nf()\n", ""), "syntax"},
		{"stray indents", repeat("", "a\n  b\n", ""), "syntax"},
		{"digits", repeat("x = ", "7", ""), "syntax"},
		{"hexadecimal digits", repeat("x = 0x", "f", ""), "syntax"},
		{"pages of prose", repeat("", "pick when dry\n", ""), "syntax"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := source.New("farm.star", c.text)
			tree := syntax.Parse(f)
			require.NotEmpty(t, tree.Findings)
			require.LessOrEqual(t, len(tree.Findings), 502)
			require.NotEmpty(t, tree.Bad)
			require.Equal(t, c.code, tree.Findings[0].Code())
		})
	}
}

// A long plan is no deep one.
func TestLongIsNotDeep(t *testing.T) {
	for name, text := range map[string]string{
		"list":        "x = [" + strings.Repeat("f(a),\n", 20000) + "]",
		"statements":  strings.Repeat("a;", 20000) + "a",
		"sum of 4000": "x = " + strings.Repeat("a + ", 4000) + "a",
		"long word":   strings.Repeat("a", 20000) + " = 1",
		"long text":   "x = '" + strings.Repeat("7", 20000) + "'",
		"long remark": "# " + strings.Repeat("7", 20000),
	} {
		t.Run(name, func(t *testing.T) {
			tree := syntax.Parse(source.New("farm.star", text))
			require.Empty(t, tree.Findings)
			require.Empty(t, tree.Bad)
		})
	}
}

// After 500 findings the rest is left unread, but for the names it binds.
func TestTooManyFindings(t *testing.T) {
	f := source.New("farm.star", strings.Repeat("x = )\n", 600)+"good = 1\nodd = row(\neven = 2\n")
	tree := syntax.Parse(f)
	require.Len(t, tree.Findings, 501)
	last := tree.Findings[500]
	require.Equal(t, "500 statements before this one cannot be read, so the rest was left unread; is this file a plan?", last.Message)
	require.Equal(t, int32(501), last.Primary.Span.Start.Line)
	require.Empty(t, tree.Root.Stmts)
	require.Equal(t, []string{"even", "good", "odd", "x"}, tree.Bad[500].Names)
}
