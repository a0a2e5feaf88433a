package derive

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

func TestRows(t *testing.T) {
	p := newPlan(foot)
	bench := p.plot("Bench", 52, 40, 5)
	low := p.plot("Low", 100, 20, 0)
	p.row(bench, 8)
	p.row(low, 2)
	p.row(bench, 4, p.bed(3, 1, false))
	p.row(bench, 8, func(r *farm.Row) { // declared later at the same place: numbered later
		r.Start, r.Length, r.BedWidth = length(10*foot), length(20*foot), length(4*foot)
		r.Name.Value = "short one"
	})
	p.row(bench, 30, func(r *farm.Row) { r.Start = length(12 * foot) })
	p.row(bench, 35, func(r *farm.Row) { r.Start = length(60 * foot) })
	p.row(bench, 38, func(r *farm.Row) { r.Lines, r.BedWidth = count(2), length(3*foot) })
	facts := derive(t, p)

	require.Len(t, facts.Plots, 2)
	require.Len(t, facts.Rows, 7)
	type place struct {
		name                string
		center, left, right float64
		start, end, length  float64
		lines               []float64
	}
	want := []place{ // ft
		{"row 1", 4, 3, 5, 5, 47, 42, []float64{3, 4, 5}}, // 52 - 5 - 5
		{"row 2", 8, 8, 8, 5, 47, 42, []float64{8}},
		{"short one", 8, 6, 10, 10, 30, 20, []float64{8}},
		{"row 4", 30, 30, 30, 12, 47, 35, []float64{30}},              // 52 - 5 - 12
		{"row 5", 35, 35, 35, 60, 60, 0, []float64{35}},               // starts beyond the plot: no length
		{"row 6", 38, 36.5, 39.5, 5, 47, 42, []float64{37.25, 38.75}}, // each line has half of 3 ft
		{"row 1", 2, 2, 2, 0, 100, 100, []float64{2}},
	}
	for i, w := range want {
		r := facts.Rows[i]
		require.Equal(t, w.name, r.Name())
		got := []float64{r.Center, r.Left, r.Right, r.Start, r.End, r.Length}
		require.InDeltaSlice(t, []float64{w.center * foot, w.left * foot, w.right * foot, w.start * foot, w.end * foot, w.length * foot}, got, 1e-9, w.name)
		require.Len(t, r.Lines, len(w.lines))
		for k, x := range w.lines {
			require.InDelta(t, x*foot, r.Lines[k], 1e-9)
		}
	}
	b := facts.Plots[0]
	require.InDelta(t, 52*40*foot*foot, b.Area, 1e-9)
	require.InDelta(t, (42+42+20+35+0+42)*foot, b.RowLength, 1e-9)
	require.InDelta(t, b.RowLength, b.FreeLength, 1e-9)
}

func TestPaths(t *testing.T) {
	spring := during(on(time.March, 1), on(time.May, 1))
	summer := during(on(time.May, 1), on(time.September, 1))
	autumn := during(on(time.September, 1), on(time.December, 1))
	p := newPlan(foot)
	plot := p.plot("Bench", 52, 40, 5)
	a := p.row(plot, 4, p.bed(2, 2, false)) // 3 to 5
	b := p.row(plot, 9, p.bed(2, 2, false)) // 8 to 10
	c := p.row(plot, 10.5)
	d := p.row(plot, 20)
	p.row(plot, 26) // unplanted
	p.plant(a, crop("a"), 1, counted(4), spring)
	p.plant(a, crop("a"), 1, counted(4), autumn)
	p.plant(b, crop("b"), 1, counted(4), summer)
	p.plant(b, crop("b"), 1, counted(4), autumn) // meets row 1 with its second
	p.plant(c, crop("c"), 1, counted(4))         // no day known: all season
	p.plant(d, crop("d"), 1, counted(4), summer)
	pl := derive(t, p).Plots[0]
	type path struct {
		left, right int
		width       float64
	}
	var got []path
	for _, x := range pl.Paths {
		got = append(got, path{x.Left.Number, x.Right.Number, math.Round(x.Width/foot*1000) / 1000})
	}
	// 8 - 5, 10.5 - 10, 20 - 10.5, 26 - 20
	require.Equal(t, []path{{1, 2, 3}, {2, 3, 0.5}, {3, 4, 9.5}, {4, 5, 6}}, got)

	// Rows that never stand together have no path between them.
	p = newPlan(foot)
	plot = p.plot("Bench", 52, 40, 5)
	a, b = p.row(plot, 4), p.row(plot, 5)
	for range 3 {
		p.plant(a, crop("a"), 1, counted(4), spring)
		p.plant(b, crop("b"), 1, counted(4), summer)
		p.plant(a, crop("a"), 1, counted(4), autumn)
	}
	require.Empty(t, derive(t, p).Plots[0].Paths)
}

