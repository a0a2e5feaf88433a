package format

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

func TestLayouts(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", ""},
		{"blank lines only", "\n\n", ""},
		{"no line end", "a = 1", "a = 1\n"},
		{"spaces", "row( bench,at=4*ft )", "row(bench, at = 4 * ft)\n"},
		{"the grower's line breaks", "row(bench,\n  at = 4 * ft)\n", "row(\n    bench,\n    at = 4 * ft,\n)\n"},
		{"a list on one line", "x = [1,2 , 3]\n", "x = [1, 2, 3]\n"},
		{"blank lines between", "a = 1\n\n\n\nb = 2\nc = 3\n", "a = 1\n\nb = 2\nc = 3\n"},
		{"loads stand apart", "load(\"crops\", \"leek\")\nload(\"gear\", \"tape\")\na = 1\n", "load(\"crops\", \"leek\")\nload(\"gear\", \"tape\")\n\na = 1\n"},
		{"order of loads is kept", "load(\"b\", \"z\", \"a\")\nload(\"a\", \"y\")\n", "load(\"b\", \"z\", \"a\")\nload(\"a\", \"y\")\n"},
		{"single quotes", "a = 'leek'\n", "a = \"leek\"\n"},
		{"single quotes round é", "a = 'été 🌽'\n", "a = \"été 🌽\"\n"},
		{"single quotes round double", "a = '18\" apart, é'\n", "a = '18\" apart, é'\n"},
		{"escaped single quote", "a = 'it\\'s é'\n", "a = \"it's é\"\n"},
		{"escapes stay", "a = 'a\\tb\\u00e9\\\\'\n", "a = \"a\\tb\\u00e9\\\\\"\n"},
		{"raw", "a = r'\\d é'\n", "a = r\"\\d é\"\n"},
		{"triple", "a = '''é\n\tb'''\n", "a = \"\"\"é\n\tb\"\"\"\n"},
		{"triple round double", "a = '''\"é\"\nb'''\n", "a = '''\"é\"\nb'''\n"},
		{"tabs", "for i in r:\n\tif i:\n\t    row(i)\t# a\n\telse:\n\t# b\n\t\tpass\n", "for i in r:\n    if i:\n        row(i)  # a\n    else:\n        # b\n        pass\n"},
		{"tab in a text", "a = [\n\t\"\ta\",\n]\n", "a = [\n    \"\ta\",\n]\n"},
		{"deep indent", "def f(a):\n          b = a\n          return b\n", "def f(a):\n    b = a\n    return b\n"},
		{"on one line", "if a: b()\n", "if a:\n    b()\n"},
		{"semicolons", "a = 1; b = 2;\n", "a = 1\nb = 2\n"},
		{"minus minus", "a = - -b\n", "a = -(-b)\n"},
		{"joined lines", "a = b +\\\n c\n", "a = b + \\\n    c\n"},
		{"comments", "#top\n\na = 1 #  end\n\n\n  # odd indent\nb = 2\n#last", "#top\n\na = 1  #  end\n\n# odd indent\nb = 2\n#last\n"},
		{"comments in a call", "row(bench, # a\n# b\n at = 3 # c\n# d\n)\n", "row(\n    bench,  # a\n    # b\n    at = 3,  # c\n    # d\n)\n"},
		{"byte order mark", "\ufeffa=1\n", "a = 1\n"},
		{"CRLF", "a=1\r\nrow(bench,\r\nat = 3)\r\n", "a = 1\r\nrow(\r\n    bench,\r\n    at = 3,\r\n)\r\n"},
		{"CRLF and LF", "a=1\r\nb=2\n", "a = 1\nb = 2\n"},
		{"CR", "a=1\rb=2\r", "a = 1\nb = 2\n"},
		{"CRLF in a text", "a = \"\"\"b\r\nc\"\"\"\r\n", "a = \"\"\"b\r\nc\"\"\"\r\n"},
		{"100 columns", "row(" + strings.Repeat("x", 88) + ", a=1)\n", "row(" + strings.Repeat("x", 88) + ", a = 1)\n"},
		{"101 columns", "row(" + strings.Repeat("x", 89) + ", a=1)  # note\n", "row(\n    " + strings.Repeat("x", 89) + ",\n    a = 1,\n)  # note\n"},
		{"a long remark breaks nothing", "row(bench)  # " + strings.Repeat("x", 100) + "\n", "row(bench)  # " + strings.Repeat("x", 100) + "\n"},
		{"one long text breaks nothing", "farm(\"" + strings.Repeat("x", 100) + "\")\n", "farm(\"" + strings.Repeat("x", 100) + "\")\n"},
		{"columns are code points", "row(\"" + strings.Repeat("é", 85) + "\", a=1)\n", "row(\"" + strings.Repeat("é", 85) + "\", a = 1)\n"},
		{"long list in a call", "climate(soil = [" + strings.Repeat("degf(38),", 12) + "])\n\na = 1\n", "climate(soil = [\n" + strings.Repeat("    degf(38),\n", 12) + "])\n\na = 1\n"},
		{"long list given a name", "x = [" + strings.Repeat("degf(38),", 12) + "]\n\na = 1\n", "x = [\n" + strings.Repeat("    degf(38),\n", 12) + "]\n\na = 1\n"},
		{"long call in a long call", "f(a, g(b" + strings.Repeat(", degf(38)", 12) + "))\n", "f(\n    a,\n    g(\n        b,\n" + strings.Repeat("        degf(38),\n", 12) + "    ),\n)\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Format(source.New("farm.star", c.text))
			require.NoError(t, err)
			require.Equal(t, c.want, got)
			again, err := Format(source.New("farm.star", got))
			require.NoError(t, err)
			require.Equal(t, got, again)
		})
	}
}

