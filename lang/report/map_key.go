package report

import (
	"math"
	"strings"
)

// Size of the key plan at most, px.
const (
	keyWide = 280.0
	keyHigh = 220.0
)

// keyPlan tells whether the map needs one: the plan says where plots lie, and they are not drawn there.
func (m *mapper) keyPlan() bool {
	located := 0
	for _, mp := range m.layout.plots {
		if mp.located() {
			located++
		}
	}
	return located > 1 && !m.layout.placed
}

// drawKeyPlan draws the plots where the plan says they lie, turned by their bearings, north up, and
// returns the y below.
func (m *mapper) drawKeyPlan(x, y float64) float64 {
	type corner struct{ east, north float64 }
	var shapes [][4]corner
	var names []string
	west, south, east, north := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, mp := range m.layout.plots {
		if !mp.located() {
			continue
		}
		e, _ := meters(&mp.p.Decl.East)
		n, _ := meters(&mp.p.Decl.North)
		sin, cos := math.Sincos(mp.bearing() * math.Pi / 180)
		var shape [4]corner
		for i, at := range [4][2]float64{{0, 0}, {mp.length, 0}, {mp.length, mp.width}, {0, mp.width}} {
			// Along the rows at the bearing, across them a quarter clockwise of it.
			c := corner{e + at[0]*sin + at[1]*cos, n + at[0]*cos - at[1]*sin}
			shape[i] = c
			west, east = min(west, c.east), max(east, c.east)
			south, north = min(south, c.north), max(north, c.north)
		}
		shapes = append(shapes, shape)
		names = append(names, mp.p.Decl.Name.Value)
	}
	k := min(keyWide/(east-west), keyHigh/(north-south))
	m.text("rowname", x, y+textSize, textSize, "Key plan, north up")
	y += textSize + 10
	var keys placer
	unnamed := 0
	centers := make([]corner, len(shapes)) // on the page
	for i, shape := range shapes {
		var data strings.Builder
		for j, c := range shape {
			at := corner{x + (c.east-west)*k, y + (north-c.north)*k}
			data.WriteString([]string{"M", "L", "L", "L"}[j] + px(at.east) + " " + px(at.north))
			centers[i].east += at.east / 4
			centers[i].north += at.north / 4
		}
		m.path("key", data.String()+"Z")
	}
	high := (north - south) * k
	for i, c := range centers {
		name := cut(names[i], 18)
		b := box{0, 0, textWidth(name, smallSize, false), labelHeight(smallSize)}
		b.x = min(max(c.east-b.w/2, x), x+keyWide-b.w)
		named := false
		for _, lines := range []float64{0, 1, -1, 2, -2} {
			b.y = c.north - b.h/2 + lines*b.h
			if b.y >= y && b.y+b.h <= y+max(high, b.h) && keys.try(b) {
				m.label(&label{box: b, text: name, size: smallSize, class: "label"})
				named = true
				break
			}
		}
		if !named {
			unnamed++
		}
	}
	if unnamed > 0 {
		m.layout.notes = append(m.layout.notes, countOf(unnamed, "plot")+" of the key plan too close to others to be named.")
	}
	return y + high
}
