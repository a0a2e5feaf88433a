package solve

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

const foot = 0.3048

func length(meters float64) farm.Length {
	return farm.Length{Value: quantity.Meters(meters), Given: true}
}

func count(n int) farm.Count { return farm.Count{Value: n, Given: true} }

// field is a farm of one plot, built by hand.
type field struct{ farm.Farm }

func newField(long, wide float64) *field {
	f := &field{}
	f.Plots = []*farm.Plot{{Length: length(long), Width: length(wide)}}
	return f
}

func (f *field) row(at float64, lines int, staggered bool) *farm.Row {
	r := &farm.Row{Plot: f.Plots[0], At: length(at), Lines: count(lines), LineSpacing: length(0.3),
		Staggered: farm.Flag{Value: staggered, Given: true}}
	f.Rows = append(f.Rows, r)
	return r
}

func (f *field) plant(r *farm.Row, spacing float64, with func(*farm.Planting)) *farm.Planting {
	p := &farm.Planting{Row: r, Crop: &farm.Crop{}, Spacing: length(spacing)}
	with(p)
	f.Plantings = append(f.Plantings, p)
	return p
}

func (f *field) facts(t require.TestingT, d *farm.Planting) *derive.Planting {
	facts := derive.Derive(&f.Farm)
	i := slices.IndexFunc(facts.Plantings, func(p *derive.Planting) bool { return p.Decl == d })
	require.GreaterOrEqual(t, i, 0)
	return facts.Plantings[i]
}

func counted(n int) func(*farm.Planting) { return func(p *farm.Planting) { p.Count = count(n) } }

func TestRoomAlongTheRow(t *testing.T) {
	at := func(start float64, n int) func(*farm.Planting) {
		return func(p *farm.Planting) { p.Count, p.Start = count(n), length(start) }
	}
	tests := []struct {
		name    string
		lines   int
		set     func(f *field, r *farm.Row) *farm.Planting
		spacing float64 // ft, 0 for none
		count   int     // 0 for none
		length  float64 // ft, 0 for none
	}{
		{
			// 20 plants over 30 ft: 360 in / 19 = 18.9 in. At 3 ft stand 11.
			"alone", 1, func(f *field, r *farm.Row) *farm.Planting { return f.plant(r, 3*foot, counted(20)) },
			18.5 / 12, 11, 30,
		},
		{
			// From 7 ft on; its first plant stands half a spacing in: 276 in / 9.5 = 29.05 in. At 3 ft it
			// starts at 8.5 ft: 21.5 / 3 = 7.2, so 8.
			"behind another", 1, func(f *field, r *farm.Row) *farm.Planting {
				f.plant(r, 2*foot, counted(4))
				return f.plant(r, 3*foot, counted(10))
			},
			29.0 / 12, 8, 21.5,
		},
		{
			// By hand at 10 ft, up to the next one's ground at 19 ft: 108 in / 4.5 = 24 in exactly. At 3 ft
			// up to 17.5 ft: 7.5 / 3 = 2.5, so 3.
			"before one set by hand", 1, func(f *field, r *farm.Row) *farm.Planting {
				f.plant(r, 2*foot, at(20, 2))
				return f.plant(r, 3*foot, at(10*foot, 5))
			},
			2, 3, 7.5,
		},
		{
			// Its first plant stands on ground that is taken.
			"upon another", 1, func(f *field, r *farm.Row) *farm.Planting {
				f.plant(r, 2*foot, counted(4))
				return f.plant(r, 3*foot, at(3*foot, 5))
			},
			0, 0, 0,
		},
		{
			// Staggered: 20 plants and half a spacing: 360 in / 19.5 = 18.46 in. At 3 ft the shifted line's
			// last must not pass 30 ft: 28.5 / 3 = 9.5, so 10.
			"staggered", 2, func(f *field, r *farm.Row) *farm.Planting { return f.plant(r, 3*foot, counted(20)) },
			18.0 / 12, 10, 30,
		},
		{
			"a single plant behind the end", 1, func(f *field, r *farm.Row) *farm.Planting { return f.plant(r, 3*foot, at(31*foot, 1)) },
			0, 0, 0,
		},
		{
			"without a number", 1, func(f *field, r *farm.Row) *farm.Planting { return f.plant(r, 3*foot, func(*farm.Planting) {}) },
			0, 0, 0,
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := newField(30*foot, 40*foot)
			d := tt.set(f, f.row(5, tt.lines, true))
			for _, p := range f.Plantings[:len(f.Plantings)-1] {
				if p.Start.Given {
					p.Start = length(p.Start.Value.SI * foot)
				}
			}
			p := f.facts(t, d)
			s, ok := LargestSpacing(p, quantity.US)
			require.Equal(t, tt.spacing > 0, ok)
			require.InDelta(t, tt.spacing, s/foot, 1e-9)
			n, ok := GreatestCount(p)
			require.Equal(t, tt.count > 0, ok)
			require.Equal(t, tt.count, n)
			l, ok := GreatestLength(p, quantity.US)
			require.Equal(t, tt.length > 0, ok)
			require.InDelta(t, tt.length, l/foot, 1e-9)
		})
	}
}

