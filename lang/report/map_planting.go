package report

import (
	"cmp"
	"slices"
	"strconv"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// spot is a planting on the page.
type spot struct {
	turn
	stretch
	crop  *mapCrop
	texts []labelText // ways of naming it, the fullest first
	dots  bool        // drawn plant by plant
}

// drawPlantings draws the row's plants one by one where they can be told apart and there is room to
// say what they are, beside the row or after its end; else a band with its label on it.
func (m *mapper) drawPlantings(mp *mapPlot, b *bed) {
	all := turns(b.r)
	m.nowhere += len(b.r.Plantings) - len(all)
	spots := make([]*spot, 0, len(all))
	for i, t := range all {
		s := &spot{turn: t, stretch: m.stretchOf(mp, b, all, i), crop: m.look.of(t.p)}
		if s.u1 > s.u0 { // else all of it lies beyond what is drawn of the row
			s.texts = m.labelTexts(t, s.crop)
			spots = append(spots, s)
		}
	}
	slices.SortStableFunc(spots, func(a, b *spot) int { return cmp.Compare(a.n, b.n) }) // also among labels
	var mute []*spot
	for _, s := range spots {
		if m.readable(s.turn, b) {
			if s.dots = m.labelBeside(mp, b, s); !s.dots {
				mute = append(mute, s)
			}
		}
	}
	if len(mute) > 0 && m.labelAfter(mp, b, mute) {
		for _, s := range mute {
			s.dots = true
		}
	}
	for _, s := range spots {
		m.drawPlanting(mp, b, s)
	}
}

// stretch is the ground of a planting on the page.
type stretch struct {
	u0, u1 float64 // the ground it owns, within the row unless plants stand beyond its end
	v0, v1 float64 // the bed, or its share of it
	next   float64 // u where the next planting's ground begins, or the row ends
}

func (m *mapper) stretchOf(mp *mapPlot, b *bed, all []turn, i int) stretch {
	t, r, k := all[i], b.r, m.layout.scale
	p := t.p
	s := stretch{
		u0: (r.Start + max(p.Owns.From, min(0, p.First))) * k,
		u1: (r.Start + min(p.Owns.To, max(r.Length, p.Last))) * k,
	}
	far := mp.length*k + overEdge
	s.u0, s.u1 = min(max(s.u0, -overHead), far), max(min(s.u1, far), -overHead)
	s.next = max(b.u1, s.u1)
	for _, other := range all[i+1:] {
		if other.p.Owns.From >= p.Owns.To-1e-6 {
			s.next = max(s.u1, min(s.next, (r.Start+other.p.Owns.From)*k))
			break
		}
	}
	high := (b.v1 - b.v0) / float64(t.of)
	s.v0 = b.v0 + float64(t.n)*high
	s.v1 = s.v0 + high
	return s
}

func (m *mapper) drawPlanting(mp *mapPlot, b *bed, s *spot) {
	ground := mp.frame.box(s.u0, s.v0, s.u1, s.v1)
	says, link := m.describe(s.p), ""
	if m.link != nil {
		link = m.link(s.p)
	}
	if link != "" {
		m.WriteString(`<a href="` + escape(link) + `" aria-label="` + escape(says) + `">`)
	}
	m.WriteString(`<g class="planting" fill="` + s.crop.family.color + `" stroke="none" data-planting="` + strconv.Itoa(s.p.Number) + `"` +
		at(s.p.Decl.Call) + ">\n")
	m.tip(says)
	if s.dots {
		m.rect("stretch", ground, ` fill-opacity=".16"`)
		m.drawPlants(mp, b, s)
	} else {
		m.rect("band", ground, ` fill="`+s.crop.family.fill+`" stroke="`+s.crop.family.color+`"`)
		m.shown.band = true
		on, beside := m.labelOn, m.labelBeside
		if s.v1-s.v0 < labelHeight(smallSize) {
			on, beside = beside, on
		}
		if !on(mp, b, s) && !beside(mp, b, s) {
			m.unlabelled++
		}
	}
	m.close()
	if link != "" {
		m.WriteString("</a>\n")
	}
}

// sharedDot is how much farther apart plants must be on the page when crops share their place, so that
// dots and rings can be told apart.
const sharedDot = 2.0

// readable tells whether the plants can be told apart on the page.
func (m *mapper) readable(t turn, b *bed) bool {
	k, least := m.layout.scale, m.leastDot
	if t.of > 1 {
		least *= sharedDot
	}
	return t.least*k >= least && (len(b.r.Lines) == 1 || (b.r.Lines[1]-b.r.Lines[0])*k >= closestDot)
}

func (m *mapper) drawPlants(mp *mapPlot, b *bed, t *spot) {
	k := m.layout.scale
	r := t.p.Row
	radius := min(4.2, 0.32*t.p.Spacing*k)
	if len(r.Lines) > 1 {
		radius = min(radius, 0.36*(r.Lines[1]-r.Lines[0])*k)
	}
	radius = max(1.2, min(radius, (b.v1-b.v0)/2-1))
	later := t.n > 0
	if later {
		radius = min(radius+1.9*float64(t.n), max(0.5*t.p.Spacing*k, radius+0.8))
		m.WriteString(`<g fill="none" stroke="` + t.crop.family.color + `" stroke-width="1.3">` + "\n")
		m.shown.ring = true
	} else {
		// Dots are points of one path with round ends: a third of what as many circles take.
		m.WriteString(`<path class="plant" stroke="` + t.crop.family.color + `" stroke-width="` + px(2*radius) + `" d="`)
		m.shown.dot = true
	}
	far := mp.length*k + overEdge
	for line, x := range r.Lines {
		v := x * k
		if v < -overEdge || v > mp.width*k+overEdge {
			continue
		}
		for at := range t.p.Positions(line) {
			u := (r.Start + at) * k
			if u > far {
				break
			}
			if u >= -overHead {
				cx, cy := mp.frame.at(u, v)
				if later {
					m.circle("plant later", cx, cy, radius)
				} else {
					m.WriteString("M" + px(cx) + " " + px(cy) + "h0")
				}
			}
		}
	}
	if later {
		m.close()
	} else {
		m.WriteString(`"/>` + "\n")
	}
}

// describe gives a sentence on the planting, for who points at it.
func (m *mapper) describe(p *derive.Planting) string {
	name := "crop not known"
	if c := p.Decl.Crop; c != nil {
		name = c.Title()
	}
	text := p.Row.Plot.Decl.Name.Value + ", " + p.Row.Name() + ": " + name + ", " + countOf(p.Plants, "plant") + " at " +
		m.facts.Farm.Units.Short(quantity.Meters(p.Spacing))
	if when := m.season(p); when != "" {
		text += ", " + when
	}
	return cut(text, 300)
}
