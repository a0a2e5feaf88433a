package derive

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/farm"
	"haulm/stdlib/season"
)

// drawn is a farm in whole and half steps of any unit, so that it can be built in several.
type drawn struct {
	long, wide, headland float64
	rows                 []drawnRow
}

type drawnRow struct {
	at, apart float64
	lines     int
	staggered bool
	plantings []drawnPlanting
}

type drawnPlanting struct {
	spacing float64
	mode    int // count, length, fill
	count   int
	length  float64
	start   float64 // negative when not given
	in      int     // day of the year, 0 when not given
	days    int
}

func half(t *rapid.T, name string, low, high int) float64 {
	return float64(rapid.IntRange(2*low, 2*high).Draw(t, name)) / 2
}

func drawFarm(t *rapid.T) drawn {
	d := drawn{long: half(t, "long", 20, 120), wide: half(t, "wide", 10, 80), headland: half(t, "headland", 0, 8)}
	for range rapid.IntRange(1, 5).Draw(t, "rows") {
		r := drawnRow{at: half(t, "at", 0, 60), apart: half(t, "apart", 0, 2), lines: rapid.IntRange(1, 4).Draw(t, "lines"),
			staggered: rapid.Bool().Draw(t, "staggered")}
		for range rapid.IntRange(0, 7).Draw(t, "plantings") {
			q := drawnPlanting{spacing: half(t, "spacing", 1, 6) / 2, mode: rapid.IntRange(0, 2).Draw(t, "mode"),
				count: rapid.IntRange(1, 12).Draw(t, "count"), length: half(t, "length", 0, 30), start: -1,
				in: rapid.IntRange(-60, 250).Draw(t, "in"), days: rapid.IntRange(1, 200).Draw(t, "days")}
			if rapid.IntRange(0, 4).Draw(t, "by hand") == 0 {
				q.start = half(t, "start", 0, 40)
			}
			r.plantings = append(r.plantings, q)
		}
		d.rows = append(d.rows, r)
	}
	return d
}

func (d drawn) build(unit float64) *plan {
	p := newPlan(unit)
	plot := p.plot("Bench", d.long, d.wide, d.headland)
	c := crop("a")
	for _, r := range d.rows {
		row := p.row(plot, r.at, p.bed(r.lines, r.apart, r.staggered))
		for _, q := range r.plantings {
			mode := []func(*farm.Planting){counted(q.count), p.long(q.length), filled}[q.mode]
			pl := p.plant(row, c, q.spacing, mode)
			if q.start >= 0 {
				p.from(q.start)(pl)
			}
			if q.in > 0 {
				first := season.On(2027, 1, q.in)
				pl.On = farm.DateArg{Value: first, Given: true}
				pl.Until = farm.DateArg{Value: first.Add(q.days), Given: true}
			}
		}
	}
	return p
}

const near = 1e-9

// fits tells whether the whole planting lies within its row.
func fits(p *Planting) bool { return p.First >= -near && p.Last <= p.Row.Length+near }

// Ground that two plantings own at the same time is never the same ground, unless a hand put one of
// them there; where a planting fits, all its plants stand in the row.
func TestPlacingKeepsGroundApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := derive(t, drawFarm(t).build(foot))
		for _, r := range facts.Rows {
			for i, p := range r.Plantings {
				for _, q := range r.Plantings[i+1:] {
					if !p.Overlaps(q) || p.byHand() && q.byHand() {
						continue
					}
					// A hand may set one upon ground that another, declared before, already has.
					if late := declaredLater(facts, p, q); late.byHand() {
						continue
					}
					// So may one that fills from a place by hand; one set by itself gives way to all before it.
					require.False(t, p.Owns.From < q.Owns.To-near && q.Owns.From < p.Owns.To-near,
						"%v at %v and %v at %v", p.Decl, p.Owns, q.Decl, q.Owns)
				}
			}
			for _, p := range r.Plantings {
				require.InDelta(t, p.Last-p.First, p.Owns.To-p.Owns.From-p.Spacing, near)
				last, plants := 0.0, 0
				for line := range r.Lines {
					for y := range p.Positions(line) {
						require.GreaterOrEqual(t, y, p.First-near)
						require.LessOrEqual(t, y, p.Last+near)
						if fits(p) {
							require.LessOrEqual(t, y, r.Length+near)
						}
						last = max(last, y)
						plants++
					}
				}
				require.Equal(t, p.Plants, plants)
				require.InDelta(t, p.Last, last, near, "the last plant of any line")
			}
		}
	})
}

// declaredLater gives the one of two declared later.
func declaredLater(facts *Facts, p, q *Planting) *Planting {
	if slices.Index(facts.Farm.Plantings, p.Decl) > slices.Index(facts.Farm.Plantings, q.Decl) {
		return p
	}
	return q
}

