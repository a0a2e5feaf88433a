package eval_test

import (
	"context"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/eval"
)

// jargon are words of the interpreter that no grower's plan has.
var jargon = regexp.MustCompile(`(?i)positional|keyword|binaryexpr|binary op|unary op|iterable|string|\bint\b|float|NoneType|tuple|dialect|operand|identifier|unhashable|mapping|referenced|unpack|starlark`)

// Whatever the language refuses is said in words that a grower uses.
func TestFailuresInPlainWords(t *testing.T) {
	for text, want := range map[string]string{
		`f = len(3)`:                          "a number has nothing to count",
		`while True: pass`:                    "plans have no while",
		`break`:                               "break means something only in a loop",
		`return 3`:                            "return means something only in a function",
		`4 = x`:                               "only a name can stand before this =",
		`f(x) = 3`:                            "only a name can stand before this =",
		`[x, y] += [1, 2]`:                    "only one name can be changed at a time",
		`x = max(*[1], 2)`:                    "arguments without a name come before * and **",
		`x = dict(**{}, a = 1)`:               "* and ** come last among the arguments, each once",
		"def f(a = 1, b): pass":               "parameters without a value of their own come first, then those with one, then * and **",
		"def f(a, a): pass":                   "a function has each parameter once",
		"def f(*): pass":                      "parameters must follow this *",
		"if True:\n    load('crops', 'leek')": "load stands at the margin, outside functions, loops and conditions",
		`load("./a.star", "_x")`:              "_x begins with _ and so is kept to its own file",
		"def f():\n    y = z\n    z = 3\nf()": "z means nothing yet where it is used here",
		`x = -"a"`:                            "a text cannot have a sign before it",
		`x = "a" + 4 * ft`:                    "a text and a length cannot be added",
		`x = [1] - 2`:                         "a list and a number cannot be taken from one another",
		`x = "a" / 2`:                         "a text and a number cannot be divided",
		`x = 3 | "a"`:                         "| stands between a number and a text, where it has no meaning",
		`x = 24 in + 3`:                       "a number is no list to look in",
		`x = 3 in "a"`:                        "only a text can be looked for in a text, not a number",
		`x = bench.lenght`:                    "a plot has no .lenght",
		`bench.length = 3`:                    "what a plot is cannot be changed from here",
		`x = {"a": 1}["b"]`:                   `there is no entry "b"`,
		`x = [1, 2, 3][3]`:                    "the list has 3 values, counted from 0: the last is [2], and there is no [3]",
		`x = [1][-2]`:                         "the list has one value, [0]; there is no [-2]",
		`x = "abc"[5]`:                        "the text has 3 letters, counted from 0; there is none at 5",
		`x = [][0]`:                           "a list is asked for one of its values, and is empty",
		`x = [1]["a"]`:                        "a place in a list is a whole number, counted from 0",
		`x = 5[0]`:                            "a number has no parts to take by [ ]",
		`x = 5[0:1]`:                          "a number has no parts to take by [ : ]",
		`x = [1]["a":]`:                       "the numbers in [ : ] are whole, and the last is not 0",
		"x = (1, 2)\nx[0] = 3":                "a group of values in ( ) cannot be changed",
		`bench[0] = 3`:                        "a plot cannot be changed by [ ]",
		`x = 1 / 0`:                           "this divides by zero",
		`x = 1 % 0`:                           "this divides by zero",
		`x = bench()`:                         "a plot is no function and cannot be called",
		"def f(a, b): return a\nx = f(1)":     "f needs b",
		"def f(a): return a\nx = f(1, 2)":     "f takes 1 argument, and here are 2",
		"def f(): return 1\nx = f(1)":         "f takes no arguments, and here are 1",
		"def f(a): return a\nx = f(1, a = 2)": "a is given twice in one call",
		"def f(a): return a\nx = f(b = 2)":    "f takes no argument called b",
		"def f(a): return f(a)\nf(1)":         "f calls itself, which plans cannot",
		`x = "%s %s" % 1`:                     "the text has more places (%) than there are values",
		`x = "%s" % (1, 2)`:                   "the text has fewer places (%) than there are values",
		`x = "50 % of" % 1`:                   "a % in this text has no meaning",
		`x = max(*3)`:                         "a list belongs behind *, not a number",
		`x = dict(**3)`:                       "a dict belongs behind **, not a number",
		"for r in bench: pass":                "a plot is no list to go through",
		`x = sorted(3)`:                       "a number is no list to go through",
		`x = {"a": 1, "a": 2}`:                `the key "a" is there twice`,
		`a, b = 3`:                            "there is one value, a number, for several names",
		`a, b = 1, 2, 3`:                      "the names before the = are 2, the values 3",
		`x = {[1]: 2}`:                        "a list cannot be a key",
		`x = "a" < 3`:                         "a text and a number cannot be compared",
		"x = [1]\nfor i in x: x.append(i)":    "a list cannot be changed by the loop that goes through it",
		`x = int("abc")`:                      "the text abc is no number",
		`x = float("abc")`:                    "the text abc is no number",
		`x = max([])`:                         "there is nothing to choose from: the list is empty",
		`x = ", ".join([1])`:                  "only texts can be joined, and here is a number",
		`x = [1].index(2)`:                    "the list does not have this value",
		`x = range("a")`:                      "range takes a number, not a text",
		`x = str(1, 2)`:                       "str takes exactly 1 argument, and here are 2",
		`x = sorted([1], ky = 2)`:             "sorted takes no argument called ky",
		`x = getattr(bench)`:                  "getattr takes at least 2 arguments, and here are 1",
		`x = abs("a")`:                        "a number belongs here, not a text",
		`x = None + 3`:                        "None and a number cannot be added",
		`fail("no such bench")`:               "no such bench",
	} {
		t.Run(text, func(t *testing.T) {
			plan := files("farm.star", ground+text+"\n", "a.star", "_x = 1\n")
			findings := eval.Run(context.Background(), plan, "farm.star").Findings
			require.NotEmpty(t, findings)
			require.Equal(t, want, findings[0].Message)
			for _, d := range findings {
				require.NotRegexp(t, jargon, d.Message+" "+d.Help)
			}
		})
	}
}

func TestNearest(t *testing.T) {
	known := []string{"beet", "bench", "first", "loam", "loamy sand", "row_spacing", "spacing"}
	for word, want := range map[string]string{
		"frist": "first", "fisrt": "first", "First": "first", "benhc": "bench", "benk": "", "beat": "beet",
		"Loam": "loam", "loamy": "loamy sand", "spacin": "spacing", "spaceing": "spacing", "row": "row_spacing",
		"": "", "x": "", "tomato": "", "stfir": "",
	} {
		require.Equal(t, want, eval.Nearest(word, known), word)
	}
}
