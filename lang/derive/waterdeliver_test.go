package derive

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// zoned is a farm of rows of 100 ft, 4 ft apart, on one zone of medium tape.
func zoned(rows int, flow float64, with ...func(*farm.Zone)) (*plan, *farm.Zone) {
	p := newPlan(foot)
	z := p.zone("fruiting", p.spring(flow), p.tape(0.34), with...)
	plot := p.plot("Bench", 100, 400, 0)
	for i := range rows {
		p.row(plot, 4+4*float64(i), watered(z))
	}
	return p, z
}

func TestLongRowByHand(t *testing.T) {
	// 400 ft of 0.45 gpm tape at 8 psi, level: stepped emitter by emitter 6.21 psi stand at the end and 1.644 gpm
	// run in (Darcy-Weisbach, Blasius and 64/Re at 20 °C, first emitter a foot from the inlet).
	p := newPlan(foot)
	z := p.zone("long", p.spring(11), p.tape(0.45), regulated(8))
	p.row(p.plot("Strip", 400, 40, 0), 4, watered(z))
	facts := Derive(&p.Farm)
	r, zone := facts.Rows[0].Water, facts.Water.Zones[0]
	require.Empty(t, zone.Unsolved)
	require.InDelta(t, 8, r.Inlet/psi, 1e-9)
	require.InDelta(t, 6.214, r.End/psi, 0.01)
	require.InDelta(t, 1.644, r.Flow/gpm, 0.002)
	require.Equal(t, 400, r.Emitters)
	require.InDelta(t, r.End, r.Least, 1e-9)
	require.InDelta(t, 1-math.Sqrt(r.Least/r.Most), 1-r.LeastOut/r.MostOut, 1e-9, "half the exponent, by q = k h^0.5")
	require.InDelta(t, 0.118, 1-r.LeastOut/r.MostOut, 0.001)
	require.InDelta(t, (1-1.27*0.04)*r.LeastOut/(r.Flow/400), r.EU, 1e-9)
	require.InDelta(t, r.EU, zone.EU, 1e-12)
	require.Equal(t, zone.EU, zone.Efficiency)
	require.InDelta(t, 0.45*4*gpm, zone.Nominal, 0.001*gpm, "cut an inch short")
	require.Equal(t, [2]float64{0.8, 0.9}, [2]float64{zone.Wanted.Low, zone.Wanted.High})

	profile := r.Profile(0)
	require.Len(t, profile, 400)
	require.InDelta(t, r.End, profile[399].Pressure, 1e-6)
	require.Len(t, r.Profile(20), 20)
	// 502 ft have an evenness of 90 % when the spread is 0.03; here it is 0.04.
	require.InDelta(t, 502, r.LongestTape(0.9*(1-1.27*0.04)/(1-1.27*0.03))/foot, 2)
	require.Zero(t, r.LongestTape(0.99))
}

func TestZoneByHand(t *testing.T) {
	// Three rows of 100 ft take 1.02 gpm at 8 psi, and nothing much is lost in them.
	p, z := zoned(3, 11, regulated(8), func(z *farm.Zone) {
		z.Supply, z.Filter = run(120, 1), amount(3*psi, quantity.Pressure)
	})
	facts := Derive(&p.Farm)
	w := facts.Water.Zone(z)
	require.InDelta(t, 1.02, w.Flow/gpm, 0.003)
	require.Equal(t, 300, w.Emitters)
	require.Zero(t, w.Dry)
	require.InDelta(t, 300*foot, w.Length, 3*1.01*inch)
	// Hazen-Williams, C 130: 10.46 × 120 × (1.02/130)^1.852 / 1^4.871 = 0.158 ft, 0.068 psi.
	require.InDelta(t, 0.068, w.Supply.Loss/psi, 0.001)
	require.InDelta(t, 0.4085*1.02*foot, w.Supply.Speed, 0.001, "0.4085 Q/d² ft/s")
	require.InDelta(t, 3, w.Filter/psi, 0.02, "the filter takes that at the zone's flow")
	require.InDelta(t, 32-0.068-3, w.Before/psi, 0.02)
	require.InDelta(t, 8, w.After/psi, 1e-6)
	require.InDelta(t, 32, w.Group.Pressure/psi, 1e-9)
	require.False(t, w.Group.Limited)
	require.Empty(t, w.Group.Unsettled)
	require.Positive(t, w.Group.Iterations)
	require.Equal(t, w.Source, facts.Water.Sources[0])
	require.Nil(t, facts.Water.Zone(&farm.Zone{}))
}

func TestHeaderLosesAlongTheRows(t *testing.T) {
	p, _ := zoned(20, 11, regulated(8), func(z *farm.Zone) { z.Header = run(80, 0.75) })
	facts := Derive(&p.Farm)
	w := facts.Water.Zones[0]
	for i, r := range w.Rows[1:] {
		require.Less(t, r.Inlet, w.Rows[i].Inlet)
	}
	require.InDelta(t, w.After, w.Rows[0].Inlet, 1e-6, "the first row stands where the header is fed")
	require.InDelta(t, w.After-w.Rows[19].Inlet, w.Header.Loss, 1e-6)
	require.Positive(t, w.Header.Speed)
	require.Equal(t, w.Rows[19], w.LeastRow)
	require.Equal(t, w.Rows[0], w.MostRow)
}

func TestSourceThatGivesTooLittle(t *testing.T) {
	p, _ := zoned(20, 4, regulated(8)) // 6.8 gpm wanted
	g := Derive(&p.Farm).Water.Groups[0]
	require.True(t, g.Limited)
	require.InDelta(t, 6.8, g.Wants/gpm, 0.02)
	require.InDelta(t, 4, g.Flow/gpm, 1e-6)
	require.InDelta(t, 8*math.Pow(4/6.8, 2), g.Pressure/psi, 0.1, "q = k h^0.5")
}

