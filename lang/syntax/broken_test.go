package syntax_test

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	star "go.starlark.net/syntax"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// marked takes the marks ⟦ and ⟧ out of a text and gives the byte range between them.
func marked(t *testing.T, s string) (text string, start, end int) {
	before, rest, ok := strings.Cut(s, "⟦")
	require.True(t, ok, "no ⟦ in %q", s)
	inside, after, ok := strings.Cut(rest, "⟧")
	require.True(t, ok, "no ⟧ in %q", s)
	return before + inside + after, len(before), len(before) + len(inside)
}

func rowLines(from, to int) string {
	var b strings.Builder
	for n := from; n < to; n++ {
		fmt.Fprintf(&b, "r%d = row(bench, at = %d * ft, name = \"row %d\")\n", n, n, n)
	}
	return b.String()
}

// apply makes the edits of a fix, which do not overlap.
func apply(f *source.File, fix diag.Fix) string {
	edits := append([]diag.Edit(nil), fix.Edits...)
	sort.SliceStable(edits, func(i, j int) bool { return edits[j].Span.Start.Before(edits[i].Span.Start) })
	text := f.Text
	for _, e := range edits {
		text = text[:f.Offset(e.Span.Start)] + e.Text + text[f.Offset(e.Span.End):]
	}
	return text
}

type breakage struct {
	name, text string // ⟦ ⟧ mark the range of the one finding
	message    string
	kept       int      // statements of the text itself that are kept
	names      []string // bound by what is not
	fixed      string   // the text after the first fix; "" if there is none
}

// breakages are all that a statement is broken by here.
var breakages = slices.Concat(slips, papers)

