package derive

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

func measured(v float64, d quantity.Dimension) farm.Amount {
	return farm.Amount{Value: quantity.Of(v, d), Given: true}
}

// raised is a farm of one plot whose rows are planted from trays on the days of four weeks.
func raised(t *rapid.T) *Facts {
	f := newPlan(1)
	tray := &farm.Tray{Cells: count(rapid.IntRange(1, 300).Draw(t, "cells")), Length: length(0.53), Width: length(0.28)}
	pot := &farm.Pot{Width: length(0.1)}
	f.Trays, f.Pots = []*farm.Tray{tray}, []*farm.Pot{pot}
	f.Nursery = &farm.Nursery{
		Bench: measured(1, quantity.Area), Spare: measured(rapid.Float64Range(0, 0.5).Draw(t, "spare"), quantity.Ratio),
		StepUp: count(rapid.IntRange(1, 40).Draw(t, "step up")), Harden: count(rapid.IntRange(0, 20).Draw(t, "harden")),
		Temperature: measured(293, quantity.Temperature),
	}
	c := crop("cabbage")
	c.Transplant, c.TrayWeeks = true, stated(5, 7)
	c.Germination = stated(rapid.Float64Range(0.3, 1).Draw(t, "germination"), 1)
	plot := f.plot("Top", 100, 50, 0)
	for i := range rapid.IntRange(1, 5).Draw(t, "rows") {
		p := f.plant(f.row(plot, float64(1+i)), c, 0.3, counted(rapid.IntRange(1, 300).Draw(t, "plants")))
		p.On = on(time.May, 1+7*rapid.IntRange(0, 3).Draw(t, "week"))
		p.Tray, p.PerCell = tray, count(rapid.IntRange(1, 3).Draw(t, "per cell"))
		if rapid.Bool().Draw(t, "stepped up") {
			p.Pot = pot
		}
	}
	return derive(t, f)
}

// Nothing is lost on the way: the seeds of a batch are those of its starts, of an order those of its plantings; trays
// hold all cells; the fullest day never has more on the bench than all that is ever filled.
func TestSeedsAreKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := raised(t)
		n := facts.Nursery()
		starts, batches, ordered, raised, planted := 0, 0, 0, 0, 0
		for _, p := range facts.Plantings {
			planted += p.Plants
		}
		for _, s := range n.Starts {
			require.Empty(t, s.Unknown)
			require.Equal(t, s.Cells*s.Planting.Decl.PerCell.Value, s.Seeds)
			require.GreaterOrEqual(t, float64(s.Cells)*s.Stand, float64(s.Planting.Plants)-1e-6)
			starts += s.Seeds
		}
		most := 0.0
		for _, b := range n.Batches {
			batches += b.Seeds
			raised += b.Plants
			require.GreaterOrEqual(t, b.Trays*b.Starts[0].Planting.Decl.Tray.Cells.Value, b.Cells)
			b.indoors(func(_, _ season.Date, area float64) { most += area })
		}
		for _, o := range n.Seeds {
			sum := 0
			for _, u := range o.Of {
				sum += u.Seeds
			}
			require.Equal(t, o.Seeds, sum)
			ordered += o.Seeds
		}
		require.Equal(t, planted, raised)
		require.Equal(t, starts, batches)
		require.Equal(t, starts, ordered)
		for _, w := range n.Weeks {
			require.GreaterOrEqual(t, w.Bench, 0.0)
			require.LessOrEqual(t, w.Bench, most+1e-9)
		}
		for _, v := range append(n.Trays, n.Pots...) {
			require.LessOrEqual(t, v.Need, v.Filled)
			require.Positive(t, v.Need)
		}
	})
}

// Two rows that share a trellis have its posts once, and everything that hangs on it twice.
func TestPostsAreCountedOnce(t *testing.T) {
	rapid.Check(t, testPostsAreCountedOnce)
}

func testPostsAreCountedOnce(t *rapid.T) {
	style := rapid.SampledFrom([]string{"drop line", "net", "stake and weave"}).Draw(t, "style")
	plants := rapid.IntRange(2, 60).Draw(t, "plants")
	posts := rapid.Float64Range(1, 6).Draw(t, "post spacing")
	held := func(shared, loop bool) *Support {
		f := newPlan(1)
		c := crop("tomato")
		c.Height = stated(1.5, 2)
		plot := f.plot("Top", 32, 20, 0)
		var rows []*farm.Row
		for i := range 2 {
			r := f.row(plot, float64(4+i))
			f.plant(r, c, 0.5, counted(plants)).On = on(time.May, 1)
			rows = append(rows, r)
		}
		put := func(rows ...*farm.Row) {
			d := &farm.Trellis{Row: rows[0], Height: length(2)}
			d.Style, d.Posts = farm.Text{Value: style, Given: true}, length(posts)
			d.Loop = farm.Flag{Value: loop, Given: loop}
			for _, r := range rows {
				r.Trellis = d
			}
			f.Trellises = append(f.Trellises, d)
		}
		if shared {
			put(rows...)
		} else {
			put(rows[0])
			put(rows[1])
		}
		return derive(t, f).Support()
	}
	one, two := held(true, false), held(false, false)
	require.Len(t, one.Trellises, 1)
	require.Len(t, two.Trellises, 2)
	both := one.Trellises[0]
	require.Equal(t, two.Trellises[0].Posts, both.Posts)
	require.Equal(t, 2*two.Trellises[0].Lines, both.Lines)
	require.Equal(t, 2*two.Trellises[0].Clips, both.Clips)
	require.Equal(t, 2*len(two.Trellises[0].Rail), len(both.Rail))
	require.Equal(t, 2*two.Trellises[0].Joints, both.Joints)
	require.InDelta(t, two.Trellises[0].Load[1], both.Load[1], 1e-9)
	require.InDelta(t, 2*two.Trellises[0].Net, both.Net, 1e-9)
	require.InDelta(t, 2*two.Trellises[0].Twine, both.Twine, 1e-9)
	total := 0.0
	for _, u := range one.Uses() {
		if u.Ware.Kind == PostWare {
			total += u.Amount.SI
		}
	}
	require.InDelta(t, float64(both.Posts), total, 0, "bought once too")

	loop := held(true, true).Trellises[0]
	require.Equal(t, both.Posts, loop.Posts)
	if style != "drop line" {
		require.Empty(t, loop.Rail)
		return
	}
	sum := func(pieces []float64) (all float64) {
		for _, p := range pieces {
			all += p
		}
		return all
	}
	require.InDelta(t, sum(both.Rail)+2*1, sum(loop.Rail), 1e-6, "the rows are 1 m apart: across both ends")
	require.Equal(t, 4, loop.Corners)
	require.Equal(t, len(loop.Rail)-4, loop.Joints, "pieces meet at a joint or a corner")
	require.Equal(t, both.Lines, loop.Lines)
}

func TestClosedDays(t *testing.T) {
	for hours, days := range map[float64]int{0: 1, 4: 1, 12: 1, 12.5: 2, 24: 2, 36: 2, 48: 3, 72: 4} {
		require.Equal(t, days, ClosedDays(hours*3600), "%v hours", hours)
	}
}
