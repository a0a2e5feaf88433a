package derive

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// wetFarm is a farm with zones and weather in whole and half feet, so that it can be built in feet and in meters.
type wetFarm struct {
	rows             []wetRow
	zones            []wetZone
	et, rain         float64 // mm a day, mm a month
	gauge            []float64
	texture          string
	slope, source    float64 // gpm
	supply, header   bool
	long             float64
	tape             float64 // gpm on 100 ft
	exponent, filter float64
}

type wetZone struct {
	regulator float64 // psi; 0 without
	together  bool
}

type wetRow struct {
	apart float64 // from the row before
	zone  int     // 0 for none
	lines int
	tapes int
	crop  int
	in    int // day of the year, 0 when nothing grows
	days  int
}

func drawWetFarm(t *rapid.T) wetFarm {
	d := wetFarm{
		et: half(t, "et", 1, 8), rain: float64(rapid.IntRange(0, 150).Draw(t, "rain")),
		gauge:   rapid.SliceOfN(rapid.Float64Range(0, 40), 0, 30).Draw(t, "gauge"),
		texture: rapid.SampledFrom([]string{"", "sand", "sandy loam", "loam", "clay"}).Draw(t, "texture"),
		slope:   rapid.Float64Range(-0.02, 0.02).Draw(t, "slope"), source: half(t, "source", 2, 20),
		supply: rapid.Bool().Draw(t, "supply"), header: rapid.Bool().Draw(t, "header"), long: half(t, "long", 20, 200),
		tape:     rapid.SampledFrom([]float64{0.22, 0.34, 0.45}).Draw(t, "tape"),
		exponent: rapid.SampledFrom([]float64{0, 0.45, 0.5, 1}).Draw(t, "exponent"),
		filter:   half(t, "filter", 0, 3),
	}
	for range rapid.IntRange(1, 3).Draw(t, "zones") {
		d.zones = append(d.zones, wetZone{half(t, "regulator", 0, 12), rapid.Bool().Draw(t, "together")})
	}
	for range rapid.IntRange(1, 7).Draw(t, "rows") {
		d.rows = append(d.rows, wetRow{
			apart: half(t, "apart", 1, 8), zone: rapid.IntRange(0, len(d.zones)).Draw(t, "zone"),
			lines: rapid.IntRange(1, 3).Draw(t, "lines"), tapes: rapid.IntRange(1, 2).Draw(t, "tapes"),
			crop: rapid.IntRange(0, 2).Draw(t, "crop"), in: rapid.IntRange(-60, 250).Draw(t, "in"), days: rapid.IntRange(5, 200).Draw(t, "days"),
		})
	}
	return d
}

// build makes the farm so many times over, each with its own source, in feet or in meters.
func (d wetFarm) build(unit float64, times int) *plan {
	p := newPlan(unit)
	k := foot / unit // what a foot is in the plan's unit
	site := p.dry(d.et)
	site.Climate.Rain = months(quantity.Length, same(d.rain/1000))
	w := &farm.Weather{}
	for i, mm := range d.gauge {
		w.Days = append(w.Days, season.WeatherDay{Date: season.On(2027, 6, 1+i), TMin: nan, TMax: nan, Rain: mm})
	}
	site.Weather = w
	crops := []*farm.Crop{pepper(), pepper(), crop("oca")}
	crops[1].BetweenRows = known(0.3, 0.6)
	for range times {
		d.add(p, k, crops)
	}
	return p
}

func (d wetFarm) add(p *plan, k float64, crops []*farm.Crop) {
	s, tape := p.spring(d.source), p.tape(d.tape)
	tape.Exponent = number(d.exponent)
	var zones []*farm.Zone
	for i, z := range d.zones {
		decl := p.zone(fmt.Sprint("zone ", i), s, tape)
		if z.regulator > 0 {
			regulated(z.regulator)(decl)
		}
		if z.together {
			decl.Together.Value = "all"
		}
		if d.filter > 0 {
			decl.Filter = amount(d.filter*psi, quantity.Pressure)
		}
		if d.supply {
			decl.Supply = run(100, 1)
		}
		if d.header {
			decl.Header = run(60, 1)
		}
		zones = append(zones, decl)
	}
	plot := p.plot("Bench", d.long*k, 80*k, 0)
	plot.Slope = amount(d.slope, quantity.Ratio)
	if d.texture != "" {
		plot.Soil = &farm.Soil{}
		plot.Soil.Texture.Value = d.texture
	}
	at := 0.0
	for _, r := range d.rows {
		at += r.apart
		row := p.row(plot, at*k, p.bed(r.lines, 0.5*k, false))
		row.Tapes = count(r.tapes)
		if r.zone > 0 {
			row.Zone = zones[r.zone-1]
		}
		if r.in > 0 {
			first := season.On(2027, 1, r.in)
			during := during(farm.DateArg{Value: first, Given: true}, farm.DateArg{Value: first.Add(r.days), Given: true})
			p.plant(row, crops[r.crop], 2*k, filled, during)
		}
	}
}

// alike compares to a billionth.
func alike(t require.TestingT, want, got float64, what ...any) {
	require.InDelta(t, want, got, 1e-9*max(math.Abs(want), 1e-9), what...)
}