func TestLeftAlone(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"syntax", "a  =  1\nrow(bench\nb  =  2\n", "farm.star:2:4: this ( is never closed"},
		{"not UTF-8", "a  =  '\xff'\n", "farm.star:1:8: byte 8 of the file, on line 1, is 0xFF, which is not UTF-8"},
		{"bytes", "a  =  b'x'\n", "farm.star:1:11: this cannot be laid out (syntax error near 'x')"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := Format(source.New("farm.star", c.text))
			require.EqualError(t, err, c.want)
			require.Equal(t, c.text, got)
		})
	}
}

// What the printer might ever do to a file's meaning is seen.
func TestSame(t *testing.T) {
	before := "a = (1 - 2) * 3  # note\nrow(b)  # accept: x — why\nc = 1\n"
	for _, c := range []struct{ name, after, want string }{
		{"the same", "a = ((1 - 2)*3) # note\nrow(\n  b) # accept: x — why\nc = 1", ""},
		{"brackets", "a = 1 - 2 * 3  # note\nrow(b)  # accept: x — why\nc = 1\n", "farm.star:1:1: a new layout would change what this statement means, so the file is left as it is"},
		{"text for a number", "a = (1 - '2') * 3  # note\nrow(b)  # accept: x — why\nc = 1\n", "farm.star:1:1: a new layout would change what this statement means, so the file is left as it is"},
		{"lost statement", "a = (1 - 2) * 3  # note\nrow(b)  # accept: x — why\n", "farm.star:3:1: a new layout would change what this statement means, so the file is left as it is"},
		{"added statement", before + "d = 1", "farm.star: a new layout would change what the file means, so it is left as it is"},
		{"lost comment", "a = (1 - 2) * 3\nrow(b)  # accept: x — why\nc = 1\n", "farm.star:1:18: a new layout would lose or move this comment, so the file is left as it is"},
		{"added comment", before + "# note", "farm.star: a new layout would add comments, so the file is left as it is"},
		{"moved accept", "a = (1 - 2) * 3  # note\nrow(b)\n# accept: x — why\nc = 1\n", "farm.star:2:9: a new layout would move this comment to another statement, so the file is left as it is"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := same(syntax.Parse(source.New("farm.star", before)), source.New("farm.star", c.after))
			if c.want == "" {
				require.NoError(t, err)
				return
			}
			require.EqualError(t, err, c.want)
		})
	}
}

