package lsp

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.starlark.net/starlark"

	"haulm/lang/syntax"
	"haulm/lsp/wire"
)

// generated writes a farm of n rows, a hundred to a plot, each sown with beets from end to end, as the benchmark of
// lang/plan has it.
func generated(n int) string {
	var b strings.Builder
	b.WriteString("load(\"crops\", \"beet\")\nfarm(\"Generated\", year = 2027)\n")
	for i := range n {
		p := i / 100
		if i%100 == 0 {
			fmt.Fprintf(&b, "p%d = plot(\"Plot %d\", length = 46 * ft, width = 404 * ft, headland = 3 * ft)\n", p, p)
		}
		fmt.Fprintf(&b, "sow(row(p%d, at = %d * ft), beet, length = 40 * ft, on = \"2027-05-01\")\n", p, 4+i%100*4)
	}
	return b.String()
}

// interpreted runs a text in the interpreter alone, with built-ins that do nothing, and gives the time it took.
func interpreted(tb testing.TB, text string) time.Duration {
	nothing := func(*starlark.Thread, *starlark.Builtin, starlark.Tuple, []starlark.Tuple) (starlark.Value, error) {
		return starlark.None, nil
	}
	names := starlark.StringDict{"ft": starlark.Float(0.3048)}
	for _, name := range []string{"farm", "plot", "row", "sow"} {
		names[name] = starlark.NewBuiltin(name, nothing)
	}
	thread := &starlark.Thread{Load: func(*starlark.Thread, string) (starlark.StringDict, error) {
		return starlark.StringDict{"beet": starlark.None}, nil
	}}
	start := time.Now()
	_, err := starlark.ExecFileOptions(syntax.Options(), thread, entryName, text, names)
	took := time.Since(start)
	require.NoError(tb, err)
	return took
}

// bench is an editor at work on a generated farm.
type bench struct {
	*editor
	uri  string
	text string
	line int // in the middle of the file
	on   bool
}

func newBench(b *testing.B, rows int) *bench {
	text := generated(rows)
	dir := workspace(b, map[string]string{entryName: text})
	e := newEditor(b, Config{})
	e.unchecked = true
	e.greet(able, dir)
	x := &bench{editor: e, uri: uriOf(filepath.Join(dir, entryName)), text: text, line: strings.Count(text, "\n") / 2}
	for !strings.HasPrefix(strings.Split(text, "\n")[x.line], "sow(") {
		x.line++
	}
	e.open(x.uri, text)
	e.findings(x.uri)
	return x
}

// key types or takes back one character in a number in the middle of the file.
func (x *bench) key() {
	x.on = !x.on
	if x.on {
		x.edit(x.uri, change(x.line, len("sow(row(p0, at = "), x.line, len("sow(row(p0, at = "), "0"))
	} else {
		x.edit(x.uri, change(x.line, len("sow(row(p0, at = "), x.line, len("sow(row(p0, at = 0"), ""))
	}
}

// measure gives the middle and the slow end of what was timed, in milliseconds and as ratios to the bare
// interpreter on a farm of a thousand rows.
func measure(b *testing.B, took []time.Duration) {
	var bare []time.Duration
	thousand := generated(1_000)
	for range 30 {
		bare = append(bare, interpreted(b, thousand))
	}
	unit := float64(percentile(bare, 50))
	for _, p := range []int{50, 95} {
		d := float64(percentile(took, p))
		b.ReportMetric(d/1e6, fmt.Sprintf("p%d-ms", p))
		b.ReportMetric(d/unit, fmt.Sprintf("p%d-ratio", p))
	}
	b.ReportMetric(unit/1e6, "bare-ms")
	b.ReportMetric(0, "ns/op") // the mean says nothing here
}

func percentile(list []time.Duration, p int) time.Duration {
	slices.Sort(list)
	return list[(len(list)-1)*p/100]
}

// BenchmarkFindings times an edit until the findings of that version are published.
func BenchmarkFindings(b *testing.B) {
	for _, rows := range []int{1_000} {
		b.Run(fmt.Sprintf("rows=%d", rows), func(b *testing.B) {
			x := newBench(b, rows)
			var took []time.Duration
			for b.Loop() {
				start := time.Now()
				x.key()
				x.findings(x.uri)
				took = append(took, time.Since(start))
				x.forget()
			}
			measure(b, took)
		})
	}
}

// BenchmarkAfterEdit times an edit until a question about the place edited is answered, on farms whose size
// should not matter.
func BenchmarkAfterEdit(b *testing.B) {
	for _, q := range []struct {
		name, method string
		params       func(x *bench) map[string]any
		into         func() any
	}{
		{"completion", "textDocument/completion", func(x *bench) map[string]any { return at(x.uri, x.line, len("sow(row(p0, ")) }, func() any { return &wire.CompletionList{} }},
		{"hover", "textDocument/hover", func(x *bench) map[string]any { return at(x.uri, x.line, len("sow(ro")) }, func() any { return &struct{}{} }},
		{"hints", "textDocument/inlayHint", func(x *bench) map[string]any {
			p := documentParams(x.uri)
			p["range"] = span(uint32(x.line-25), 0, uint32(x.line+25), 0)
			return p
		}, func() any { return &[]wire.InlayHint{} }},
	} {
		for _, rows := range []int{100, 1_000, 10_000} {
			b.Run(fmt.Sprintf("%s/rows=%d", q.name, rows), func(b *testing.B) {
				x := newBench(b, rows)
				var took []time.Duration
				for b.Loop() {
					start := time.Now()
					x.key()
					x.ask(q.method, q.params(x), q.into())
					took = append(took, time.Since(start))
					x.findings(x.uri) // then somebody thinks before they type on
					x.forget()
				}
				measure(b, took)
			})
		}
	}
}
