package derive

import (
	"math"

	"haulm/stdlib/quantity"
)

// share gives the width of the ground that a row speaks for: from halfway to its neighbor on the one side to
// halfway on the other. Neighbors are the nearest rows beside it for some of its length, whatever grows in
// them and when. On a side without one it is as wide as on the other; without any, as wide as to the plot's
// nearer side. Infinite when the plan does not say.
func (r *Row) share() float64 {
	left, right := r.neighbor(-1), r.neighbor(1)
	switch {
	case left != nil && right != nil:
		return (right.Center - left.Center) / 2
	case left != nil:
		return r.Center - left.Center
	case right != nil:
		return right.Center - r.Center
	}
	if width, ok := meters(&r.Plot.Decl.Width); ok && width > r.Center && r.Center > 0 {
		return 2 * min(r.Center, width-r.Center)
	}
	return math.Inf(1)
}

// neighbor gives the nearest row on a side, -1 or 1, that lies beside this one.
func (r *Row) neighbor(side int) *Row {
	for i := r.Number - 1 + side; i >= 0 && i < len(r.Plot.Rows); i += side {
		if q := r.Plot.Rows[i]; q.Center != r.Center && q.Start < r.End && r.Start < q.End {
			return q
		}
	}
	return nil
}

// strip is the width that a planting draws from: the row's share, but no more than the widest usual distance
// between rows of its crop, which in a bed comes on top of the width between the outer lines; 0 when not
// known.
func (p *Planting) strip() float64 {
	w := p.Row.share()
	if between := &p.Decl.Crop.BetweenRows; between.Known() && between.Dim == quantity.Length {
		lines := p.Row.Lines
		w = min(w, lines[len(lines)-1]-lines[0]+between.High)
	}
	if math.IsInf(w, 1) || !(w > 0) {
		return 0
	}
	return w
}
