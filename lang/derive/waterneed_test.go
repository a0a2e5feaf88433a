package derive

import (
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// bench is a plot with one planting of pepper, 100 ft, from Monday May 3 on, where grass uses 5 mm a day and
// no rain falls. Its stages of FAO-56 Table 11 (means 28 1/3, 36 2/3, 63 1/3 and 23 1/3 days) last 151 2/3 days.
func bench(days int, with ...func(*farm.Row)) (*plan, *farm.Planting) {
	p := newPlan(foot)
	p.dry(5)
	plot := p.plot("Bench", 100, 40, 0)
	row := p.row(plot, 4, with...)
	return p, p.plant(row, pepper(), 2, filled, during(on(5, 3), on(5, 3+days)))
}

func TestNeedByHand(t *testing.T) {
	p, d := bench(154)
	facts := derive(t, p)
	n := of(facts, d).Water
	require.Empty(t, n.Unknown)
	require.Equal(t, []season.Date{season.On(2027, 5, 3), season.On(2027, 5, 10)}, facts.Water.Weeks[:2])
	require.Len(t, facts.Water.Weeks, 22)
	require.Equal(t, 0, n.First)
	require.Len(t, n.Weeks, 22)

	require.InDelta(t, 154, n.Curve.Stages.Days(), 1e-9)
	require.InDelta(t, (28+1./3)*154/(151+2./3), n.Curve.Stages.Initial, 1e-9)
	require.InDelta(t, 1.05, n.Curve.Mid, 1e-12, "wind and humidity are not known, so those of the tables hold")
	require.InDelta(t, 8*foot, n.Strip, 1e-12, "alone, it speaks for as much as to the plot's nearer side, on both")
	require.InDelta(t, 800*foot*foot, n.Area, 1e-9)

	first := n.Weeks[0]
	require.Equal(t, 7, first.Days)
	require.InDelta(t, 0.6, first.Kc, 1e-12)
	require.Equal(t, 1.0, first.Cover, "without a zone all the ground is wetted")
	require.InDelta(t, 35, first.Reference, 1e-9)
	require.InDelta(t, 21, first.Use, 1e-9)
	require.InDelta(t, 21, first.Net, 1e-9)
	require.InDelta(t, 0.021*800*foot*foot/0.9, first.Need, 1e-9, "drip at 90 %")
	require.Equal(t, first.Need, first.Dry)
	full := n.Weeks[13] // days 92 to 98, of the mid stage from day 67 to 130
	require.InDelta(t, 1.05, full.Kc, 1e-12)
	require.InDelta(t, 36.75, full.Net, 1e-9)
	late := (23 + 1./3) * 154 / (151 + 2./3)
	require.InDelta(t, 0.9+0.15*3/late, n.Weeks[21].Kc, 1e-9, "the last seven days lie 6 to 0 days from the end, 3 in the mean")
	require.InDelta(t, 0.3+0.04*(5-5.25), n.Depletion, 1e-12, "FAO-56 Table 22 note, at the 5.25 mm a day of full growth")
}

func TestNeedOfYoungRowsOnTape(t *testing.T) {
	p, d := bench(154)
	z := p.zone("fruiting", p.spring(11), p.tape(0.34), regulated(8))
	d.Row.Zone = z
	n := of(derive(t, p), d).Water
	require.InDelta(t, 0.35, n.Weeks[0].Cover, 1e-12, "of unknown soil drip wets 0.35")
	require.InDelta(t, 0.35*0.6, n.Weeks[0].Kc, 1e-12)
	require.InDelta(t, 1.0, n.Weeks[10].Cover, 1e-12, "leaves have closed by day 66")
	// Day 47.43 lies midway in the development from day 28.77 to 66.08: 0.475 of the ground is covered.
	require.InDelta(t, 0.475/0.85, n.cover.at((n.Curve.Stages.Initial*2+n.Curve.Stages.Development)/2), 1e-9)

	// Loam is wetted as wide as its class is seen to be.
	p.Plots[0].Soil = loam()
	r := derive(t, p).Water.Rows[0]
	require.InDelta(t, r.Wetting.Across/(8*foot), r.Plantings[0].Weeks[0].Cover, 1e-12)
	require.InDelta(t, 2*foot, r.Wetting.Across, 0.2)
}

func TestTallPeppersUseMore(t *testing.T) {
	p, d := bench(154)
	d.Row.Trellis = &farm.Trellis{Height: length(1.8)}
	n := of(derive(t, p), d).Water
	require.InDelta(t, 1.15, n.Curve.Mid, 1e-12, "FAO-56 Table 12 note 2, sweet pepper on stakes")
	d.Row.Trellis.Height = length(1.2)
	require.InDelta(t, 1.05, of(derive(t, p), d).Water.Curve.Mid, 1e-12)
}

func TestClimateShiftsTheCurve(t *testing.T) {
	p, d := bench(154)
	site := bangkok()
	site.Climate.TMin, site.Climate.TMax = months(quantity.Temperature, same(293)), months(quantity.Temperature, same(303))
	site.Climate.Humidity = months(quantity.Ratio, same(0.5))
	site.Climate.Wind = months(quantity.Speed, same(4))
	p.Site = site
	n := of(derive(t, p), d).Water
	// Eq. 62: 0.04 (4 - 2) - 0.004 (RHmin - 45), times (0.7/3)^0.3 = 0.646.
	require.InDelta(t, 1.05+(0.08-0.004*(n.rh-45))*0.6463, n.Curve.Mid, 1e-4)
	require.InDelta(t, 4, n.wind, 1e-9)
	require.InDelta(t, 38.6, n.rh, 2)
}

func TestRainByHand(t *testing.T) {
	rain := func(day int) float64 { return 0 }
	tests := []struct {
		name string
		rain func(day int) float64 // mm on a day of the first week, Monday 0
		net  float64               // of 3 mm used a day at a reference of 5
	}{
		{"none", rain, 21},
		{"an early flood drains", func(d int) float64 { return when(d == 0, 100) }, 21},
		{"a late flood makes all good but its own day's use", func(d int) float64 { return when(d == 6, 100) }, 3},
		{"what it lacks is made good", func(d int) float64 { return when(d == 3, 5) }, 16},
		{"more than it lacks drains", func(d int) float64 { return when(d == 2, 8) }, 15},
		{"a drizzle wets the leaves", func(int) float64 { return 0.9 }, 21},
		{"a fifth of the reference counts", func(d int) float64 { return when(d == 4, 1) }, 20},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, d := bench(154)
			w := &farm.Weather{}
			for i := range 7 {
				w.Days = append(w.Days, season.WeatherDay{Date: season.On(2027, 5, 3+i), TMin: nan, TMax: nan, Rain: tt.rain(i)})
			}
			p.Site.Weather = w
			week := of(derive(t, p), d).Water.Weeks[0]
			require.InDelta(t, tt.net, week.Net, 1e-9)
			require.InDelta(t, 21-tt.net, week.Rain, 1e-9)
			require.Greater(t, week.Dry, 0.0)
		})
	}
	// Normal rain is spread over the month: of 93 mm in May 0.8 × 93 - 24 = 50.4 mm count, 11.38 mm in a week.
	p, d := bench(154)
	p.Site.Climate.Rain = months(quantity.Length, same(0.093))
	week := of(derive(t, p), d).Water.Weeks[0]
	require.InDelta(t, 21-50.4/31*7, week.Net, 1e-9)
	p.Site.Climate.Rain = months(quantity.Length, same(0.4))
	require.Zero(t, of(derive(t, p), d).Water.Weeks[0].Net)
}

