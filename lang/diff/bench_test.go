package diff_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/require"

	"haulm/lang/diff"
)

// generated writes a farm of n rows, a hundred to a plot; every tenth row has what the edit says of it.
func generated(n int, edit func(i int) (at, day int)) fstest.MapFS {
	var b strings.Builder
	b.WriteString("load(\"crops\", \"beet\")\nfarm(\"Generated\", year = 2027)\n")
	for i := range n {
		p := i / 100
		if i%100 == 0 {
			fmt.Fprintf(&b, "p%d = plot(\"Plot %d\", length = 46 * ft, width = 404 * ft, headland = 3 * ft)\n", p, p)
		}
		at, day := 4+i%100*4, 1
		if i%10 == 0 {
			at, day = edit(i)
		}
		fmt.Fprintf(&b, "sow(row(p%d, at = %d * ft), beet, length = 40 * ft, on = \"2027-05-%02d\")\n", p, at, day)
	}
	return fstest.MapFS{entry: {Data: []byte(b.String())}}
}

// BenchmarkDiff times the diff of two farms beside checking both in the same run. The metric ratio is checking and
// comparing by checking alone; in "moved" every tenth row stands elsewhere and is sown later, so that nothing
// of it is matched by its place or day.
func BenchmarkDiff(b *testing.B) {
	same := func(i int) (int, int) { return 4 + i%100*4, 1 }
	for name, edit := range map[string]func(i int) (int, int){
		"same":  same,
		"later": func(i int) (int, int) { return 4 + i%100*4, 9 },
		"moved": func(i int) (int, int) { return 3 + i%100*4, 9 },
	} {
		for _, n := range []int{1_000, 10_000} {
			b.Run(fmt.Sprintf("%s/rows=%d", name, n), func(b *testing.B) {
				old, now := generated(n, same), generated(n, edit)
				checking, comparing := time.Duration(math.MaxInt64), time.Duration(math.MaxInt64)
				for b.Loop() {
					start := time.Now()
					from, to := check(b, old), check(b, now)
					checked := time.Now()
					d := diff.Compare(from, to)
					comparing = min(comparing, time.Since(checked))
					checking = min(checking, checked.Sub(start))
					require.Equal(b, name == "same", d.Same())
				}
				b.ReportMetric(float64(checking+comparing)/float64(checking), "ratio")
				b.ReportMetric(float64(comparing)/float64(n), "ns/row")
			})
		}
	}
}