var slips = []breakage{
	{"unclosed (", "x = row⟦(⟧bench, at = 4 * ft\n", "this ( is never closed", 0, []string{"x"}, "x = row(bench, at = 4 * ft)\n"},
	{"unclosed [", "x = ⟦[⟧bench, 4 * ft\n", "this [ is never closed", 0, []string{"x"}, "x = [bench, 4 * ft]\n"},
	{"unclosed {", "x = ⟦{⟧\"jan\": 4\n", "this { is never closed", 0, []string{"x"}, "x = {\"jan\": 4}\n"},
	{"unclosed ( over several lines", "x = row(\n    bench,\n    at = ⟦(⟧4 * ft,\n    width = 3,\n)\n", "this ( is never closed", 0, []string{"x"}, ""},
	{"unclosed [ in a call", "x = row(bench, ⟦[⟧1, 2)\n", "this [ is never closed", 0, []string{"x"}, "x = row(bench, [1, 2])\n"},
	{"two unclosed", "x = row(bench, at = ⟦(⟧4 * ft\n", "this ( is never closed", 0, []string{"x"}, "x = row(bench, at = (4 * ft))\n"},
	{"unclosed loop header", "for i in range⟦(⟧3:\n    row(bench)\n", "this ( is never closed", 0, []string{"i"}, "for i in range(3):\n    row(bench)\n"},
	{"unclosed quote", "x = row(bench, name = ⟦\"⟧head)\n", "this \" is never closed", 0, []string{"x"}, "x = row(bench, name = \"head\")\n"},
	{"unclosed single quote", "x = ⟦'⟧head\n", "this ' is never closed", 0, []string{"x"}, "x = 'head'\n"},
	{"unclosed triple quote", "x = ⟦\"\"\"⟧head\n", "this \"\"\" is never closed", 0, []string{"x"}, ""},
	{"unclosed triple quote, then another", "x = ⟦'''⟧head\ny = row(bench)\ndef f(a):\n    '''Rows of a.'''\n    return a\n", "this ''' is never closed", 2, []string{"x"}, ""},
	{"missing comma before a name", "x = row(bench, at = 4 * ft ⟦width⟧ = 3)\n", "a comma is missing before `width`", 0, []string{"x"}, "x = row(bench, at = 4 * ft, width = 3)\n"},
	{"missing comma after the first", "x = row(bench ⟦at⟧ = 4 * ft)\n", "a comma is missing before `at`", 0, []string{"x"}, "x = row(bench, at = 4 * ft)\n"},
	{"missing comma in a list", "x = [1,\n    2\n    ⟦3⟧]\n", "a comma is missing before `3`", 0, []string{"x"}, "x = [1,\n    2,\n    3]\n"},
	{"missing comma at the margin", "x = row(\nbench,\nat = 4 * ft\n⟦width⟧ = 3,\n)\n", "a comma is missing before `width`", 0, []string{"x"}, "x = row(\nbench,\nat = 4 * ft,\nwidth = 3,\n)\n"},
	{"missing times", "x = row(bench, at = ⟦4 ft⟧, width = 3ft)\n", "a * is missing between 4 and ft", 0, []string{"x"}, "x = row(bench, at = 4 * ft, width = 3 * ft)\n"},
	{"missing comma and times", "x = row(bench ⟦at⟧ = 3 ft)\n", "a comma is missing before `at`", 0, []string{"x"}, "x = row(bench, at = 3 * ft)\n"},
	{"missing colon and times", "for i in range(3⟦)⟧\n    row(bench, at = i * 4 ft)\n", "a : is missing at the end of this line", 0, []string{"i"}, "for i in range(3):\n    row(bench, at = i * 4 * ft)\n"},
	{"semicolons for commas", "plant(first⟦;⟧ leek; count = 3)\n", "arguments are set apart by commas, not by ;", 0, nil, "plant(first, leek, count = 3)\n"},
	{"missing brackets", "⟦plant⟧ first, leek, count = 3\n", "what plant is given stands in ( )", 0, []string{"plant"}, "plant(first, leek, count = 3)\n"},
	{"word behind a number", "x = plant(first, count = 20 ⟦plants⟧)\n", "`plants` has no meaning behind a number", 0, []string{"x"}, "x = plant(first, count = 20)\n"},
	{"remark of another language", "⟦//⟧ north side\n", "remarks begin with #", 0, nil, "# north side\n"},
	{"another remark of another language", "⟦/*⟧ north */\n", "remarks begin with #", 0, nil, "# north */\n"},
	{"half-typed call", "x = row⟦(⟧\n", "this ( is never closed", 0, []string{"x"}, "x = row()\n"},
	{"half-typed argument", "x = row⟦(⟧bench, at =\n", "this ( is never closed", 0, []string{"x"}, ""},
	{"half-typed value", "x = row(bench, at ⟦=⟧)\n", "a value is missing after `=`", 0, []string{"x"}, ""},
	{"half-typed attribute", "x = bench⟦.⟧\n", "a name is missing after the dot", 0, []string{"x"}, ""},
	{"half-typed assignment", "x ⟦=⟧\n", "a value is missing after `=`", 0, []string{"x"}, ""},
	{"two commas", "x = row(bench,⟦,⟧ at = 3)\n", "a value is missing before `,`", 0, []string{"x"}, "x = row(bench, at = 3)\n"},
	{"stray indent", "x = 1\n⟦    ⟧y = 2\n    z = 3\n", "this line is indented, but the line above opens no block", 3, nil, "x = 1\ny = 2\nz = 3\n"},
	{"stray indent of a block", "x = 1\n⟦  ⟧for i in x:\n      row(i)\n", "this line is indented, but the line above opens no block", 2, nil, "x = 1\nfor i in x:\n    row(i)\n"},
	{"stray dedent", "def f(a):\n    b = a\n⟦  ⟧c = a\n    return c\n", "this line's indent fits none of the lines above", 0, []string{"f"}, ""},
	{"no indent", "⟦for i in range(3):⟧\nrow(bench)\n", "the lines that belong to this for must follow, indented", 1, []string{"i"}, ""},
	{"tabs and spaces", "def f(a):\n\tb = a\n⟦    ⟧return b\n", "this line's indent fits none of the lines above: some are indented with tabs, some with spaces", 0, []string{"f"}, ""},
	{"missing = at the top", "⟦x row⟧(bench, at = 4 * ft)\n", "an = is missing between `x` and `row`", 0, []string{"row", "x"}, "x = row(bench, at = 4 * ft)\n"},
	{"missing = in a call", "x = row(bench, ⟦at 4⟧ * ft)\n", "an = is missing between `at` and `4`", 0, []string{"x"}, "x = row(bench, at = 4 * ft)\n"},
	{"colon for =", "x = row(bench, at⟦:⟧ 4 * ft)\n", "between a name and its value stands =, not :", 0, []string{"x"}, "x = row(bench, at = 4 * ft)\n"},
	{"= for ==", "if x ⟦=⟧ 3:\n    row(bench)\n", "= gives a name its value; to compare, write ==", 0, nil, "if x == 3:\n    row(bench)\n"},
	{"= for : in a dict", "x = {\"jan\" ⟦=⟧ 4}\n", "between { and } a : stands between a key and its value, not =", 0, []string{"x"}, "x = {\"jan\": 4}\n"},
	{"missing : in a dict", "x = {\"jan\" ⟦4⟧}\n", "a : is missing before `4`", 0, []string{"x"}, "x = {\"jan\": 4}\n"},
	{"keyword typo", "⟦fro⟧ i in range(3):\n    row(bench)\n", "`fro` is not a word of the language; is it for?", 0, []string{"fro"}, "for i in range(3):\n    row(bench)\n"},
	{"keyword with a capital", "⟦For⟧ i in range(3):\n    row(bench)\n", "`For` is not a word of the language; is it for?", 0, []string{"For"}, "for i in range(3):\n    row(bench)\n"},
	{"else typo", "if bench:\n    row(bench)\n⟦esle⟧:\n    row(bench)\n", "`esle` is not a word of the language; is it else?", 1, nil, ""},
	{"else without if", "⟦else⟧:\n    row(bench)\n", "this else has no if above it", 0, nil, ""},
	{"unbalanced )", "x = row(bench)⟦)⟧\n", "this ) closes nothing", 0, []string{"x"}, "x = row(bench)\n"},
	{"wrong closing bracket", "x = [1, 2⟦)⟧\n", "this ) cannot close a [", 0, []string{"x"}, "x = [1, 2]\n"},
	{"half-typed def", "⟦def⟧\n", "a name is missing after def", 0, nil, ""},
	{"half-typed def with a name", "def ⟦f⟧\n", "a ( is missing after `f`", 0, []string{"f"}, ""},
	{"half-typed def with a bracket", "def f⟦(⟧\n", "this ( is never closed", 0, []string{"f"}, ""},
	{"def without colon", "def f(a⟦)⟧\n    return a\n", "a : is missing at the end of this line", 0, []string{"f"}, "def f(a):\n    return a\n"},
	{"def without body", "⟦def f(a):⟧\n", "the lines that belong to this def must follow, indented", 0, []string{"f"}, ""},
	{"def with a value for a name", "def f(a, ⟦3⟧):\n    return a\n", "only names can stand here, not `3`", 0, []string{"f"}, ""},
	{"half-typed for", "⟦for⟧\n", "a name is missing after for", 0, nil, ""},
	{"half-typed for with a name", "for ⟦i⟧\n", "the word in is missing after `i`", 0, []string{"i"}, ""},
	{"half-typed for with in", "for i ⟦in⟧\n", "a value is missing after `in`", 0, []string{"i"}, ""},
	{"for without colon", "for i in ⟦xs⟧\n    row(i)\n", "a : is missing at the end of this line", 0, []string{"i"}, "for i in xs:\n    row(i)\n"},
	{"for of", "for i ⟦of⟧ xs:\n    row(i)\n", "the word in is missing before `of`", 0, []string{"i", "of", "xs"}, ""},
	{"pasted prose", "⟦Please move row 3 to the north side, and\ndon't water it before noon (ask first).⟧\n", "this reads like a remark, not like a plan", 0, nil, "# Please move row 3 to the north side, and\n# don't water it before noon (ask first).\n"},
	{"reserved word", "⟦class⟧ = 3\n", "`class` is kept for the language itself and cannot be a name; choose another", 0, nil, ""},
	{"leading zero", "x = date(2027, ⟦012⟧)\n", "a number cannot begin with 0; write 12", 0, []string{"x"}, "x = date(2027, 12)\n"},
	{"comma at the end", "x = 1⟦,⟧\n", "the comma at the end of this line has no place outside brackets", 0, []string{"x"}, "x = 1\n"},
	{"typographic quotes", "x = row(bench, name = ⟦“⟧head”)\n", "plans write texts between straight quotes (\"), not “", 0, []string{"x"}, "x = row(bench, name = \"head\")\n"},
	{"import", "⟦import crops⟧\n", "plans load what they use by name: load(\"crops\", \"tomato\")", 0, nil, ""},
	{"from import", "⟦from crops import tomato, beet⟧\n", "plans load what they use by name: load(\"crops\", \"tomato\")", 0, []string{"beet", "tomato"}, "load(\"crops\", \"tomato\", \"beet\")\n"},
	{"is for ==", "if x ⟦is⟧ 3:\n    row(bench)\n", "to compare, write ==, not is", 0, nil, "if x == 3:\n    row(bench)\n"},
	{"no-break spaces", "x =⟦\u00a0⟧row(bench,\u00a0at = 3)\n", "there is an invisible character here (U+00A0)", 0, []string{"x"}, "x = row(bench, at = 3)\n"},
	{"zero width space in a word", "x = be⟦\u200b⟧nch\n", "there is an invisible character here (U+200B)", 0, []string{"x"}, "x = bench\n"},
	{"times sign", "x = 4 ⟦×⟧ ft\n", "plans write * for times, not ×", 0, []string{"x"}, "x = 4 * ft\n"},
	{"dash for minus", "x = y ⟦–⟧ 4\n", "plans write - for minus, not –", 0, []string{"x"}, "x = y - 4\n"},
	{"exclamation mark", "x = ⟦!⟧y\n", "plans write not instead of !", 0, []string{"x"}, "x = not y\n"},
	{"no-break space", "x =⟦\u00a0⟧4\n", "there is an invisible character here (U+00A0)", 0, []string{"x"}, "x = 4\n"},
	{"money sign", "x = ⟦$⟧4\n", "`$` has no meaning in a plan outside a text or a remark", 0, []string{"x"}, ""},
	{"zero byte", "x = ⟦\x00⟧ 4\n", "there is a zero byte here, which no text has; is this file damaged?", 0, []string{"x"}, ""},
	{"zero bytes in remarks", "# a \x00 b\nx = ⟦]⟧\ny = [ # \x00\n]\n", "this ] closes nothing", 1, []string{"x"}, ""},
	{"backslash in a line", "x = 4 ⟦\\⟧ ft\n", "a \\ outside a text may stand only at the end of a line", 0, []string{"x"}, ""},
	{"escape", "x = ⟦\"c:\\data\"⟧\n", "a \\ in this text is followed by what it cannot stand before (invalid escape sequence \\d)", 0, []string{"x"}, ""},
	{"keyword argument", "x = row(bench, a.b ⟦=⟧ 3)\n", "only a name can stand before this =; to compare, write ==", 0, []string{"x"}, ""},
	{"if without else", "x = 1 ⟦if⟧ y\n", "an if inside a value needs an else: a if condition else b", 0, []string{"x"}, ""},
	{"chained comparison", "x = 1 < y ⟦<⟧ 3\n", "two comparisons follow each other; put one of them in brackets", 0, []string{"x"}, ""},
	{"load without a file", "load(⟦beans⟧)\n", "load wants the file's name first, as text", 0, nil, ""},
	{"load without any quotes", "load(⟦crops⟧, beans, pea = peas)\n", "load wants the file's name first, as text", 0, []string{"beans", "pea"}, "load(\"crops\", \"beans\", pea = \"peas\")\n"},
	{"load without brackets", "load ⟦\"crops\"⟧, \"beans\"\n", "a ( is missing before `\"crops\"`", 0, []string{"beans"}, "load(\"crops\", \"beans\")\n"},
	{"load of nothing", "load⟦(⟧\"crops\")\n", "this load names nothing to load", 0, nil, ""},
	{"load without quotes", "load(\"crops\", ⟦beans⟧)\n", "load wants names as text: \"bell_pepper\" or pepper = \"bell_pepper\"", 0, []string{"beans"}, "load(\"crops\", \"beans\")\n"},
	{"load, unclosed", "load⟦(⟧\"crops\", \"beans\", pea = \"peas\"\n", "this ( is never closed", 0, []string{"beans", "pea"}, "load(\"crops\", \"beans\", pea = \"peas\")\n"},
	{"huge number", "x = ⟦" + strings.Repeat("7", 1001) + "⟧\n", "a number of 1,001 digits is too long; 1,000 is the most", 0, []string{"x"}, ""},
	{"several targets", "(a, b), c = row⟦(⟧\n", "this ( is never closed", 0, []string{"a", "b", "c"}, "(a, b), c = row()\n"},
	{"line goes on", "x = 1 + 2 ⟦3⟧\n", "`3` has no place here", 0, []string{"x"}, ""},
}

