package check

import (
	"cmp"
	"iter"
	"slices"

	"haulm/lang/derive"
)

// byPlace gives a row's plantings by the ground they own, from the head on. Facts list them by their
// first plants, which is nearly always the same.
func byPlace(r *derive.Row) []*derive.Planting {
	order := func(a, b *derive.Planting) int { return cmp.Compare(a.Owns.From, b.Owns.From) }
	if slices.IsSortedFunc(r.Plantings, order) {
		return r.Plantings
	}
	sorted := slices.Clone(r.Plantings)
	slices.SortStableFunc(sorted, order)
	return sorted
}

// lookAcross is how many rows back a row's neighbour is looked for: rows that never stand in the ground
// together may lie between the two, but not many.
const lookAcross = 4

// neighbors gives the pairs of rows of a plot that stand in the ground at the same time with no such
// row between them, the one nearer the first side first.
func neighbors(pl *derive.Plot) iter.Seq2[*derive.Row, *derive.Row] {
	return func(yield func(a, b *derive.Row) bool) {
		paths := pl.Paths
		for i, b := range pl.Rows {
			if len(paths) > 0 && paths[0].Right == b {
				if !yield(paths[0].Left, b) {
					return
				}
				paths = paths[1:]
				continue
			}
			for j := i - 2; j >= max(0, i-lookAcross); j-- {
				if pl.Rows[j].Meets(b) {
					if !yield(pl.Rows[j], b) {
						return
					}
					break
				}
			}
		}
	}
}

// alongside gives the pairs of plantings, one of each row, that grow side by side: on the same stretch
// of the plot and at the same time.
func alongside(a, b *derive.Row) iter.Seq2[*derive.Planting, *derive.Planting] {
	return func(yield func(*derive.Planting, *derive.Planting) bool) {
		right := byPlace(b)
		shift := a.Start - b.Start
		from := 0
		for _, x := range byPlace(a) {
			if !x.Placed() {
				continue
			}
			lo, hi := x.Owns.From+shift, x.Owns.To+shift
			for from < len(right) && right[from].Owns.To <= lo {
				from++
			}
			for _, y := range right[from:] {
				if y.Owns.From >= hi {
					break
				}
				if y.Placed() && y.Owns.To > lo && x.Overlaps(y) && !yield(x, y) {
					return
				}
			}
		}
	}
}

// lineGap is the distance between the nearest lines of two rows, a nearer the first side.
func lineGap(a, b *derive.Row) float64 { return first(b) - last(a) }

// first and last give the x of a row's outer lines.
func first(r *derive.Row) float64 {
	if len(r.Lines) == 0 {
		return r.Center
	}
	return r.Lines[0]
}

func last(r *derive.Row) float64 {
	if len(r.Lines) == 0 {
		return r.Center
	}
	return r.Lines[len(r.Lines)-1]
}

// demand is what two rows ask of the ground between them.
type demand struct {
	lines       float64 // between the nearest lines, by the crops' spacing; 0 when no crop says
	left, right *derive.Planting
	foliage     float64 // between the nearest lines for a sprayer to pass tall plants; 0 when none are tall
	tallLeft    *derive.Planting
	tallRight   *derive.Planting
	spread      float64 // of that, taken up by the plants
}

// demandOf works out what neighbours a and b ask of each other.
func (p *pass) demandOf(a, b *derive.Row) demand {
	var d demand
	for x, y := range alongside(a, b) {
		if x.Decl == nil || y.Decl == nil || x.Decl.Crop == nil || y.Decl.Crop == nil {
			continue
		}
		cx, cy := &x.Decl.Crop.Crop, &y.Decl.Crop.Crop
		if cx.BetweenRows.Known() && cy.BetweenRows.Known() {
			need := (cx.BetweenRows.Told(p.units).Low + cy.BetweenRows.Told(p.units).Low) / 2
			if need > d.lines {
				d.lines, d.left, d.right = need, x, y
			}
		}
		if p.farm.SprayAccess.Given && (height(x) > tall && cx.Spread.Known() || height(y) > tall && cy.Spread.Known()) {
			spread := (cx.Spread.Mid() + cy.Spread.Mid()) / 2
			if need := spread + p.spray; need > d.foliage {
				d.foliage, d.tallLeft, d.tallRight, d.spread = need, x, y, spread
			}
		}
	}
	return d
}

// apart is the least distance between the center lines of neighbours a and b that meets all the rules
// between them.
func (p *pass) apart(a, b *derive.Row) float64 {
	d := p.demandOf(a, b)
	inner := last(a) - a.Center + b.Center - first(b)
	return max(d.lines+inner, d.foliage+inner, p.access+a.Right-a.Center+b.Center-b.Left)
}