func when(yes bool, v float64) float64 {
	if yes {
		return v
	}
	return 0
}

func TestWhatIsNotKnown(t *testing.T) {
	tests := []struct {
		name   string
		change func(p *plan, d *farm.Planting)
		want   string
	}{
		{"no coefficients", func(_ *plan, d *farm.Planting) { d.Crop = crop("oca") },
			"neither FAO-56 nor common practice has crop coefficients for oca"},
		{"no day", func(_ *plan, d *farm.Planting) { d.On.Given = false }, "the plan gives no day on which it goes into the row"},
		{"stands nowhere", func(_ *plan, d *farm.Planting) { d.Spacing.Given = false }, "its spacing or its number is not known"},
		{"cleared first", func(_ *plan, d *farm.Planting) { d.Until = on(4, 1) }, "it is cleared before it is planted"},
		{"long ago", func(p *plan, _ *farm.Planting) { p.Year.Value = 2040 }, "it does not stand within 2 years of 2040"},
		{"for ever", func(_ *plan, d *farm.Planting) { d.Until.Value = season.On(9999, 1, 1) }, "it does not stand within 2 years of 2027"},
		{"no place across", func(p *plan, _ *farm.Planting) { p.Plots[0].Width.Given = false }, "the plan does not say how far apart the rows are"},
		{"no normals in summer", func(p *plan, _ *farm.Planting) { p.Site.Climate.ReferenceET.Value[6].SI = nan },
			"climate and weather do not say enough of July"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, d := bench(154)
			tt.change(p, d)
			facts := derive(t, p)
			n := of(facts, d).Water
			require.Equal(t, tt.want, n.Unknown)
			require.Equal(t, -1, n.First)
			require.Equal(t, tt.want, facts.Water.NoNeed)
			require.Empty(t, facts.Water.Weeks)
			require.Equal(t, "not known: "+tt.want, n.Why()[0].Result)
			require.Equal(t, -1, n.peak())
		})
	}
	p, _ := bench(154)
	p.Site.Climate.ReferenceET.Value[6].SI = nan
	require.Equal(t, "[July]", printed(derive(t, p).Water.Missing))
}

