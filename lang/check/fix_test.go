package check

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"haulm/lang/diag"
	"haulm/lang/source"
)

// callIn gives the span of the text between « and » in a plan, and the plan without the marks.
func callIn(text string) source.Span {
	before, rest, _ := strings.Cut(text, "«")
	call, after, _ := strings.Cut(rest, "»")
	f := source.New("farm.star", before+call+after)
	return source.Span{File: f, Start: f.Point(len(before)), End: f.Point(len(before) + len(call))}
}

func applied(t *testing.T, f *source.File, edits []diag.Edit) string {
	texts, err := diag.Apply(diag.Fix{Edits: edits})
	require.NoError(t, err)
	if text, ok := texts[f]; ok {
		return text
	}
	return f.Text
}

func TestInsert(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"after the last", "x = «row(bench, at = 4 * ft)»\n", "x = row(bench, at = 4 * ft, name = 1)\n"},
		{"into nothing", "«row()»", "row(name = 1)"},
		{"into blanks", "«row(  )»", "row(name = 1  )"},
		{"trailing comma", "«row(bench,)»", "row(bench, name = 1,)"},
		{"own line", "«row(\n    bench,\n    at = 4 * ft\n)»", "row(\n    bench,\n    at = 4 * ft,\n    name = 1,\n)"},
		{"own line, trailing comma", "«row(\n    bench,\n)»", "row(\n    bench,\n    name = 1,\n)"},
		{"own line, comment", "«row(\n    bench,  # low, wet\n)»", "row(\n    bench,  # low, wet\n    name = 1,\n)"},
		{"own line, comment, no comma", "«row(\n    bench  # low\n)»", "row(\n    bench,  # low\n    name = 1,\n)"},
		{"own line, windows ends", "«row(\r\n    bench\r\n)»", "row(\r\n    bench,\r\n    name = 1,\r\n)"},
		{"closed on the last line", "«row(\n    bench,\n    at = 4 * ft)»", "row(\n    bench,\n    at = 4 * ft, name = 1)"},
		{"brackets and strings", `«row(f(1, [2, 3]), "a, ) b", 'c"')»`, `row(f(1, [2, 3]), "a, ) b", 'c"', name = 1)`},
		{"long string", "«row('''a, ) ' b''', r\"\\\")\")»", "row('''a, ) ' b''', r\"\\\")\", name = 1)"},
		{"method", `«beet.variety("ours")»`, `beet.variety("ours", name = 1)`},
		{"called result", "«f(1)(2)»", "f(1)(2, name = 1)"},
		{"not ASCII", `é = «row("déjà – vu")»`, `é = row("déjà – vu", name = 1)`},
		{"spread list", "«row(*args)»", "row(*args)"},
		{"spread dictionary", "«row(bench, **more)»", "row(bench, **more)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			call := callIn(c.text)
			require.Equal(t, c.want, applied(t, call.File, insert(call, "name = 1")))
		})
	}
}

func TestRemove(t *testing.T) {
	for _, c := range []struct{ name, text, arg, want string }{
		{"last", "«plant(r, c, start = 5 * ft)»", "5 * ft", "plant(r, c)"},
		{"middle", "«plant(r, start = 5 * ft, count = 1)»", "5 * ft", "plant(r, count = 1)"},
		{"first", "«plant(start = 5 * ft, count = 1)»", "5 * ft", "plant(count = 1)"},
		{"only", "«plant(start = 5 * ft)»", "5 * ft", "plant()"},
		{"only, trailing comma", "«plant(start = 5 * ft,)»", "5 * ft", "plant()"},
		{"last, trailing comma", "«plant(r, start = 5 * ft,)»", "5 * ft", "plant(r,)"},
		{"own line", "«plant(\n    r,\n    start = 5 * ft,\n    count = 1,\n)»", "5 * ft", "plant(\n    r,\n    count = 1,\n)"},
		{"last line", "«plant(\n    r,\n    start = 5 * ft,\n)»", "5 * ft", "plant(\n    r,\n)"},
		{"comment before", "«plant(\n    r,  # low\n    start = 5 * ft,\n)»", "5 * ft", "plant(\n    r,  # low\n    \n)"},
		{"without a name", "«plant(r, 5 * ft)»", "5 * ft", "plant(r, 5 * ft)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			call := callIn(c.text)
			at := strings.Index(call.File.Text, c.arg)
			arg := source.Span{File: call.File, Start: call.File.Point(at), End: call.File.Point(at + len(c.arg))}
			require.Equal(t, c.want, applied(t, call.File, remove(call, arg)))
		})
	}
}

func TestRewriteLeavesWhatIsNotTheCalls(t *testing.T) {
	call := callIn("more = 1\n«row(bench, **more)»")
	spread := callIn("more = 1\nrow(bench, «**more»)")
	spread.File = call.File
	outside := call
	outside.Start, outside.End = source.Point{Line: 1, Col: 8}, source.Point{Line: 1, Col: 9}
	require.Nil(t, rewrite(call, spread, "1"))
	require.Nil(t, rewrite(call, outside, "1"))
	require.Nil(t, rewrite(call, source.Span{}, "1"))
}

func TestArgumentNamed(t *testing.T) {
	call := callIn("«rows(bench, count = 3, apart=  2 * ft, first = 1 * ft)»")
	got, ok := argumentNamed(call, "apart")
	require.True(t, ok)
	require.Equal(t, "2 * ft", got.Text())
	_, ok = argumentNamed(call, "bench")
	require.False(t, ok)
}

// FuzzArguments holds that no text is taken apart into pieces that are not in it.
func FuzzArguments(f *testing.F) {
	for _, seed := range []string{"row()", "row(a, b = 1,)", "f(')', \"\\\"\", # c\n)", "f(1)(2)", "f('''", "(((", "f(a\n#", ")"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if !utf8.ValidString(text) || strings.ContainsAny(text, "«»") {
			return
		}
		call := callIn("«" + text + "»")
		list, ok := argumentsOf(call)
		if !ok {
			return
		}
		end := list.open
		for _, a := range list.args {
			require.LessOrEqual(t, end, a.start)
			require.LessOrEqual(t, a.start, a.value)
			require.LessOrEqual(t, a.value, a.end)
			end = a.end
		}
		require.Less(t, end, len(text)+1)
		insert(call, "x = 1")
		for _, a := range list.args {
			remove(call, list.edit(a.start, a.end, "").Span)
		}
	})
}
