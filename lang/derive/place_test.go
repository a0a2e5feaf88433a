package derive

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// Plants that stand at a spacing on a row whose first and last may stand at its very ends: length by
// spacing, and one more. Common practice.
func TestFitAt(t *testing.T) {
	tests := []struct {
		length, spacing float64
		want            int
	}{
		{45 * foot, 3 * foot, 16},                 // 45 / 3 = 15, + 1
		{48 * foot, 2 * foot, 25},                 // 48 / 2 = 24, + 1
		{45*foot - 0.0001, 3 * foot, 15},          // a hair short of the sixteenth
		{0, 3 * foot, 1},                          // one plant needs no length
		{-0.001, 3 * foot, 0},                     // less than nothing holds none
		{0.1 + 0.2, 0.1, 4},                       // 0.30000000000000004 / 0.1 is 3 on paper
		{0.3, 0.1, 4},                             // 2.9999999999999996 in the machine
		{1e9, 1e-4, 1 << 30},                      // bounded
		{math.NaN(), 1, 0},                        // unknown
		{1, math.Inf(1), 1},                       // a spacing without end
		{100 * foot, 100 * foot / 4096, 4096 + 1}, // many small steps
	}
	for _, tt := range tests {
		require.Equal(t, tt.want, FitAt(tt.spacing, tt.length), "%v at %v", tt.length, tt.spacing)
	}
}

// Four kinds of four at 3 ft fill a 45 ft row (common practice). By hand: each owns 12 ft, the first
// plants stand at 0, 12, 24 and 36 ft, the last at 45 ft, and nothing is left.
func TestFourKindsOfFour(t *testing.T) {
	p := newPlan(foot)
	row := p.row(p.plot("Bench", 55, 40, 5), 4)
	for _, name := range []string{"tomato", "pepper", "eggplant", "basil"} {
		p.plant(row, crop(name), 3, counted(4))
	}
	r := derive(t, p).Rows[0]
	require.InDelta(t, 45*foot, r.Length, 1e-9)
	for i, q := range r.Plantings {
		require.Equal(t, 4, q.Plants)
		require.InDelta(t, float64(12*i)*foot, q.First, 1e-9)
		require.InDelta(t, float64(12*i+9)*foot, q.Last, 1e-9)
	}
	require.Empty(t, r.Free)
	require.Zero(t, r.FreeLength)
}

