package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
)

var plotsOverlap = &diag.Rule{
	Code:     "plots-overlap",
	Severity: diag.Warning,
	Summary:  "two plots lie on the same ground",
	Explain: `Plots with ` + "`east`" + ` and ` + "`north`" + ` have a place on the farm: their first corner lies there, the rows run from it
by the bearing, and the width lies to the right of the rows. Two rectangles that share ground are a slip of
one of these numbers, or of a length. Plots that only touch are neighbours.`,
	Example: `farm("Ferry Bank", year = 2027)
a = plot("Lower bench", length = 52 * ft, width = 40 * ft, east = 0 * ft, north = 0 * ft)
b = plot("Upper bench", length = 52 * ft, width = 40 * ft, east = 30 * ft, north = 0 * ft)
`,
	Source: "geometry",
}

// positions finds plots that share ground.
func (p *pass) positions() {
	type placed struct {
		decl               *farm.Plot
		at                 derive.Ground
		westmost, eastmost float64
	}
	var all []placed
	for _, pl := range p.facts.Plots {
		d := pl.Decl
		if d == nil || pl.Area <= 0 || !derive.IsPositioned(d) {
			continue
		}
		at := derive.GroundOf(d)
		xs := []float64{at[0][0], at[1][0], at[2][0], at[3][0]}
		all = append(all, placed{d, at, slices.Min(xs), slices.Max(xs)})
	}
	slices.SortStableFunc(all, func(a, b placed) int { return cmp.Compare(a.westmost, b.westmost) })
	for i, a := range all {
		for _, b := range all[i+1:] {
			if b.westmost >= a.eastmost {
				break
			}
			if share(a.at, b.at) {
				late, early := b.decl, a.decl
				if late.Order < early.Order {
					late, early = early, late
				}
				p.report(&late.Decl, plotName(late), diag.Diagnostic{
					Rule:    plotsOverlap,
					Message: fmt.Sprintf("%s lies on ground that %s takes", plotName(late), plotName(early)),
					Primary: diag.Label{Span: late.East.Span, Text: "shares ground with " + plotName(early)},
					Related: labels(diag.Label{Span: early.East.Span, Text: plotName(early)}, late.East.Span),
				})
			}
		}
	}
}

// share tells whether two rectangles have ground in common: no side of either keeps them apart.
func share(a, b derive.Ground) bool {
	for _, r := range []derive.Ground{a, b} {
		for i := range 2 {
			x, y := r[i+1][0]-r[i][0], r[i+1][1]-r[i][1]
			size := math.Hypot(x, y)
			if apart(a, b, x/size, y/size) {
				return false
			}
		}
	}
	return true
}

// apart tells whether the two lie apart when seen along a direction of length 1.
func apart(a, b derive.Ground, x, y float64) bool {
	reach := func(c derive.Ground) (least, most float64) {
		least, most = math.Inf(1), math.Inf(-1)
		for _, p := range c {
			v := p[0]*x + p[1]*y
			least, most = min(least, v), max(most, v)
		}
		return
	}
	a1, a2 := reach(a)
	b1, b2 := reach(b)
	return a2 <= b1+slack || b2 <= a1+slack
}