// statements are pieces of plans; every file made of them can be laid out.
var statements = []string{
	"load(\"crops\", \"leek\", pea = \"peas\")\n", "# a remark\n", "\n", "\n\n\n", "a = 1; b = 2\n", "a=[1,2 ,3]\n",
	"row( bench,at=4*ft ) # accept: rows-too-close — cart\n", "# accept: rows-too-close — cart\n",
	"here = site(latitude = 38.2, last_frost = '2027-04-24')\n", "name = 'Læssøe 🌽'\n", "q = '\"' + \"'\" + r'\\d'\n",
	"plant(first, bell_pepper, count = 10, spacing = 18 * inch, on = here.last_frost + 2 * weeks, maturity = 72, harvest = 8 * weeks)\n",
	"for i in range(3):\n\trow(bench, at = i*ft)\t# tab\n\t# end\n", "for x, y in p:\n  row(x); row(y)\n",
	"def beds(plot, n = 3, *more, **named):\n    '''Beds.\n\n    é'''\n    return [row(plot, at = i) for i in range(n) if i]\n",
	"if a:\n  b = 1\nelif c:\n  # why\n  d = 2\nelse: e = 3\n", "x = not (a in b) and -c\n", "x = lambda a, b = 2: a\n",
	"row(\n  bench, # one\n\n  # two\n  at = 3\n  # three\n)\n", "x = {\"jan\": degf(38),\n 'feb': degc(-2)}\n", "x = (1,)\n",
	"x = a + \\\n  b\n", "x = a if b else c\n", "x = [i for i in r\n  if i]\n", "x = d['k'][1:2][::3].f(*a, **b)\n", "x = 1.5e3 + .5 + 0x1F\n",
	"t = \"\"\"one\n  two\"\"\"\n", "x += 1\n", "a, b = b, a\n", "pass\n", "x = \"\\u00e9\\n\"\n",
}

func checkFormat(t require.TestingT, text string) {
	f := source.New("farm.star", text)
	out, err := Format(f)
	if err != nil {
		require.Equal(t, text, out)
		return
	}
	laidOut := source.New("farm.star", out)
	require.NoError(t, same(syntax.Parse(f), laidOut))
	again, err := Format(laidOut)
	require.NoError(t, err)
	require.Equal(t, out, again)
}

func TestFormatKeepsMeaning(t *testing.T) {
	for _, s := range statements {
		_, err := Format(source.New("farm.star", s))
		require.NoError(t, err, s)
	}
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(rapid.SampledFrom(statements), 0, 12).Draw(t, "text"), "")
		if rapid.Bool().Draw(t, "CRLF") {
			text = strings.ReplaceAll(text, "\n", "\r\n")
		}
		checkFormat(t, text)
	})
}

// fragments, put together at random, seldom make a plan, but then an odd one.
var fragments = []string{
	"x", "y", "é", " ", "\n", "\n", "\n    ", "\r\n", "\t", " = ", "(", ")", "[", "]", "{", "}", ", ", ",", ": ", ";", ".a",
	"+", "-", " not ", " in ", "1", "2.", "'a'", "\"é\"", "r'b'", "'''c\n'''", "\\\n", "# note\n", "#n", "if x:", "else:", "elif y:",
	"for z in x:", "def f(a, *b):", "load('c', 'd')", " if x else ", "lambda a: ", "return", "pass", "f(x, k = y)", "[x for y in z]",
}

func TestFormatOfOddPlans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		checkFormat(t, strings.Join(rapid.SliceOfN(rapid.SampledFrom(fragments), 0, 16).Draw(t, "text"), ""))
	})
}

func FuzzFormat(f *testing.F) {
	f.Add(strings.Join(statements, ""))
	for _, s := range statements {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { checkFormat(t, text) })
}