func TestPlace(t *testing.T) {
	early := during(on(time.April, 1), on(time.June, 1))
	late := during(on(time.June, 1), on(time.September, 1))
	clash := during(on(time.May, 31), on(time.July, 1))
	type want struct {
		plants            int
		first, last, room float64 // ft
	}
	tests := []struct {
		name string
		row  float64 // ft long
		bed  func(*plan) func(*farm.Row)
		set  func(p *plan, r *farm.Row)
		want []want // in the order of declaration
		free []Stretch
	}{
		{
			// The gap between neighbours is the mean of their spacings: 6 ft + (2 + 4) / 2 = 9 ft.
			name: "gap is the mean spacing", row: 30,
			set: func(p *plan, r *farm.Row) {
				p.plant(r, crop("a"), 2, counted(4)) // 0 to 6, owns -1 to 7
				p.plant(r, crop("b"), 4, counted(3)) // 9 to 17, owns 7 to 19
			},
			want: []want{{4, 0, 6, 30}, {3, 9, 17, 21}},
			free: []Stretch{{19, 30}},
		},
		{
			// From 9 ft, 21 ft are left: 21 / 4 = 5.25, so 6 plants, the last at 29 ft.
			name: "fill takes the rest", row: 30,
			set: func(p *plan, r *farm.Row) {
				p.plant(r, crop("a"), 2, counted(4))
				p.plant(r, crop("b"), 4, filled)
			},
			want: []want{{4, 0, 6, 30}, {6, 9, 29, 21}},
		},
		{
			// length: 10 / 3 = 3.3, so 4 plants over 9 ft.
			name: "length", row: 30,
			set:  func(p *plan, r *farm.Row) { p.plant(r, crop("a"), 3, p.long(10)) },
			want: []want{{4, 0, 9, 30}},
			free: []Stretch{{10.5, 30}},
		},
		{
			// The second goes out the day the first is cleared, and stands in its place; the third
			// meets both and follows.
			name: "one place in turn", row: 30,
			set: func(p *plan, r *farm.Row) {
				p.plant(r, crop("a"), 2, counted(5), early)
				p.plant(r, crop("b"), 2, counted(3), late)
				p.plant(r, crop("c"), 2, counted(2), clash)
			},
			want: []want{{5, 0, 8, 30}, {3, 0, 4, 30}, {2, 10, 12, 20}},
			free: []Stretch{{13, 30}},
		},
		{
			// By hand at 10 ft, it owns 9 to 15. Before it fit plants up to 9 - 1.5 = 7.5 ft: three at
			// 3 ft (0 to 6), not four (0 to 9).
			name: "around one set by hand", row: 30,
			set: func(p *plan, r *farm.Row) {
				p.plant(r, crop("hand"), 2, counted(3), p.from(10))
				p.plant(r, crop("four"), 3, counted(4))
				p.plant(r, crop("three"), 3, counted(3))
			},
			want: []want{{3, 10, 14, 20}, {4, 16.5, 25.5, 13.5}, {3, 0, 6, 7.5}},
			free: []Stretch{{7.5, 9}, {27, 30}},
		},
		{
			// A fill set before one by hand runs up to it; Room of one placed earlier is narrowed by it.
			name: "set by hand afterwards", row: 30,
			set: func(p *plan, r *farm.Row) {
				p.plant(r, crop("a"), 2, counted(3))                // owns -1 to 5
				p.plant(r, crop("hand"), 2, counted(2), p.from(12)) // owns 11 to 15
				p.plant(r, crop("b"), 2, filled)                    // 6 up to 11 - 1 = 10
			},
			want: []want{{3, 0, 4, 10}, {2, 12, 14, 18}, {3, 6, 10, 4}},
			free: []Stretch{{15, 30}},
		},
		{
			// 30 ft are full after 11 at 3 ft; the next stands half of 3 + 3 behind.
			name: "no room left", row: 30,
			set: func(p *plan, r *farm.Row) {
				p.plant(r, crop("a"), 3, filled)
				p.plant(r, crop("b"), 3, counted(2))
				p.plant(r, crop("c"), 3, filled)
			},
			want: []want{{11, 0, 30, 30}, {2, 33, 36, -3}, {1, 39, 39, -9}},
		},
		{
			// Four lines of 10; the count is of one line.
			name: "bed", row: 30, bed: func(p *plan) func(*farm.Row) { return p.bed(4, 1, false) },
			set:  func(p *plan, r *farm.Row) { p.plant(r, crop("a"), 1, counted(10)) },
			want: []want{{40, 0, 9, 30}},
			free: []Stretch{{9.5, 30}},
		},
		{
			// Staggered and filled: straight lines hold 0 to 30 at 4 ft, 8 plants (the last at 28);
			// shifted ones start at 2 ft: (30 - 2) / 4 = 7, so 8, the last at 30 ft.
			name: "staggered fill", row: 30, bed: func(p *plan) func(*farm.Row) { return p.bed(3, 1, true) },
			set:  func(p *plan, r *farm.Row) { p.plant(r, crop("a"), 4, filled) },
			want: []want{{8 + 8 + 8, 0, 30, 30}},
		},
		{
			// 10 ft at 4 ft: straight 0, 4, 8; shifted 2, 6, 10: three each. 9 ft: shifted 2, 6 only.
			name: "staggered length", row: 30, bed: func(p *plan) func(*farm.Row) { return p.bed(2, 1, true) },
			set: func(p *plan, r *farm.Row) {
				p.plant(r, crop("a"), 4, p.long(10)) // owns -2 to 12
				p.plant(r, crop("b"), 4, p.long(9))  // 14 to 22
			},
			want: []want{{6, 0, 10, 30}, {5, 14, 22, 16}},
			free: []Stretch{{24, 30}},
		},
		{
			// Counted plants are all set: the shifted lines end half a spacing later.
			name: "staggered count", row: 30, bed: func(p *plan) func(*farm.Row) { return p.bed(2, 1, true) },
			set:  func(p *plan, r *farm.Row) { p.plant(r, crop("a"), 4, counted(3)) },
			want: []want{{6, 0, 10, 30}},
			free: []Stretch{{12, 30}},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlan(foot)
			plot := p.plot("Bench", tt.row, 40, 0)
			var row *farm.Row
			if tt.bed != nil {
				row = p.row(plot, 10, tt.bed(p))
			} else {
				row = p.row(plot, 10)
			}
			tt.set(p, row)
			facts := derive(t, p)
			for i, w := range tt.want {
				q := of(facts, p.Plantings[i])
				require.Equal(t, w.plants, q.Plants, "plants of %d", i)
				require.InDelta(t, w.first, q.First/foot, 1e-9, "first of %d", i)
				require.InDelta(t, w.last, q.Last/foot, 1e-9, "last of %d", i)
				require.InDelta(t, w.room, q.Room/foot, 1e-9, "room of %d", i)
				require.InDelta(t, q.First-q.Spacing/2, q.Owns.From, 1e-9)
				require.InDelta(t, q.Last+q.Spacing/2, q.Owns.To, 1e-9)
			}
			r := facts.Rows[0]
			require.Len(t, r.Free, len(tt.free))
			for i, s := range tt.free {
				require.InDelta(t, s.From, r.Free[i].From/foot, 1e-9)
				require.InDelta(t, s.To, r.Free[i].To/foot, 1e-9)
			}
			require.True(t, slices.IsSortedFunc(r.Plantings, func(a, b *Planting) int {
				if a.First < b.First {
					return -1
				}
				return 0
			}))
		})
	}
}

