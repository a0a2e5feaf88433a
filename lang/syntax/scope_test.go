package syntax_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

func known(name string) bool { return name == "row" || name == "ft" || name == "m" }

// told writes names as "bench top 1:1= 2:5", = for a place that binds.
func told(s *syntax.Scopes) []string {
	words := [...]string{syntax.Outside: "outside", syntax.Top: "top", syntax.Loaded: "loaded", syntax.Local: "local"}
	var out []string
	for _, n := range s.Names {
		text := n.Text + " " + words[n.Scope]
		if n.In.IsValid() {
			text += fmt.Sprintf(" in %d:%d", n.In.Start.Line, n.In.Start.Col)
		}
		if n.Load != nil {
			text += " " + n.Load.Module + "." + n.Load.Name
		}
		for _, site := range n.Sites {
			text += fmt.Sprintf(" %d:%d", site.Span.Start.Line, site.Span.Start.Col)
			if site.Binds {
				text += "="
			}
		}
		out = append(out, text)
	}
	return out
}

func TestResolve(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"empty", "", nil},
		{"top", "bench = 1\nrow(bench, at = bench.width)\n", []string{"bench top 1:1= 2:5 2:17", "row outside 2:1"}},
		{"given again", "a = 1\na = a\n", []string{"a top 1:1= 2:1= 2:5"}},
		{"used before it is bound", "print(late)\nlate = 1\n", []string{"print outside 1:1", "late top 1:7 2:1="}},
		{"a unit hidden", "m = 3 * m\nx = m\n", []string{"m top 1:1= 2:5", "m outside 1:9", "x top 2:1="}},
		{
			"loaded", "load('crops', 'leek', mine = 'beet')\nsow(leek, mine)\n",
			[]string{"leek loaded crops.leek 1:16= 2:5", "mine loaded crops.beet 1:23= 2:11", "sow outside 2:1"},
		},
		{
			"function", "def bed(plot, at = far, *more, **rest):\n    wide = at\n    return row(plot, at = wide)\nfar = 1\nbed(1)\n",
			[]string{
				"bed top 1:5= 5:1", "plot local in 1:1 1:9= 3:16", "at local in 1:1 1:15= 2:12", "far top 1:20 4:1=",
				"more local in 1:1 1:26=", "rest local in 1:1 1:34=", "wide local in 1:1 2:5= 3:27", "row outside 3:12",
			},
		},
		{
			"functions inside functions", "def a(x):\n    def b(y):\n        return x + y\n    return b\n",
			[]string{"a top 1:5=", "x local in 1:1 1:7= 3:16", "b local in 1:1 2:9= 4:12", "y local in 2:5 2:11= 3:20"},
		},
		{
			"the same word twice", "x = 1\n[x for x in [x]]\nf = lambda x: x\n",
			[]string{"x top 1:1= 2:14", "x local in 2:1 2:2 2:8=", "f top 3:1=", "x local in 3:5 3:12= 3:15"},
		},
		{
			"bound after a comprehension uses it", "def f():\n    [x for y in x]\n    x = 1\n",
			[]string{"f top 1:5=", "x local in 1:1 2:6 2:17 3:5=", "y local in 2:5 2:12="},
		},
		{"loop and list of targets", "for (a, [b, c]) in d:\n    a = b\n", []string{"a top 1:6= 2:5=", "b top 1:10= 2:9", "c top 1:13=", "d outside 1:20"}},
		{
			"broken", "bench = plot(\nfirst = row(bench, at = 4 * ft)\nfirst. bench first\n",
			[]string{"bench top 1:1= 2:13", "plot outside 1:9", "first top 2:1= 3:1 3:14", "row outside 2:9", "ft outside 2:29"},
		},
		{"bound only in a broken statement", "print(bench)\nbench = plot(1 2)\n", []string{"print outside 1:1", "bench top 1:7 2:1=", "plot outside 2:9"}},
		{"é and 🌽", "é = '🌽'\r\nx = '🌽' + é\r\n", []string{"é top 1:1= 2:11", "x top 2:1="}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := syntax.Resolve(source.New("farm.star", c.text), known)
			require.Equal(t, c.want, told(s))
			for _, n := range s.Names {
				for i := range n.Sites {
					name, site := s.At(n.Sites[i].Span.Start)
					require.Same(t, n, name)
					require.Same(t, &n.Sites[i], site)
					require.Equal(t, n.Text, site.Span.Text())
				}
			}
		})
	}
}

func TestScopesAt(t *testing.T) {
	s := syntax.Resolve(source.New("farm.star", "ab = cd\n"), known)
	for col, want := range map[int32]string{1: "ab", 2: "ab", 3: "ab", 4: "", 5: "", 6: "cd", 8: "cd", 9: ""} {
		name, _ := s.At(source.Point{Line: 1, Col: col})
		if want == "" {
			require.Nil(t, name, "column %d", col)
		} else {
			require.Equal(t, want, name.Text, "column %d", col)
		}
	}
	require.Equal(t, "ab", s.TopNamed("ab").Text)
	require.Nil(t, s.TopNamed("cd"))
}

// However a text is cut about, every place is that of its own name, and none is two names'.
func TestResolveLaws(t *testing.T) {
	pieces := rapid.SampledFrom([]string{
		"a = ", "def f(a, b = a):\n    ", "return a\n", "[a for a in b]\n", "load('crops', 'a', b = 'c')\n", "(", ")", "\n", "b ", "lambda a: a\n",
		"for a in b:\n    ", "f(a = b)\n", "'''", "é", "🌽", "\r\n", "\t", "# a\n", "a.b ", ",",
	})
	rapid.Check(t, func(t *rapid.T) {
		s := syntax.Resolve(source.New("a.star", strings.Join(rapid.SliceOf(pieces).Draw(t, "text"), "")), known)
		seen := map[source.Point]bool{}
		for _, n := range s.Names {
			require.NotEmpty(t, n.Sites)
			for _, site := range n.Sites {
				require.Equal(t, n.Text, site.Span.Text())
				require.False(t, seen[site.Span.Start], "%s twice at %v", n.Text, site.Span)
				seen[site.Span.Start] = true
			}
		}
	})
}

func TestTokens(t *testing.T) {
	text := "\ufeffa = 'x # y' # é\r\n\t(b, \\\n 1.5) ! \"\"\"open"
	f := source.New("a.star", text)
	var got []string
	end := 0
	for _, tok := range syntax.Tokens(f, 0, len(text)) {
		require.GreaterOrEqual(t, tok.Start, end)
		end = tok.End
		note := ""
		if tok.First {
			note += "|"
		}
		if !tok.Sound {
			note += "?"
		}
		got = append(got, fmt.Sprintf("%d%s%s", tok.Kind, note, text[tok.Start:tok.End]))
	}
	require.Equal(t, []string{
		"0|a", "5=", "2'x # y'", "7# é", "3|(", "0b", "5,", "11.5", "4)", "6?!", "2?\"\"\"open",
	}, got)
	require.Len(t, syntax.Tokens(f, strings.Index(text, "("), strings.Index(text, "!")), 5)
	require.True(t, syntax.IsKeyword("lambda"))
	require.True(t, syntax.IsKeyword("class"))
	require.False(t, syntax.IsKeyword("row"))
}
