package derive

import (
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// two rows of 100 ft on one zone, 4 ft apart: pepper from May 3 in the first, and in the second from May 31.
func twoRows(with ...func(*farm.Zone)) (*plan, *farm.Zone) {
	p, z := zoned(2, 11, append(with, regulated(8))...)
	p.dry(5)
	c := pepper()
	p.plant(p.Rows[0], c, 2, filled, during(on(5, 3), on(10, 4)))
	p.plant(p.Rows[1], c, 2, filled, during(on(5, 31), on(11, 1)))
	return p, z
}

func TestScheduleByHand(t *testing.T) {
	p, _ := twoRows()
	facts := derive(t, p)
	w := facts.Water
	z := w.Zones[0]
	// The first week: 0.35 × 0.6 × 35 mm on 400 sq ft, 0.273 m³ or 72.2 gal at the roots; at 94.9 % evenness 76.0 gal,
	// which 0.34 gpm bring in 3 h 44 min.
	first := z.Weeks[0]
	require.InDelta(t, 72.2/0.949, first.Need/gal, 0.1)
	require.InDelta(t, 76.0/0.34/60, first.Time/3600, 0.03)
	require.Equal(t, 1, first.Open)
	require.InDelta(t, first.Need, first.Sent, 1e-9, "the other row is shut")
	require.Equal(t, first.Time, first.Dry, "it never rains")
	require.Equal(t, z.Rows[0], first.Most)
	require.Equal(t, z.Rows[0], first.Least)
	// Four weeks on both are open as long as the first asks.
	fifth := z.Weeks[4]
	require.Equal(t, 2, fifth.Open)
	require.Equal(t, z.Rows[0], fifth.Most)
	require.Equal(t, z.Rows[1], fifth.Least)
	require.InDelta(t, fifth.Time*(z.Rows[0].Flow+z.Rows[1].Flow), fifth.Sent, 1e-9)
	require.Greater(t, fifth.Sent, fifth.Need)
	// 36.75 mm at full growth, first in the week from day 70 on.
	require.Equal(t, 10, z.Peak)
	require.InDelta(t, 36.75/7.35*first.Time, z.Weeks[z.Peak].Time, 1e-6)

	s := w.Sources[0]
	require.Equal(t, z.Peak, s.Peak)
	require.InDelta(t, z.Sent, s.Volume, 1e-9)
	require.InDelta(t, z.Weeks[10].Time, s.Weeks[10].Time, 1e-9)
	require.Equal(t, 168*3600.0, s.Hours)
}

// Tape gives its water to all of the row: what stands in half of it needs it open as long as what fills it.
func TestHalfARowTakesAsLong(t *testing.T) {
	whole, _ := twoRows()
	half, _ := twoRows()
	half.Plantings[0].Fill, half.Plantings[0].Count = farm.Flag{}, count(26) // 50 ft from the first to the last, and a foot beyond
	quarters, _ := twoRows()
	quarters.Plantings[0].Fill, quarters.Plantings[0].Count = farm.Flag{}, count(25)
	quarters.plant(quarters.Rows[0], quarters.Plantings[0].Crop, 2, filled, during(on(5, 3), on(10, 4)))
	a, b, c := derive(t, whole).Water.Rows[0], derive(t, half).Water.Rows[0], derive(t, quarters).Water.Rows[0]
	for i := range a.Weeks {
		require.InDelta(t, a.Weeks[i].Time, b.Weeks[i].Time, 1e-6)
		require.InDelta(t, a.Weeks[i].Time, c.Weeks[i].Time, 1e-6)
		require.InDelta(t, a.Weeks[i].Need*0.51, b.Weeks[i].Need, 1e-6)
		require.InDelta(t, a.Weeks[i].Need, c.Weeks[i].Need, 1e-6)
		require.Equal(t, b.Weeks[i].Time, b.Weeks[i].DryTime)
	}
	// Grown, it uses 1.05 mm for each mm of the reference, on 400 sq ft.
	require.InDelta(t, 1.05e-3*400*foot*foot/a.Zone.Efficiency/a.Flow, a.Thirst, 1e-6)
	require.InDelta(t, a.Thirst, b.Thirst, 1e-6)
}

func TestTheWeekThatDecides(t *testing.T) {
	p, _ := twoRows()
	p.Site.Climate.Rain = months(quantity.Length, func(i int) float64 { return when(i <= 7, 0.15) }) // to August
	z := derive(t, p).Water.Zones[0]
	require.Equal(t, 10, z.DryPeak, "without rain the first week of full growth")
	require.Equal(t, 18, z.Peak, "with it the first that lies in September, from the 6th on")
	require.Less(t, z.Weeks[10].Time, z.Weeks[10].Dry)
}

func TestHoursOfTheSource(t *testing.T) {
	p, z := twoRows()
	other := p.zone("roots", p.Sources[0], p.Tapes[0], regulated(8))
	row := p.row(p.Plots[0], 12, watered(other))
	p.plant(row, pepper(), 2, filled, during(on(5, 3), on(10, 4)))
	p.Sources[0].HoursPerWeek = number(40)
	w := derive(t, p).Water
	s := w.Sources[0]
	require.Equal(t, 40*3600.0, s.Hours)
	require.InDelta(t, w.Zones[0].Weeks[3].Time+w.Zones[1].Weeks[3].Time, s.Weeks[3].Time, 1e-9, "one after the other")
	z.Together.Value, other.Together.Value = "all", "all"
	w = derive(t, p).Water
	require.InDelta(t, max(w.Zones[0].Weeks[3].Time, w.Zones[1].Weeks[3].Time), w.Sources[0].Weeks[3].Time, 1e-9, "at once")
}

func TestOpeningsByHand(t *testing.T) {
	p, _ := twoRows()
	p.Plots[0].Soil = loam()
	w := derive(t, p).Water
	z := w.Zones[0]
	r := z.Plan.Sets
	wet := r.Wetting
	// Loam holds 0.155 of its volume, pepper draws 0.29 of it from 0.5 m of roots and the wetted width.
	require.InDelta(t, 0.155*0.5*0.29*wet.Across, wet.Store, 1e-6)
	require.InDelta(t, 0.5, wet.Roots, 1e-12)
	// 5.25 mm a day on 4 ft are 6.40 l on each m, of which the strip holds more than one day's and less than three.
	days := wet.Store * 1000 / (5.25 * 4 * foot)
	require.Equal(t, int(days), z.Plan.Days)
	require.Equal(t, 1, z.Plan.PerDay)
	require.InDelta(t, z.Weeks[z.Peak].Time/7*float64(z.Plan.Days), z.Plan.Opening, 1e-6)
	require.InDelta(t, z.Plan.Opening, float64(z.Plan.Pulses)*z.Plan.Pulse, 1e-6)
	require.LessOrEqual(t, z.Plan.Pulse, z.Plan.Splits.Wetting.Longest)

	// Sand under shallow roots: several openings a day, or pulses.
	sand := &farm.Soil{}
	sand.Texture.Value = "sand"
	p.Plots[0].Soil = sand
	p.Plantings[0].Crop.RootDepth = stated(0.15, 0.2)
	z = derive(t, p).Water.Zones[0]
	require.Greater(t, z.Plan.PerDay*z.Plan.Pulses, 1)
	require.LessOrEqual(t, z.Plan.Pulse, z.Plan.Splits.Wetting.Longest+1e-9)

	p.Plots[0].Soil = nil
	require.Nil(t, derive(t, p).Water.Zones[0].Plan)
}

func TestTapesWetTheirWidthTogether(t *testing.T) {
	wet := func(lines, tapes int, apart float64) *Wetting {
		p, z := zoned(0, 11, regulated(8))
		p.Plots[0].Soil = loam()
		p.row(p.Plots[0], 6, watered(z), p.bed(lines, apart, false), func(d *farm.Row) { d.Tapes = count(tapes) })
		return Derive(&p.Farm).Water.Rows[0].Wetting
	}
	one := wet(1, 1, 0)
	require.Equal(t, usualRoots, one.Roots, "nothing is planted")
	require.Equal(t, one.Strip.Width, one.Across)
	require.InDelta(t, one.Strip.Width+min(usualApart, one.Strip.Width), wet(1, 2, 0).Across, 1e-9)
	require.InDelta(t, one.Strip.Width+min(1.5*foot, one.Strip.Width), wet(2, 2, 1.5).Across, 1e-9, "one tape on each line")
	require.InDelta(t, one.Strip.Width+min(1.5*foot, one.Strip.Width), wet(3, 2, 1.5).Across, 1e-9, "3 ft shared by two")
}