func TestUnknownClearingTakesThePrintedStages(t *testing.T) {
	p, d := bench(154)
	d.Until.Given = false
	n := of(derive(t, p), d).Water
	require.Empty(t, n.Unknown)
	require.InDelta(t, 152, n.Curve.Stages.Days(), 1e-9)
}

func TestCropsUnderAnothersName(t *testing.T) {
	okra, ok := usedBy(t, "okra")
	require.True(t, ok)
	require.Equal(t, "eggplant", okra.use.Like)
	require.InDelta(t, 0.6, okra.ini, 1e-9, "FAO-56 Table 12, eggplant")
	require.InDelta(t, 1.05, okra.mid, 1e-9)
	require.InDelta(t, 0.7, okra.roots, 1e-9, "the lower value of Table 22 serves scheduling")
	kale, ok := usedBy(t, "kale")
	require.True(t, ok)
	require.InDelta(t, 0.45, kale.depletion, 1e-9, "of cabbage")
}

func TestStrip(t *testing.T) {
	p := newPlan(1)
	p.dry(5)
	plot := p.plot("Bench", 30, 20, 0)
	c := pepper()
	c.BetweenRows = known(0.5, 1.2)
	var got []float64
	a := p.row(plot, 2)
	b := p.row(plot, 3)
	bed := p.row(plot, 5, p.bed(3, 0.3, false))
	far := p.row(plot, 9)
	short := p.row(plot, 9, func(d *farm.Row) { d.Start, d.Length = length(12), length(5) })
	for _, r := range []*farm.Row{a, b, bed, far, short} {
		p.plant(r, c, 0.5, counted(5), during(on(5, 3), on(8, 3)))
	}
	facts := derive(t, p)
	for _, d := range p.Plantings {
		got = append(got, of(facts, d).Water.Strip)
	}
	// a: 1 m to its one neighbor, and as much beyond. b: half of 1 m and half of 2 m, but no more than 1.2 m. The
	// bed: half of 2 m and half of 4 m, but 0.6 m between its outer lines and 1.2 m. The last two lie on one line.
	require.InDeltaSlice(t, []float64{1, 1.2, 1.8, 1.2, 1.2}, got, 1e-9)
}