func TestOpenTogether(t *testing.T) {
	for _, tt := range []struct {
		name, first, second string
		groups              int
	}{
		{"one word", "east", "east", 1}, {"two words", "east", "west", 2}, {"no word", "", "", 2}, {"one has none", "east", "", 2},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p, a := zoned(10, 4, regulated(8)) // 3.4 gpm
			b := p.zone("roots", p.Sources[0], p.Tapes[0], regulated(8))
			for i := range 10 {
				p.row(p.Plots[0], 100+4*float64(i), watered(b))
			}
			a.Together.Value, b.Together.Value = tt.first, tt.second
			w := Derive(&p.Farm).Water
			require.Len(t, w.Groups, tt.groups)
			require.Len(t, w.Sources[0].Groups, tt.groups)
			require.Equal(t, tt.groups == 1, w.Groups[0].Limited, "3.4 gpm run from 4, 6.8 do not")
		})
	}
}

func TestSlopesRunFromTheHead(t *testing.T) {
	at := func(slope float64) *RowWater {
		p, _ := zoned(1, 11, regulated(8))
		p.Plots[0].Slope = amount(slope, quantity.Ratio)
		return Derive(&p.Farm).Water.Rows[0]
	}
	// 99 ft from the first emitter to the last: at 2 % a fall of 1.98 ft, 0.857 psi.
	level, down, up := at(0), at(0.02), at(-0.02)
	require.InDelta(t, 0.857, (down.End-level.End)/psi, 0.01)
	require.InDelta(t, -0.857, (up.End-level.End)/psi, 0.01)
	require.Equal(t, 0.8, at(0.01).Zone.Wanted.Low)
	require.Equal(t, 0.7, at(0.03).Zone.Wanted.Low, "ASABE EP405.1, over 2 %")
	dry := at(-0.2) // 20 ft of rise are 8.7 psi
	require.Positive(t, dry.Dry)
	require.Empty(t, dry.Unsolved)
	require.Equal(t, dry.Dry, dry.Zone.Dry)
	require.Equal(t, leastEfficiency, dry.Zone.Efficiency, "what cannot be made good is not")
}

func TestWhyNothingIsDelivered(t *testing.T) {
	tests := []struct {
		name   string
		change func(p *plan, z *farm.Zone)
		want   string
	}{
		{"no tape", func(_ *plan, z *farm.Zone) { z.Tape = nil }, "the zone has no tape"},
		{"no source", func(_ *plan, z *farm.Zone) { z.Source = nil }, "the zone has no water source"},
		{"no rows", func(p *plan, _ *farm.Zone) { p.Rows = nil }, "the zone has no rows"},
		{"source without flow", func(p *plan, _ *farm.Zone) { p.Sources[0].Flow = farm.Amount{} }, "the source's flow is not known"},
		{"source without pressure", func(p *plan, _ *farm.Zone) { p.Sources[0].Pressure.Value.SI = -1 }, "the source's pressure is not known"},
		{"no emitter spacing", func(p *plan, _ *farm.Zone) { p.Tapes[0].EmitterSpacing.Value.SI = nan }, "the tape's emitter spacing is not known"},
		{"no flow", func(p *plan, _ *farm.Zone) { p.Tapes[0].Flow.Value.SI = 0 }, "the tape's flow is not known"},
		{"no pressure", func(p *plan, _ *farm.Zone) { p.Tapes[0].At.Value.SI = math.Inf(1) }, "the pressure of the tape's flow is not known"},
		{"no bore", func(p *plan, _ *farm.Zone) { p.Tapes[0].InsideDiameter = farm.Length{} }, "the tape's inside diameter is not known"},
		{"odd exponent", func(p *plan, _ *farm.Zone) { p.Tapes[0].Exponent.Value = 1.2 }, "the tape's exponent does not lie from 0 to 1"},
		{"rows too short", func(p *plan, _ *farm.Zone) { p.Rows[0].Length = length(4 * inch) }, "row 1 is shorter than half the distance between two emitters"},
		{"rows too long", func(p *plan, _ *farm.Zone) { p.Rows[0].Length = length(1e6) }, "row 1 would hold more than 100000 emitters"},
		{"a bore no tape has", func(p *plan, _ *farm.Zone) { p.Tapes[0].InsideDiameter.Value.SI = 5 },
			"the inside diameter is 5 m; it must be above 0 m and at most 3 m: take it from the maker's sheet; nominal sizes are not inside diameters"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, z := zoned(1, 11, regulated(8))
			tt.change(p, z)
			w := Derive(&p.Farm).Water
			require.Equal(t, tt.want, w.Zones[0].Unsolved)
			require.Equal(t, tt.want, w.Groups[0].Unsolved)
			require.Zero(t, w.Zones[0].Flow)
			require.Equal(t, "not known: "+tt.want, w.Zones[0].Why()[0].Result)
			require.Empty(t, w.Uses())
			require.Equal(t, usualEfficiency, w.Zones[0].Efficiency)
			for _, r := range w.Rows {
				require.NotEmpty(t, r.Unsolved)
				require.Nil(t, r.Profile(0))
				require.Zero(t, r.LongestTape(0.5))
			}
		})
	}
	// A zone with one row that cannot be watered still waters the others.
	p, _ := zoned(3, 11, regulated(8))
	p.Rows[1].Length = length(4 * inch)
	w := Derive(&p.Farm).Water
	require.Empty(t, w.Zones[0].Unsolved)
	require.Equal(t, 200, w.Zones[0].Emitters)
	require.Equal(t, 100, w.Rows[2].Emitters)
	require.Zero(t, w.Rows[1].Flow)
}