// One set by itself goes past the row's end only when there was no place for it: no gap between the
// ground that others already had at its time is wide enough.
func TestPlacingFindsRoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := derive(t, drawFarm(t).build(foot))
		for _, r := range facts.Rows {
			for _, p := range r.Plantings {
				if p.byHand() || fits(p) {
					continue
				}
				extent := p.Last - p.First
				candidates := []float64{0}
				var before []*Planting
				for _, q := range r.Plantings {
					if q != p && q.Overlaps(p) && declaredLater(facts, p, q) == p {
						before = append(before, q)
						candidates = append(candidates, q.Owns.To+p.Spacing/2)
					}
				}
				for _, at := range candidates {
					free := at >= 0 && at+extent <= r.Length
					for _, q := range before {
						if at-p.Spacing/2 < q.Owns.To-near && at+extent+p.Spacing/2 > q.Owns.From+near {
							free = false
						}
					}
					require.False(t, free, "%v would fit at %v", p.Owns, at)
				}
			}
		}
	})
}

// What is owned and what is free make up the row; rows make up the plot.
func TestLengthsAndPlantsAreConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawFarm(t)
		facts := derive(t, d.build(foot))
		pl := facts.Plots[0]
		require.InDelta(t, d.long*d.wide*foot*foot, pl.Area, near)
		plants, rowLength, freeLength := 0, 0.0, 0.0
		for _, r := range pl.Rows {
			// The union of what is owned, counted on its own: stretch by stretch between all the bounds.
			cuts := []float64{0, r.Length}
			for _, p := range r.Plantings {
				cuts = append(cuts, min(max(p.Owns.From, 0), r.Length), min(max(p.Owns.To, 0), r.Length))
			}
			slices.Sort(cuts)
			owned := 0.0
			for i := 1; i < len(cuts); i++ {
				mid := (cuts[i-1] + cuts[i]) / 2
				if slices.ContainsFunc(r.Plantings, func(p *Planting) bool { return p.Owns.From < mid && mid < p.Owns.To }) {
					owned += cuts[i] - cuts[i-1]
				}
			}
			free := 0.0
			for _, s := range r.Free {
				require.Less(t, s.From, s.To)
				free += s.To - s.From
			}
			require.InDelta(t, r.Length, owned+free, near)
			require.InDelta(t, free, r.FreeLength, near)
			rowLength += r.Length
			freeLength += free
			for _, p := range r.Plantings {
				plants += p.Plants
			}
		}
		require.Equal(t, plants, pl.Plants)
		require.InDelta(t, rowLength, pl.RowLength, near)
		require.InDelta(t, freeLength, pl.FreeLength, near)
	})
}

// A farm twice as large at twice the spacings holds the same plants, and so does its twin in meters:
// feet put beside meters number by number.
func TestCountsDoNotDependOnTheMeasure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawFarm(t)
		us := derive(t, d.build(foot))
		for _, unit := range []float64{2 * foot, 1, inch} {
			twin := derive(t, d.build(unit))
			scale := unit / foot
			for i, p := range us.Plantings {
				q := twin.Plantings[i]
				where := fmt.Sprintf("planting %d by %v", i, scale)
				require.Equal(t, p.Plants, q.Plants, where)
				require.Equal(t, p.PerLine, q.PerLine, where)
				require.InDelta(t, p.First*scale, q.First, near*math.Max(1, scale*p.First), where)
				require.InDelta(t, p.Room*scale, q.Room, near*math.Max(1, math.Abs(scale*p.Room)), where)
			}
			require.InDelta(t, us.Plots[0].FreeLength*scale, twin.Plots[0].FreeLength, near*100)
			require.Len(t, twin.Plots[0].Paths, len(us.Plots[0].Paths))
		}
	})
}

// Two rows have a path between them exactly when some two plantings of theirs stand at one time.
func TestRowsMeetAsTheirPlantingsDo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := derive(t, drawFarm(t).build(foot))
		rows, next := facts.Plots[0].Rows, 0
		for i := 1; i < len(rows); i++ {
			a, b := rows[i-1], rows[i]
			meet := len(a.Plantings) == 0 || len(b.Plantings) == 0
			for _, p := range a.Plantings {
				meet = meet || slices.ContainsFunc(b.Plantings, p.Overlaps)
			}
			if meet {
				require.Same(t, a, facts.Plots[0].Paths[next].Left)
				require.Same(t, b, facts.Plots[0].Paths[next].Right)
				next++
			}
		}
		require.Len(t, facts.Plots[0].Paths, next)
	})
}
