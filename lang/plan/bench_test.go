package plan_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/require"
	"go.starlark.net/starlark"

	"haulm/lang/plan"
	"haulm/lang/syntax"
)

// generated writes a farm of n rows, a hundred to a plot, each sown with beets from end to end.
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

// bare runs the same text in the interpreter alone, with built-ins that do nothing.
func bare(tb testing.TB, text string) {
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
	_, err := starlark.ExecFileOptions(syntax.Options(), thread, "farm.star", text, names)
	require.NoError(tb, err)
}

func ours(tb testing.TB, text string, n int) {
	s := plan.Check(context.Background(), fstest.MapFS{"farm.star": {Data: []byte(text)}}, "farm.star")
	require.NoError(tb, s.Trouble)
	require.Empty(tb, s.Findings)
	require.Len(tb, s.Facts.Plantings, n)
}

// BenchmarkCheck times reading, running, working out and checking a farm, beside the bare interpreter on
// the same text in the same run. The metric ratio is ours by bare, both taken as the best of each pass.
func BenchmarkCheck(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		b.Run(fmt.Sprintf("rows=%d", n), func(b *testing.B) {
			text := generated(n)
			mine, theirs := time.Duration(math.MaxInt64), time.Duration(math.MaxInt64)
			for b.Loop() {
				mine = min(mine, timed(func() { ours(b, text, n) }))
				theirs = min(theirs, timed(func() { bare(b, text) }))
			}
			b.ReportMetric(float64(mine)/float64(theirs), "ratio")
			b.ReportMetric(float64(mine)/float64(n), "ns/row")
		})
	}
}

// BenchmarkGrowth reports the exponent with which the time grows from 1,000 to 100,000 rows.
func BenchmarkGrowth(b *testing.B) {
	small, large := generated(1_000), generated(100_000)
	fast, slow := time.Duration(math.MaxInt64), time.Duration(math.MaxInt64)
	for b.Loop() {
		for range 10 {
			fast = min(fast, timed(func() { ours(b, small, 1_000) }))
		}
		slow = min(slow, timed(func() { ours(b, large, 100_000) }))
	}
	b.ReportMetric(math.Log(float64(slow)/float64(fast))/math.Log(100), "exponent")
}

func timed(f func()) time.Duration {
	start := time.Now()
	f()
	return time.Since(start)
}
