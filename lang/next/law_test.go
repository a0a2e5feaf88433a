package next

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/diag"
	"haulm/lang/plan"
)

// drawPlan draws a farm as a grower could have written it, with more in it than fits every time.
func drawPlan(t *rapid.T) string {
	var b strings.Builder
	put := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	metric := rapid.Bool().Draw(t, "metric")
	units, far, near := "us", "ft", "inch"
	scale := 1.0
	if metric {
		units, far, near, scale = "metric", "m", "cm", 0.3
	}
	length := func(feet int) string { return fmt.Sprintf("%v * %s", float64(feet)*scale, far) }
	put(`load("crops", "beet", "kale", "leaf_lettuce", "snap_bean", "strawberry", "tomato")`)
	put(`here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14")`)
	put(`farm("Ferry Bank", year = 2027, site = here, units = %q, access = %s)`, units, length(1))
	put(`early = tomato.variety("Porch Red", days_to_maturity = (60, %d))`, rapid.IntRange(60, 90).Draw(t, "days"))
	put(`spring = water_source("spring", flow = 11 * gpm, pressure = 32 * psi)`)
	put(`tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.34 * gpm / (100 * ft), at = 8 * psi)`)
	put(`north = zone("north", source = spring, tape = tape, regulator = 10 * psi)`)
	put(`copper = protectant("copper", reentry = 48 * hours, preharvest = 1, water = 50 * gal / acre)`)
	put(`meal = fertilizer("feather meal", pack = 50 * lb, price = 46.5)`)
	put(`stock(meal, %d * lb)`, rapid.IntRange(1, 100).Draw(t, "stock"))
	day := func() string {
		if rapid.Bool().Draw(t, "by frost") {
			return fmt.Sprintf("here.last_frost + %d * days", rapid.IntRange(8, 30).Draw(t, "days after"))
		}
		return fmt.Sprintf("\"2027-05-%02d\"", rapid.IntRange(1, 28).Draw(t, "day"))
	}
	crop := rapid.SampledFrom([]string{"plant(%s, tomato", "plant(%s, early", "plant(%s, kale", "sow(%s, beet", "sow(%s, snap_bean", "plant(%s, leaf_lettuce", "plant(%s, strawberry"})
	amount := rapid.SampledFrom([]string{"fill = True", "count = 5", "length = 2 * ft"})
	grow := func(row string) {
		put(crop.Draw(t, "crop")+", %s, on = %s)", row, amount.Draw(t, "amount"), day())
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "plots") {
		p := fmt.Sprintf("plot_%d", i)
		n := rapid.IntRange(0, 4).Draw(t, "rows")
		long := rapid.IntRange(15, 40).Draw(t, "length")
		put(`%s = plot("Plot %d", length = %s, width = %s, soil = soil(texture = "loam"))`, p, i, length(long), length(5*n+6))
		if rapid.Bool().Draw(t, "history") {
			put(`history(%s, year = 2026, crops = ["tomato", kale])`, p)
		}
		zone := rapid.SampledFrom([]string{"", ", zone = north"}).Draw(t, "zone")
		if n > 1 && rapid.Bool().Draw(t, "at once") {
			put(`%s_rows = rows(%s, count = %d, first = %s, apart = %s%s)`, p, p, n, length(4), length(5), zone)
			for j := range n {
				grow(fmt.Sprintf("%s_rows[%d]", p, j))
			}
			put(`protect(%s_rows[0], copper, on = "2027-06-01")`, p)
		} else {
			for j := range n {
				bed := rapid.SampledFrom([]string{"", ", lines = 2, line_spacing = 30 * " + near}).Draw(t, "bed")
				if metric {
					bed = strings.Replace(bed, "30 *", "40 *", 1)
				}
				put(`row_%d_%d = row(%s, at = %s%s%s)`, i, j, p, length(4+5*j), bed, zone)
				grow(fmt.Sprintf("row_%d_%d", i, j))
				if rapid.Bool().Draw(t, "held") {
					put(`trellis(row_%d_%d, style = "cage")`, i, j)
				}
			}
		}
		if n > 0 {
			put(`feed(%s, meal, rate = %d * lb / acre)`, p, rapid.IntRange(1, 900).Draw(t, "rate"))
		}
	}
	return b.String()
}

func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := drawPlan(t)
		fsys := fstest.MapFS{"2027/farm.star": {Data: []byte(text)}}
		old := plan.Check(context.Background(), fsys, "2027/farm.star")
		if errorsIn(old.Findings) > 0 {
			_, err := Begin(context.Background(), fsys, "2027/farm.star", Options{At: "2028/farm.star", Over: over(fsys)})
			require.Error(t, err)
			return
		}
		requireSame(t, fsys, "2027/farm.star")
		for _, apart := range []bool{false, true} {
			o := Options{At: "2028/farm.star", Over: over(fsys), Apart: apart}
			p, err := Begin(context.Background(), fsys, "2027/farm.star", o)
			require.NoError(t, err, text)
			for _, f := range p.Snapshot.Findings {
				require.NotEqual(t, diag.Error, f.Rule.Severity, "%s\n%s\n%s", f.Message, text, p.Text)
			}
			require.Equal(t, 2028, p.Snapshot.Farm.Year.Value)
			require.Len(t, p.Snapshot.Farm.Plantings, len(old.Farm.Plantings))
			again, err := Begin(context.Background(), fsys, "2027/farm.star", o)
			require.NoError(t, err)
			require.Equal(t, p.Text, again.Text)
		}
	})
}
