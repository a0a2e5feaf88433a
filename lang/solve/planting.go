package solve

import (
	"haulm/lang/derive"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

// LargestSpacing gives the widest spacing at which the planting's own number of plants fits the
// ground open to it. False when not even a close one does, when the plan gives no count to keep, or
// when any spacing does, as for a single plant.
func LargestSpacing(p *derive.Planting, units quantity.System) (float64, bool) {
	if !p.Placed() || !p.Decl.Count.Given {
		return 0, false
	}
	g := p.Gap()
	extent := float64(p.PerLine-1) + shift(p) // in spacings
	spaces := extent
	if g.After {
		spaces += 0.5
	}
	s := (g.Next - g.From) / (spaces + 0.5)
	if spaces > 0 {
		s = min(s, (g.End-g.From)/spaces)
	}
	switch {
	case g.From > g.End+slack(g.End) || g.After && g.From < g.Prev-slack(g.Prev):
		return 0, false
	case !g.After:
		s = min(s, 2*(g.From-g.Prev))
	}
	s, ok := Down(s, units)
	return s, ok && p.KeepsClear(s, extent*s)
}

// GreatestCount gives the most plants in each line that fit the ground open to the planting at its
// spacing; false when not even one does.
func GreatestCount(p *derive.Planting) (int, bool) {
	if !p.Placed() || p.Owns.From < p.Gap().Prev-slack(p.Owns.From) {
		return 0, false
	}
	g := p.Gap()
	n := derive.FitAt(p.Spacing, min(g.End, g.Next-p.Spacing/2)-p.First-shift(p)*p.Spacing)
	return n, n > 0 && p.KeepsClear(p.Spacing, (float64(n-1)+shift(p))*p.Spacing)
}

// GreatestLength gives the longest stretch, from first plant to last, that fits the ground open to
// the planting; false when none does.
func GreatestLength(p *derive.Planting, units quantity.System) (float64, bool) {
	if !p.Placed() || p.Owns.From < p.Gap().Prev-slack(p.Owns.From) {
		return 0, false
	}
	g := p.Gap()
	length, ok := Down(min(g.End, g.Next-p.Spacing/2)-p.First, units)
	return length, ok && p.KeepsClear(p.Spacing, p.ExtentOver(length))
}

// shift is the part of a spacing by which every second line of a staggered bed stands further.
func shift(p *derive.Planting) float64 {
	if p.Row.Decl.Staggered.Value && len(p.Row.Lines) > 1 {
		return 0.5
	}
	return 0
}

// SpacingWithin gives the spacing nearest to the one now that lies in the crop's range; false when the
// range is not known, or too narrow to hold a length that can be read off a ruler.
func SpacingWithin(now float64, r *crops.Range, units quantity.System) (float64, bool) {
	if !r.Known() || !(r.High > 0) {
		return 0, false
	}
	return within(now, max(r.Low, least), r.High, units)
}

// Start gives the place of the first plant, nearest to where it is now, at which the whole planting
// lies in its row and clear of all others that stand there at its time, where they are now. False
// when there is none, and for a planting that fills what there is.
func Start(p *derive.Planting, units quantity.System) (float64, bool) {
	if !p.Placed() || p.Decl.Fill.Value {
		return 0, false
	}
	half, extent := p.Spacing/2, p.Last-p.First
	var taken []span
	for _, q := range p.Row.Plantings {
		if q != p && q.Placed() && q.Overlaps(p) {
			taken = append(taken, span{q.Owns.From - extent - half, q.Owns.To + half})
		}
	}
	return nearest(p.First, 0, p.Row.Length-extent, taken, units)
}

// RowAt gives the place of the row's centre line, nearest to where it is now, at which its bed lies in
// the plot and its centre is at least apart(other) from the centre of every other row of the plot;
// apart gives 0 for a row that does not matter. False when there is none. The cost grows with the
// plot's rows as n log n.
func RowAt(r *derive.Row, apart func(other *derive.Row) float64, units quantity.System) (float64, bool) {
	width := r.Plot.Decl.Width
	if !width.Given {
		return 0, false
	}
	var taken []span
	for _, other := range r.Plot.Rows {
		if other == r {
			continue
		}
		if a := apart(other); a > 0 {
			taken = append(taken, span{other.Center - a, other.Center + a})
		}
	}
	low, high := r.Center-r.Left, width.Value.SI-(r.Right-r.Center)
	return nearest(r.Center, low, high, taken, units)
}