func TestStart(t *testing.T) {
	f := newField(30*foot, 40*foot)
	r := f.row(5, 1, false)
	f.plant(r, 2*foot, counted(4))                                                              // owns -1 to 7
	f.plant(r, 2*foot, func(p *farm.Planting) { p.Count, p.Start = count(3), length(20*foot) }) // 19 to 25
	d := f.plant(r, 3*foot, func(p *farm.Planting) { p.Count, p.Start = count(3), length(3*foot) })
	// 6 ft long, it may stand from 8.5 to 19 - 1.5 - 6 = 11.5 ft; behind, from 26.5, is less than 6 ft.
	for _, tt := range []struct{ now, want float64 }{{3, 8.5}, {9, 9}, {18, 11.5}, {29, 11.5}} {
		d.Start = length(tt.now * foot)
		got, ok := Start(f.facts(t, d), quantity.US)
		require.True(t, ok)
		require.InDelta(t, tt.want, got/foot, 1e-9, tt.now)
	}
	d.Count = count(5) // 12 ft long: no gap holds it
	_, ok := Start(f.facts(t, d), quantity.US)
	require.False(t, ok)
	d.Count, d.Fill = farm.Count{}, farm.Flag{Value: true, Given: true}
	_, ok = Start(f.facts(t, d), quantity.US)
	require.False(t, ok)
}

func TestRowAt(t *testing.T) {
	f := newField(30*foot, 20*foot)
	f.row(4*foot, 1, false)
	f.row(6*foot, 1, false)
	f.row(12*foot, 1, false)
	rows := derive.Derive(&f.Farm).Rows
	apart := func(ft float64) func(*derive.Row) float64 { return func(*derive.Row) float64 { return ft * foot } }
	tests := []struct {
		name  string
		row   int
		apart func(*derive.Row) float64
		want  float64
		ok    bool
	}{
		{"between its neighbours", 1, apart(3), 7, true},                    // 4 + 3 to 12 - 3
		{"too tight between them: over the far one", 1, apart(5), 17, true}, // 9 to 7 is none; 12 + 5 or 4 - 5
		{"nowhere", 1, apart(9), 0, false},                                  // 12 + 9 is beyond 20 ft
		{"where it is", 2, apart(6), 12, true},
		{"only those that matter", 1, func(o *derive.Row) float64 {
			if o.Number == 1 {
				return 0
			}
			return 8 * foot
		}, 4, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, ok := RowAt(rows[tt.row], tt.apart, quantity.US)
			require.Equal(t, tt.ok, ok)
			require.InDelta(t, tt.want, got/foot, 1e-9)
		})
	}
	f.Rows[1].At = length(30 * foot) // outside: the bed comes back in
	f.Rows[1].BedWidth = length(3 * foot)
	outside := derive.Derive(&f.Farm).Rows[2]
	got, ok := RowAt(outside, apart(0), quantity.US)
	require.True(t, ok)
	require.InDelta(t, 18.5, got/foot, 1e-9)
	f.Plots[0].Width = farm.Length{}
	_, ok = RowAt(derive.Derive(&f.Farm).Rows[2], apart(0), quantity.US)
	require.False(t, ok)
}

