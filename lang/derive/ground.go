package derive

import (
	"math"

	"haulm/lang/farm"
)

// Ground is a rectangle of ground: its corners in order around it, in meters east and north on the farm's
// map, or across and along the plot for a plot without a place there.
type Ground [4][2]float64

// rect is a part of a plot in meters, from x1 to x2 across and from y1 to y2 along it.
type rect struct{ x1, x2, y1, y2 float64 }

func whole(d *farm.Plot) rect { return rect{0, d.Width.Value.SI, 0, d.Length.Value.SI} }

func (r rect) area() float64 { return (r.x2 - r.x1) * (r.y2 - r.y1) }

// GroundOf is the ground of a plot: its first corner where the plan puts it, the rows running from there by
// the bearing, the width to the right of them. A plot without a place lies at the origin.
func GroundOf(d *farm.Plot) Ground { return whole(d).of(d) }

// IsPositioned tells whether a plot has a place on the farm's map.
func IsPositioned(d *farm.Plot) bool { return d.East.Given && d.North.Given }

// of is the ground of a part of a plot.
func (r rect) of(d *farm.Plot) Ground {
	var e, n, sin, cos float64 = 0, 0, 0, 1
	if IsPositioned(d) {
		e, n = d.East.Value.SI, d.North.Value.SI
		sin, cos = math.Sincos(d.Bearing.Value * math.Pi / 180)
	}
	at := func(x, y float64) [2]float64 { return [2]float64{e + y*sin + x*cos, n + y*cos - x*sin} }
	return Ground{at(r.x1, r.y1), at(r.x1, r.y2), at(r.x2, r.y2), at(r.x2, r.y1)}
}

// inPlot is the same across and along the plot, wherever that lies.
func (r rect) inPlot() Ground {
	return Ground{{r.x1, r.y1}, {r.x1, r.y2}, {r.x2, r.y2}, {r.x2, r.y1}}
}

// Ground is what a planting roots in: along the row what it owns, across it from half a row's distance
// before the first line to half of one behind the last, by the crop's least distance between rows, or the
// bed where that is wider. It is not ok for a planting that stands nowhere.
func (p *Planting) Ground() (g Ground, ok bool) {
	r, ok := p.rooted()
	if !ok {
		return g, false
	}
	return r.of(p.Row.Plot.Decl), true
}

// rooted is that ground across and along the plot.
func (p *Planting) rooted() (rect, bool) {
	if !p.Placed() || p.Row == nil || len(p.Row.Lines) == 0 {
		return rect{}, false
	}
	beside := p.Spacing / 2
	if r := &p.Decl.Crop.BetweenRows; r.Known() {
		beside = r.Low / 2
	}
	return rect{
		x1: min(p.Row.Left, p.Row.Lines[0]-beside), x2: max(p.Row.Right, p.Row.Lines[len(p.Row.Lines)-1]+beside),
		y1: p.Row.Start + p.Owns.From, y2: p.Row.Start + p.Owns.To,
	}, true
}

// Area is the area of the ground, m².
func (g Ground) Area() float64 { return math.Abs(area(g[:])) }

// Shared is the area that two grounds have in common, m²: the one cut along each side of the other
// (Sutherland and Hodgman, 1974).
func (g Ground) Shared(h Ground) float64 {
	around := 1.0
	if area(h[:]) < 0 {
		around = -1
	}
	rest := g[:]
	for i := range h {
		a, b := h[i], h[(i+1)%len(h)]
		inside := func(p [2]float64) float64 {
			return around * ((b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0]))
		}
		var kept [][2]float64
		for j, p := range rest {
			q := rest[(j+1)%len(rest)]
			ip, iq := inside(p), inside(q)
			if ip >= 0 {
				kept = append(kept, p)
			}
			if (ip > 0 && iq < 0) || (ip < 0 && iq > 0) {
				t := ip / (ip - iq)
				kept = append(kept, [2]float64{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
			}
		}
		rest = kept
	}
	return math.Abs(area(rest))
}

// area of a polygon, positive when its corners run against the clock.
func area(corners [][2]float64) float64 {
	sum := 0.0
	for i, p := range corners {
		q := corners[(i+1)%len(corners)]
		sum += p[0]*q[1] - q[0]*p[1]
	}
	return sum / 2
}

// bounds are the least and the greatest coordinates of the ground.
func (g Ground) bounds() (least, most [2]float64) {
	least, most = g[0], g[0]
	for _, p := range g {
		for i := range p {
			least[i], most[i] = min(least[i], p[i]), max(most[i], p[i])
		}
	}
	return least, most
}