// One slip in a plan of 500 lines: one finding where a person would point, and every other statement is
// kept in its place.
func TestBreakages(t *testing.T) {
	const half = 250
	head, tail := rowLines(0, half), rowLines(half, 2*half)
	good := strings.Split(head+tail, "\n")
	for _, c := range breakages {
		for _, newline := range []string{"\n", "\r\n"} {
			t.Run(fmt.Sprintf("%s/%q", c.name, newline), func(t *testing.T) {
				snippet, start, end := marked(t, c.text)
				whole := head + snippet + tail
				start, end = start+len(head), end+len(head)
				if newline != "\n" {
					start += strings.Count(whole[:start], "\n")
					end += strings.Count(whole[:end], "\n")
					whole = strings.ReplaceAll(whole, "\n", newline)
				}
				f := source.New("farm.star", whole)
				tree := syntax.Parse(f)

				require.Len(t, tree.Findings, 1, "%v", tree.Findings)
				d := tree.Findings[0]
				require.Equal(t, "syntax", d.Code())
				require.Equal(t, c.message, d.Message)
				require.Equal(t, f.Span(start, end), d.Primary.Span, "points at %q", d.Primary.Span.Text())

				names := []string(nil)
				for _, p := range tree.Bad {
					names = append(names, p.Names...)
				}
				require.Equal(t, c.names, names)
				require.Len(t, tree.Root.Stmts, 2*half+c.kept)
				for n := range half {
					for i, s := range []star.Stmt{tree.Root.Stmts[n], tree.Root.Stmts[half+c.kept+n]} {
						if got := syntax.SpanOf(f, s).Text(); got != good[half*i+n] {
							t.Fatalf("got %q for %q", got, good[half*i+n])
						}
					}
				}

				if c.fixed == "" {
					require.Empty(t, d.Fixes)
					return
				}
				require.NotEmpty(t, d.Fixes)
				fixed := strings.ReplaceAll(apply(f, d.Fixes[0]), "\r\n", "\n")
				require.True(t, strings.HasPrefix(fixed, head) && strings.HasSuffix(fixed, tail))
				require.Equal(t, c.fixed, fixed[len(head):len(fixed)-len(tail)])
				require.Empty(t, syntax.Parse(source.New("farm.star", fixed)).Findings)
			})
		}
	}
}

// All the slips in one file, in each of two orders: none hides another.
func TestBreakagesTogether(t *testing.T) {
	var forth, back strings.Builder
	for i, c := range breakages {
		text, _, _ := marked(t, c.text)
		fmt.Fprintf(&forth, "%sgood%d = 1\n", text, i)
	}
	for i := len(breakages) - 1; i >= 0; i-- {
		text, _, _ := marked(t, breakages[i].text)
		fmt.Fprintf(&back, "%sgood%d = 1\n", text, i)
	}
	want := []string{}
	for _, c := range breakages {
		want = append(want, c.message)
	}
	sort.Strings(want)
	for _, text := range []string{forth.String(), back.String()} {
		f := source.New("farm.star", text)
		tree := syntax.Parse(f)
		found := map[string]bool{}
		for _, s := range tree.Root.Stmts {
			found[syntax.SpanOf(f, s).Text()] = true
		}
		for i, c := range breakages {
			require.True(t, found[fmt.Sprintf("good%d = 1", i)], "lost after %s", c.name)
		}
		got := []string{}
		for _, d := range tree.Findings {
			got = append(got, d.Message)
		}
		sort.Strings(got)
		require.Equal(t, strings.Join(want, "\n"), strings.Join(got, "\n"))
	}
}