// Plant populations, plants to the acre, on one acre of 500 ft by 87.12 ft. The published figures are
// area by area of a plant; the plant at each line's end adds under one in eighty. North Carolina State
// University, strawberry plant populations: beds 5 ft apart with two lines, 12 in 17,500, 15 in 14,000;
// extension wording for matted rows 4 ft apart at 24 in: a little under 5,500.
func TestPlantPopulations(t *testing.T) {
	tests := []struct {
		beds    int
		apart   float64
		lines   int
		spacing float64
		want    float64
	}{
		{100, 5, 2, 1, 17500},
		{100, 5, 2, 1.25, 14000},
		{125, 4, 1, 2, 5500},
	}
	for _, tt := range tests {
		p := newPlan(foot)
		plot := p.plot("Acre", 87.12, 500, 0)
		for i := range tt.beds {
			row := p.row(plot, (float64(i)+0.5)*tt.apart, p.bed(tt.lines, 1, false))
			p.plant(row, crop("strawberry"), tt.spacing, filled)
		}
		pl := derive(t, p).Plots[0]
		require.InDelta(t, quantity.Meters(208.7103).SI*foot*208.7103*foot, pl.Area, 0.1) // an acre is 208.71 ft square
		require.InEpsilon(t, tt.want, pl.Plants, 0.01)
	}
}

// Evaluation goes on after a bad argument: whatever is missing, the rest is worked out.
func TestHoles(t *testing.T) {
	require.NotNil(t, Derive(nil))
	bad := farm.Length{}
	nan := length(math.NaN())
	p := newPlan(1)
	good := p.plot("Good", 20, 10, 0)
	noLength := p.plot("No length", 20, 10, 0)
	noLength.Length = nan
	p.Plots = append(p.Plots, nil)
	p.Rows = append(p.Rows, nil, &farm.Row{At: length(1)})
	noPlace := p.row(good, 1, func(r *farm.Row) { r.At = bad })
	nanPlace := p.row(good, 1, func(r *farm.Row) { r.At = nan })
	lengthless := p.row(noLength, 1)
	own := p.row(noLength, 2, func(r *farm.Row) { r.Length = length(5) })
	row := p.row(good, 1, func(r *farm.Row) { r.Lines, r.LineSpacing, r.BedWidth = count(math.MaxInt), nan, nan })
	carrot := crop("carrot")
	lost := []func(){
		func() { p.plant(noPlace, carrot, 1, counted(3)) },
		func() { p.plant(nanPlace, carrot, 1, counted(3)) },
		func() { p.plant(lengthless, carrot, 1, filled) },
		func() { p.plant(nil, carrot, 1, counted(3)) },
		func() { p.plant(row, nil, 1, counted(3)) },
		func() { p.Plantings = append(p.Plantings, nil) },
	}
	for _, f := range lost {
		f()
	}
	p.plant(own, carrot, 1, filled)
	p.plant(row, carrot, 0, counted(3), during(on(time.May, 1), on(time.June, 1)))
	p.plant(row, carrot, math.Inf(1), counted(3))
	p.plant(row, carrot, -1, counted(3))
	p.plant(row, carrot, 1e-300, filled)
	p.plant(row, carrot, 1)
	p.plant(row, carrot, 1, counted(-4))
	p.plant(row, carrot, 1, p.long(-4))
	p.plant(row, carrot, 1, func(d *farm.Planting) { d.Length = nan })
	p.plant(row, carrot, 1, counted(math.MaxInt), func(d *farm.Planting) {
		d.Maturity, d.Harvest, d.On = days(math.MaxInt), days(-3), on(time.May, 1)
	})
	p.plant(row, carrot, 1, filled, func(d *farm.Planting) { d.Start, d.On.Given, d.On.Value = nan, true, season.None })

	facts := Derive(&p.Farm)
	require.Len(t, facts.Plots, 2)
	require.Len(t, facts.Rows, 2)
	require.Len(t, facts.Plantings, len(p.Plantings)-len(lost))
	require.Equal(t, 6, facts.Plots[1].Plants) // 5 m at 1 m
	placed := 0
	for _, q := range facts.Plantings {
		require.False(t, math.IsNaN(q.First) || math.IsNaN(q.Owns.To) || math.IsNaN(q.Room))
		require.NotEmpty(t, q.Why())
		if q.Placed() {
			placed++
		}
	}
	require.Equal(t, 3, placed)
	for _, q := range facts.Rows[0].Plantings[2:] {
		require.False(t, q.Placed(), "those that stand nowhere come last")
	}
	require.Equal(t, season.On(2027, time.May, 1), of(facts, p.Plantings[len(lost)+1]).Plant, "dates are known without a place")
}