// What flows into a zone comes out of its emitters, and what flows out of a source into its zones, be there
// enough of it or not.
func TestFlowIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Derive(&drawWetFarm(t).build(foot, 1).Farm).Water
		for _, g := range w.Groups {
			zones := 0.0
			for _, z := range g.Zones {
				rows, emitters := 0.0, 0
				for _, r := range z.Rows {
					rows += r.Flow
					emitters += r.Emitters
					row := 0.0
					for _, o := range r.Profile(0) {
						row += o.Flow * float64(r.Tapes)
						require.GreaterOrEqual(t, o.Pressure, r.Least-1e-3)
						require.LessOrEqual(t, o.Pressure, r.Most+1e-3)
					}
					require.InDelta(t, row, r.Flow, 1e-8*r.Flow)
				}
				alike(t, z.Flow, rows)
				require.Equal(t, z.Emitters, emitters)
				zones += z.Flow
			}
			alike(t, g.Flow, zones)
			if g.Unsolved == "" && g.Unsettled == "" {
				require.LessOrEqual(t, g.Flow, g.Source.Decl.Flow.Value.SI*(1+1e-6))
				require.Equal(t, g.Limited, g.Wants > g.Source.Decl.Flow.Value.SI*(1+1e-9))
			}
		}
	})
}

// A zone's water of a week is the sum of its rows', a row's that of its plantings, a season's that of its weeks; the
// valve is open long enough for every row, and no longer than the neediest asks.
func TestNeedAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Derive(&drawWetFarm(t).build(foot, 1).Farm).Water
		for _, r := range w.Rows {
			for i, week := range r.Weeks {
				need, dry := 0.0, 0.0
				for _, n := range r.Plantings {
					if at := i - n.First; n.Unknown == "" && at >= 0 && at < len(n.Weeks) {
						need, dry = need+n.Weeks[at].Need, dry+n.Weeks[at].Dry
					}
				}
				alike(t, need, week.Need)
				alike(t, dry, week.Dry)
				require.LessOrEqual(t, week.Need, week.Dry*(1+1e-9))
			}
		}
		for _, z := range w.Zones {
			season := 0.0
			for i, week := range z.Weeks {
				need, time, open, all := 0.0, 0.0, 0, true
				for _, r := range z.Rows {
					if r.Weeks == nil {
						continue
					}
					need, time = need+r.Weeks[i].Need, max(time, r.Weeks[i].Time)
					if r.Weeks[i].Time > 0 {
						open++
					}
					all = all && r.Flow > 0
				}
				alike(t, need, week.Need)
				alike(t, time, week.Time)
				require.Equal(t, open, week.Open)
				require.LessOrEqual(t, week.Time, week.Dry*(1+1e-9))
				if all {
					require.GreaterOrEqual(t, week.Sent, week.Need*(1-1e-9))
				}
				season += week.Need
			}
			alike(t, season, z.Need)
		}
		for _, n := range w.Plantings {
			days := 0
			for _, week := range n.Weeks {
				days += week.Days
				alike(t, week.Use, week.Net+week.Rain)
				require.GreaterOrEqual(t, week.Net, 0.0)
				require.LessOrEqual(t, week.Cover, 1.0+1e-12)
			}
			if n.Unknown == "" {
				require.Equal(t, n.Planting.Clear.DaysSince(n.Planting.Plant), days)
			}
		}
	})
}

// Twice the farm, with a second spring for its second half, needs twice the water.
func TestTwiceTheFarmNeedsTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawWetFarm(t)
		one, two := Derive(&d.build(foot, 1).Farm).Water, Derive(&d.build(foot, 2).Farm).Water
		require.Equal(t, one.Weeks, two.Weeks)
		require.Equal(t, one.Climate, two.Climate)
		sum := func(w *Water) []float64 {
			var flow, need, sent, plantings float64
			for _, z := range w.Zones {
				flow, need, sent = flow+z.Flow, need+z.Need, sent+z.Sent
			}
			for _, n := range w.Plantings {
				for _, week := range n.Weeks {
					plantings += week.Need
				}
			}
			return []float64{flow, need, sent, plantings}
		}
		doubled := sum(two)
		for i, v := range sum(one) {
			alike(t, 2*v, doubled[i])
		}
	})
}

// A farm told in meters is the farm told in feet.
func TestWaterInFeetAndMeters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawWetFarm(t)
		us, metric := Derive(&d.build(foot, 1).Farm).Water, Derive(&d.build(1, 1).Farm).Water
		require.Equal(t, us.Weeks, metric.Weeks)
		require.Equal(t, us.NoNeed, metric.NoNeed)
		close := func(a, b float64) { require.InDelta(t, a, b, 1e-6*math.Abs(a)+1e-12) }
		for i, z := range us.Zones {
			m := metric.Zones[i]
			require.Equal(t, z.Unsolved, m.Unsolved)
			require.Equal(t, z.Emitters, m.Emitters)
			close(z.Flow, m.Flow)
			close(z.EU, m.EU)
			close(z.Need, m.Need)
			close(z.Sent, m.Sent)
		}
		for i, r := range us.Rows {
			close(r.Cut.Length, metric.Rows[i].Cut.Length)
			require.Equal(t, r.Cut.Emitters, metric.Rows[i].Cut.Emitters)
		}
		same := metric.Uses()
		require.Len(t, same, len(us.Uses()))
		for i, u := range us.Uses() {
			close(u.Amount.SI, same[i].Amount.SI)
		}
	})
}