func TestPositions(t *testing.T) {
	p := newPlan(1)
	row := p.row(p.plot("Bench", 10, 10, 0), 5, p.bed(2, 0.3, true))
	p.plant(row, crop("a"), 2, p.long(5), p.from(1))
	q := derive(t, p).Plantings[0]
	require.Equal(t, []float64{1, 3, 5}, slices.Collect(q.Positions(0))) // 1 + 0, 2, 4 of 5
	require.Equal(t, []float64{2, 4, 6}, slices.Collect(q.Positions(1))) // (5 - 1) / 2 + 1 = 3
	require.Equal(t, 3, q.inLine(0))
	require.Equal(t, 3, q.inLine(1))
	for range q.Positions(0) {
		break // stopping early must not go on
	}
}

// Spacing left to the crop is the middle of its range on the farm's ruler.
func TestDefaultSpacing(t *testing.T) {
	tests := []struct {
		name      string
		low, high float64
		units     quantity.System
		want      float64
	}{
		{"whole inch", 12 * inch, 18 * inch, quantity.US, 15 * inch},
		{"half rounds up", 12 * inch, 15 * inch, quantity.US, 14 * inch},       // 13.5
		{"thick seed", 0.25 * inch, 0.6 * inch, quantity.US, 0.5 * inch},       // 0.425: 0 and 1 in lie outside
		{"very thick seed", 0.2 * inch, 0.3 * inch, quantity.US, 0.25 * inch},  // quarter
		{"whole centimeter", 0.30, 0.45, quantity.Metric, 0.38},                // 37.5
		{"inches to centimeters", 12 * inch, 18 * inch, quantity.Metric, 0.38}, // 38.1
		{"one value between steps", 0.0333, 0.0333, quantity.Metric, 0.0333},   // nothing on the ruler
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlan(1)
			p.Units = tt.units
			c := crop("a")
			c.InRow = stated(tt.low, tt.high)
			d := p.plant(p.row(p.plot("Bench", 10, 10, 0), 5), c, 0, counted(3))
			d.Spacing = farm.Length{}
			require.InDelta(t, tt.want, derive(t, p).Plantings[0].Spacing, 1e-9)
		})
	}
}

// A row of plantings beyond all measure is still placed.
func TestCrowdedRow(t *testing.T) {
	const n = 10_000
	p := newPlan(1)
	row := p.row(p.plot("Bench", n, 10, 0), 5)
	for range n {
		p.plant(row, crop("a"), 1, counted(1))
	}
	facts := derive(t, p)
	require.InDelta(t, n-1, facts.Plantings[n-1].Last, 1e-6)
	require.Equal(t, n, facts.Plots[0].Plants)
}
