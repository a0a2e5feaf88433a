package book_test

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/book"
	"haulm/lang/plan"
)

// generated writes a farm of n rows, a hundred to a plot, with a climate, water and two crops in turn.
func generated(n int) string {
	var b strings.Builder
	b.WriteString(`load("crops", "beet", "kale")
here = site(latitude = 38.2, longitude = -84.9, elevation = 640 * ft, last_frost = "2027-04-24", first_frost = "2027-10-14",
    climate = climate(reference_et = [x * inch / days for x in [.04, .06, .09, .13, .16, .19, .19, .17, .13, .09, .06, .04]],
        rain = [3 * inch for m in range(12)]))
farm("Generated", year = 2027, site = here)
spring = water_source("spring", flow = 900 * gpm, pressure = 40 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.34 * gpm / (100 * ft), at = 8 * psi, inside_diameter = 0.625 * inch)
`)
	for i := range n {
		p := i / 100
		if i%100 == 0 {
			fmt.Fprintf(&b, "z%d = zone(\"zone %d\", source = spring, tape = tape, regulator = 10 * psi)\n", p, p)
			fmt.Fprintf(&b, "p%d = plot(\"Plot %d\", length = 46 * ft, width = 404 * ft, headland = 3 * ft, east = %d * ft, soil = soil(texture = \"loam\"))\n", p, p, p*60)
		}
		fmt.Fprintf(&b, "r = row(p%d, at = %d * ft, zone = z%d)\n", p, 4+i%100*4, p)
		fmt.Fprintf(&b, "sow(r, beet, length = 38 * ft, spacing = 4 * inch, on = \"2027-04-%02d\", until = \"2027-07-01\")\n", 20+i%9)
		fmt.Fprintf(&b, "plant(r, kale, fill = True, spacing = 18 * inch, on = \"2027-07-%02d\")\n", 2+i%9)
	}
	return b.String()
}

// size counts what is written.
type size int

func (s *size) Write(p []byte) (int, error) {
	*s += size(len(p))
	return len(p), nil
}

// write writes all of a book and gives its size, and the most memory that was in use beyond what was before.
func write(tb testing.TB, s *plan.Snapshot) (total, most size) {
	var m runtime.MemStats
	defer debug.SetGCPercent(debug.SetGCPercent(20)) // so that little but what is in use counts
	runtime.GC()
	runtime.ReadMemStats(&m)
	before := m.HeapAlloc
	b := book.New(s)
	for _, p := range b.Files() {
		require.NoError(tb, b.Write(p, &total))
		runtime.ReadMemStats(&m)
		most = max(most, size(m.HeapAlloc)-size(before))
	}
	return total, most
}

// BenchmarkBook writes whole books; peak-MB is the most memory in use beyond the plan's own facts.
func BenchmarkBook(b *testing.B) {
	books := map[string]func() *plan.Snapshot{
		"season":     func() *plan.Snapshot { return example(b, "season") },
		"rows=1000":  func() *plan.Snapshot { return planOf(b, generated(1000)) },
		"rows=10000": func() *plan.Snapshot { return planOf(b, generated(10000)) },
	}
	for _, name := range []string{"season", "rows=1000", "rows=10000"} {
		b.Run(name, func(b *testing.B) {
			var total, peak size
			for b.Loop() {
				b.StopTimer()
				s := books[name]()
				b.StartTimer()
				total, peak = write(b, s)
			}
			b.ReportMetric(float64(total)/1e6, "MB")
			b.ReportMetric(float64(peak)/1e6, "peak-MB")
		})
	}
}
