package derive

import (
	"cmp"
	"slices"
)

// Gap is the ground open to a planting along its row, given those that stay where they are when it
// changes: all declared before it, and those set by hand.
type Gap struct {
	From  float64 // of the first plant; with After, of the planting's ground, half a spacing before it
	After bool
	Prev  float64 // where the ground of the planting before it ends; -Inf without one
	End   float64 // of the row: no plant may stand beyond
	Next  float64 // where the ground of the next planting begins, half a spacing behind the last plant; +Inf without one
}

// Gap gives the ground open to the planting.
func (p *Planting) Gap() Gap {
	g := Gap{From: p.First, After: p.follows, Prev: p.prev, End: p.Row.Length, Next: p.next}
	if g.After {
		g.From -= p.Spacing / 2
	}
	return g
}

// KeepsClear tells whether the planting, were it spaced so and so long from its first plant to its
// last, would stand clear of those set by hand that are declared after it. With less ground it may find
// a place nearer the head, which one of them has.
func (p *Planting) KeepsClear(spacing, extent float64) bool {
	if p.byHand() {
		return true
	}
	var pl placer
	var later []*Planting
	for _, q := range p.Row.Plantings {
		switch {
		case q == p || !q.Placed() || !q.Overlaps(p):
		case q.order < p.order:
			in, out := q.occupied()
			pl.held = append(pl.held, hold{q.Owns.From, q.Owns.To, in, out, q})
		case q.byHand():
			later = append(later, q)
		}
	}
	if len(later) == 0 {
		return true
	}
	slices.SortStableFunc(pl.held, func(a, b hold) int { return cmp.Compare(a.from, b.from) })
	moved := *p
	moved.Spacing, moved.First = spacing, 0
	pl.findPlace(&moved, extent)
	from, to := moved.First-spacing/2, moved.First+extent+spacing/2
	slack := tolerance * (p.Row.Length + extent)
	return !slices.ContainsFunc(later, func(q *Planting) bool {
		return q.Owns.From < to-slack && from < q.Owns.To-slack
	})
}
