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

// key types over one character in the middle of the file, or takes that back: a length becomes another or,
// broken, no length at all.
func (x *bench) key(broken bool) {
	x.on = !x.on
	at := strings.Index(strings.Split(x.text, "\n")[x.line], "40 * ft, on")
	typed := "40"
	switch {
	case x.on && broken:
		typed = "(0"
	case x.on:
		typed = "39"
	}
	x.edit(x.uri, change(x.line, at, x.line, at+1, typed[:1]), change(x.line, at+1, x.line, at+2, typed[1:]))
}

// stopwatch times an editor's waits, each beside a run of the bare interpreter on a farm of a thousand rows.
type stopwatch struct {
	b          *testing.B
	thousand   string
	took, bare []time.Duration
}

func newStopwatch(b *testing.B) *stopwatch { return &stopwatch{b: b, thousand: generated(1_000)} }

func (w *stopwatch) time(f func()) {
	start := time.Now()
	f()
	w.took = append(w.took, time.Since(start))
}

// pause lets the time go by in which nobody types.
func (w *stopwatch) pause() {
	time.Sleep(30 * time.Millisecond)
	w.bare = append(w.bare, interpreted(w.b, w.thousand))
}

// report gives the middle and the slow end in milliseconds, and as ratios to the same of the bare interpreter.
func (w *stopwatch) report() {
	for _, p := range []int{50, 95} {
		took, bare := float64(percentile(w.took, p)), float64(percentile(w.bare, p))
		w.b.ReportMetric(took/1e6, fmt.Sprintf("p%d-ms", p))
		w.b.ReportMetric(took/bare, fmt.Sprintf("p%d-ratio", p))
	}
	w.b.ReportMetric(0, "ns/op") // the mean says nothing here
}

func percentile(list []time.Duration, p int) time.Duration {
	slices.Sort(list)
	return list[(len(list)-1)*p/100]
}

// BenchmarkFindings times an edit until the findings of that version are published, of text that is whole
// before and after and of text that is broken every other time.
func BenchmarkFindings(b *testing.B) {
	for name, broken := range map[string]bool{"whole": false, "broken": true} {
		b.Run(name+"/rows=1000", func(b *testing.B) {
			x := newBench(b, 1_000)
			w := newStopwatch(b)
			for b.Loop() {
				w.time(func() { x.key(broken); x.findings(x.uri) })
				x.forget()
				w.pause()
			}
			w.report()
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
				w := newStopwatch(b)
				for b.Loop() {
					w.time(func() { x.key(false); x.ask(q.method, q.params(x), q.into()) })
					x.findings(x.uri)
					x.forget()
					w.pause()
				}
				w.report()
			})
		}
	}
}
