package derive

import (
	"fmt"
	"testing"
)

// BenchmarkDerive works out farms of rows with a planting each, 50 rows to a plot.
func BenchmarkDerive(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p := newPlan(foot)
			c := crop("pepper")
			c.InRow, c.TrayWeeks = stated(12*inch, 18*inch), stated(6, 8)
			c.MaturityTransplant, c.HarvestDays = stated(65, 75), stated(42, 56)
			for i := range n {
				if i%50 == 0 {
					p.plot(fmt.Sprint("Plot ", i/50), 100, 200, 5)
				}
				row := p.row(p.Plots[len(p.Plots)-1], float64(i%50)*4+2)
				d := p.plant(row, c, 0, filled)
				d.Spacing.Given = false
				d.On = on(5, 1+i%20)
			}
			b.ReportAllocs()
			for b.Loop() {
				Derive(&p.Farm)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/row")
		})
	}
}
