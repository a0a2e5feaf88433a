package report

import "math"

// frame turns places in a plot into places on the page. In the plot u runs along the rows from the
// plot's first end and v across them from its first side, both in px at the map's scale; a plot is
// turned by quarters only.
type frame struct {
	x, y    float64 // of the plot's first corner
	quarter int     // 0: rows run right, 1: down, 2: left, 3: up
}

// quarterTurns are the page's directions of u; v is always a quarter clockwise of it.
var quarterTurns = [4][2]float64{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

func (f frame) at(u, v float64) (x, y float64) {
	along := quarterTurns[f.quarter]
	across := quarterTurns[(f.quarter+1)%4]
	return f.x + u*along[0] + v*across[0], f.y + u*along[1] + v*across[1]
}

// box gives the page's rectangle between two corners in the plot.
func (f frame) box(u0, v0, u1, v1 float64) box {
	x0, y0 := f.at(u0, v0)
	x1, y1 := f.at(u1, v1)
	return box{min(x0, x1), min(y0, y1), math.Abs(x1 - x0), math.Abs(y1 - y0)}
}

// upright tells whether rows run up or down the page.
func (f frame) upright() bool { return f.quarter%2 == 1 }

// north gives the page's direction of north in a plot whose rows run at the bearing, degrees clockwise
// from north: as far back from the rows' direction as they are turned.
func (f frame) north(bearing float64) (x, y float64) {
	along := quarterTurns[f.quarter]
	sin, cos := math.Sincos(bearing * math.Pi / 180)
	// Turned counterclockwise on a page whose y runs down.
	return along[0]*cos + along[1]*sin, along[1]*cos - along[0]*sin
}

// quarterOf gives the quarter turn nearest to so many degrees clockwise.
func quarterOf(degrees float64) int {
	q := int(math.Round(math.Mod(degrees, 360) / 90))
	return ((q % 4) + 4) % 4
}
