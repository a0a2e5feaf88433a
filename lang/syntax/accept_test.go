package syntax_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

func TestAccepts(t *testing.T) {
	for _, c := range []struct {
		name, text string
		codes      string
		reason     string
		target     string // its first line
	}{
		{"on the line", "a = 1\nrow(b)  # accept: rows-too-close — cart goes round the other side\nc = 2", "rows-too-close", "cart goes round the other side", "row(b)"},
		{"on a line of its own", "a = 1\n# accept: rows-too-close — cart\nrow(b)", "rows-too-close", "cart", "row(b)"},
		{"with blank lines and remarks between", "# accept: x – why\n\n# a remark\n\nrow(b)", "x", "why", "row(b)"},
		{"two codes", "row(b) #accept: a-b,c-d2 -- why not", "a-b,c-d2", "why not", "row(b)"},
		{"hyphen", "row(b) # accept: a-b - why - not", "a-b", "why - not", "row(b)"},
		{"colon", "row(b) # accept: a-b: why", "a-b", "why", "row(b)"},
		{"capital and tab", "row(b)\t#\tAccept: a-b\t—\twhy\t", "a-b", "why", "row(b)"},
		{"inside a call", "row(b,\n    at = 3, # accept: x — why\n    width = 4)", "x", "why", "row(b,"},
		{"alone inside a call", "row(b,\n    # accept: x — why\n    width = 4)\nc = 1", "x", "why", "row(b,"},
		{"after a call's last line", "row(b,\n    width = 4) # accept: x — why\nc = 1", "x", "why", "row(b,"},
		{"in a loop", "for i in r:\n    row(i)  # accept: x — why\n    c = 1", "x", "why", "row(i)"},
		{"alone in a loop", "for i in r:\n    row(i)\n    # accept: x — why\n    c = 1", "x", "why", "c = 1"},
		{"at the end of a loop", "for i in r:\n    row(i)\n    # accept: x — why\nc = 1", "x", "why", "c = 1"},
		{"on a loop", "for i in r: # accept: x — why\n    row(i)", "x", "why", "for i in r: # accept: x — why"},
		{"in an else", "if a:\n    b()\nelse:\n    c() # accept: x — why\n", "x", "why", "c()"},
		{"in a function", "def f(a):\n    return row(a) # accept: x — why\n", "x", "why", "return row(a)"},
		{"on one of two on a line", "a(); b() # accept: x — why", "x", "why", "b()"},
		{"before a broken statement", "# accept: x — why\nrow(b,\nc = 1", "x", "why", "row(b,"},
		{"on a broken statement", "c = 1\nrow(b)) # accept: x — why\nd = 1", "x", "why", "row(b))"},
		{"at the end of the file", "row(b)\n# accept: x — why\n", "x", "why", ""},
		{"CRLF", "row(b) # accept: x — why\r\nc = 1\r\n", "x", "why", "row(b)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := source.New("farm.star", c.text)
			tree := syntax.Parse(f)
			require.Len(t, tree.Accepts, 1)
			a := tree.Accepts[0]
			require.Equal(t, c.codes, strings.Join(a.Codes, ","))
			require.Equal(t, c.reason, a.Reason)
			require.Equal(t, c.target, strings.Split(a.Target.Text(), "\n")[0])
			require.Equal(t, c.target != "", a.Target.IsValid())
			require.True(t, strings.HasPrefix(a.Span.Text(), "#"))
		})
	}
}

func TestAcceptsWithoutReason(t *testing.T) {
	for _, comment := range []string{
		"# accept: rows-too-close", "# accept:", "# accept: rows-too-close —", "# accept: — why",
		"# accept: cart goes round the other side", "# accept: a-b, c-d",
	} {
		f := source.New("farm.star", "row(b)  "+comment+"\n")
		tree := syntax.Parse(f)
		require.Empty(t, tree.Accepts, comment)
		require.Len(t, tree.Findings, 1, comment)
		require.Equal(t, "accept-without-reason", tree.Findings[0].Code())
		require.Equal(t, comment, tree.Findings[0].Primary.Span.Text())
	}
}

// What is nearly an accept comment says what it lacks, and offers the whole where it is all there.
func TestAcceptsWithoutSigns(t *testing.T) {
	const colon, dash = "a : is missing after accept", "a dash is missing before its reason"
	for _, c := range []struct{ comment, lacks, fixed string }{
		{"# accept a-b — why", colon, "# accept: a-b — why"},
		{"#Accept a-b: why not", colon, "# accept: a-b — why not"},
		{"# accept a-b, c-d why", colon, "# accept: a-b, c-d — why"},
		{"# accept a-b", colon, ""},
		{"# accept: a-b why not", dash, "# accept: a-b — why not"},
		{"# accept: a-b", "it gives no reason", ""},
	} {
		t.Run(c.comment, func(t *testing.T) {
			f := source.New("farm.star", "row(b)  "+c.comment+"\n")
			tree := syntax.Parse(f)
			require.Empty(t, tree.Accepts)
			require.Len(t, tree.Findings, 1)
			d := tree.Findings[0]
			require.Equal(t, "accept-without-reason", d.Code())
			require.Equal(t, "this comment accepts nothing: "+c.lacks, d.Message)
			if c.fixed == "" {
				require.Empty(t, d.Fixes)
				return
			}
			fixed := apply(f, d.Fixes[0])
			require.Equal(t, "row(b)  "+c.fixed+"\n", fixed)
			require.Len(t, syntax.Parse(source.New("farm.star", fixed)).Accepts, 1)
		})
	}
}

func TestNoAccepts(t *testing.T) {
	for _, text := range []string{
		"x = '# accept: a-b'", "x = '''\n# accept: a-b\n'''", "# accepts: a-b", "# accept rain", "# accept-only", "# accept",
		"# accept-this-one", "x = r'\\' # '",
		"# we accept: nothing",
	} {
		tree := syntax.Parse(source.New("farm.star", text))
		require.Empty(t, tree.Accepts, text)
		require.Empty(t, tree.Findings, text)
	}
}