// drawRow builds a row of plantings at random and chooses the one to mend.
func drawRow(t *rapid.T) (*field, *farm.Planting, quantity.System) {
	half := func(name string, low, high int) float64 {
		return float64(rapid.IntRange(2*low, 2*high).Draw(t, name)) / 2 * foot
	}
	units := rapid.SampledFrom([]quantity.System{quantity.US, quantity.Metric}).Draw(t, "units")
	f := newField(half("long", 10, 60), 40*foot)
	f.Units = units
	r := f.row(5, rapid.IntRange(1, 3).Draw(t, "lines"), rapid.Bool().Draw(t, "staggered"))
	for range rapid.IntRange(1, 6).Draw(t, "plantings") {
		p := f.plant(r, half("spacing", 1, 5), counted(rapid.IntRange(1, 15).Draw(t, "count")))
		if rapid.Bool().Draw(t, "by hand") {
			p.Start = length(half("start", 0, 40))
		}
		if in := season.Date(rapid.IntRange(0, 200).Draw(t, "in")); in > 0 {
			p.On = farm.DateArg{Value: in, Given: true}
			p.Until = farm.DateArg{Value: in.Add(rapid.IntRange(1, 120).Draw(t, "days")), Given: true}
		}
	}
	return f, f.Plantings[rapid.IntRange(0, len(f.Plantings)-1).Draw(t, "mend")], units
}

// clear tells whether the whole planting stands in its row, on ground that is its own at its time.
func clear(p *derive.Planting) bool {
	const near = 1e-6
	if p.First < -near || p.Last > p.Row.Length+near {
		return false
	}
	return !slices.ContainsFunc(p.Row.Plantings, func(q *derive.Planting) bool {
		return q != p && q.Overlaps(p) && q.Owns.From < p.Owns.To-near && p.Owns.From < q.Owns.To-near
	})
}

// A solved value, put into the plan, works: the farm worked out again has the planting in its row and
// clear of the others. The step beyond it does not.
func TestSolvedValuesWork(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, d, units := drawRow(t)
		was := f.facts(t, d)
		own := *d
		mend := func(change func()) *derive.Planting {
			*d = own
			change()
			return f.facts(t, d)
		}
		if n, ok := GreatestCount(was); ok {
			require.True(t, clear(mend(func() { d.Count = count(n) })), "%d plants", n)
			if d.Start.Given {
				require.False(t, clear(mend(func() { d.Count = count(n + 1) })), "%d plants", n+1)
			}
		}
		if s, ok := LargestSpacing(was, units); ok {
			require.True(t, clear(mend(func() { d.Spacing = length(s) })), "%v m apart", s)
			step := inch
			if units == quantity.Metric {
				step = 0.01
			}
			if d.Start.Given && was.PerLine > 1 {
				require.False(t, clear(mend(func() { d.Spacing = length(s + step) })), "%v m apart", s+step)
			}
		}
		if l, ok := GreatestLength(was, units); ok {
			require.True(t, clear(mend(func() { d.Count, d.Length = farm.Count{}, length(l) })), "%v m long", l)
		}
		if at, ok := Start(was, units); ok {
			require.True(t, clear(mend(func() { d.Start = length(at) })), "from %v m", at)
		} else if d == f.Plantings[len(f.Plantings)-1] {
			// No place is free; those declared later, which Start leaves where they are, would give way.
			for x := 0.0; x <= was.Row.Length; x += 0.05 {
				require.False(t, clear(mend(func() { d.Start = length(x) })), "from %v m", x)
			}
		}
	})
}

// A row set where RowAt says lies in the plot and as far from every other as asked.
func TestRowAtWorks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := newField(10, rapid.Float64Range(2, 20).Draw(t, "wide"))
		need := map[*farm.Row]float64{}
		for range rapid.IntRange(1, 8).Draw(t, "rows") {
			r := f.row(rapid.Float64Range(-1, 22).Draw(t, "at"), rapid.IntRange(1, 4).Draw(t, "lines"), false)
			need[r] = rapid.Float64Range(0, 3).Draw(t, "apart")
		}
		moved := f.Rows[0]
		find := func() *derive.Row {
			rows := derive.Derive(&f.Farm).Rows
			return rows[slices.IndexFunc(rows, func(r *derive.Row) bool { return r.Decl == moved })]
		}
		at, ok := RowAt(find(), func(o *derive.Row) float64 { return need[o.Decl] }, quantity.Metric)
		if !ok {
			return
		}
		moved.At = length(at)
		r := find()
		require.GreaterOrEqual(t, r.Left, -1e-6)
		require.LessOrEqual(t, r.Right, f.Plots[0].Width.Value.SI+1e-6)
		for _, o := range r.Plot.Rows {
			if o != r {
				require.GreaterOrEqual(t, math.Abs(o.Center-r.Center), need[o.Decl]-1e-6)
			}
		}
	})
}
