package report

import (
	"haulm/lang/derive"
	"haulm/lang/diff"
)

// mark is how the map of a diff shows that a thing changed: a heavy outline, whose dashes tell what kind of change
// it is also in print without colour, and a badge with the sign and the number that the list gives the change.
type mark struct {
	text  string // "+3"
	class string // "came", "went" or "other"
}

// diffMarks gives the marks of one side's map.
func diffMarks(changes []*diff.Change, side func(*diff.Change) *diff.Thing) map[any]mark {
	marks := map[any]mark{}
	for i, c := range changes {
		t := side(c)
		if t == nil {
			continue
		}
		x := mark{text: sign(c) + decimal(float64(i+1), 0), class: "other"}
		switch {
		case c.Is(diff.Added):
			x.class = "came"
		case c.Is(diff.Removed):
			x.class = "went"
		}
		switch {
		case t.Item.Planting != nil:
			marks[t.Item.Planting] = x
		case t.Item.Row != nil:
			marks[t.Item.Row] = x
		case t.Item.Plot != nil:
			marks[t.Item.Plot] = x
		}
	}
	return marks
}

const markStyle = `
.map .came,.map .went,.map .other{fill:none;stroke:#000;stroke-width:2.6}
.map .went{stroke-dasharray:9 4}
.map .other{stroke-dasharray:2 3}
.map .badge{fill:#fff;stroke:#000;stroke-width:1.4}
.map .badgetext{font-weight:bold;text-anchor:middle}
`

const (
	badgeSize = 17.0
	badgeHigh = 22.0
)

// drawMarks draws the marks of all plots over everything else.
func (m *mapper) drawMarks(plots []*mapPlot) {
	if len(m.marks) == 0 {
		return
	}
	for _, mp := range plots {
		if x, ok := m.marks[mp.p]; ok {
			m.mark(mp.frame.box(0, 0, mp.length*m.layout.scale, mp.width*m.layout.scale), x)
		}
		beds := m.beds(mp)
		for i := range beds {
			if beds[i].drawn {
				m.markBed(mp, &beds[i])
			}
		}
	}
}

func (m *mapper) markBed(mp *mapPlot, b *bed) {
	if x, ok := m.marks[b.r]; ok {
		m.mark(mp.frame.box(b.u0, b.v0, b.u1, b.v1).grown(2), x)
	}
	all := turns(b.r)
	for i, t := range all {
		if x, ok := m.marks[t.p]; ok {
			if s := m.stretchOf(mp, b, all, i); s.u1 > s.u0 {
				m.mark(mp.frame.box(s.u0, s.v0, s.u1, s.v1), x)
			}
		}
	}
}

// mark draws one mark about a box, its badge on the box's edge where no label or other badge stands, as far as
// there is such a place.
func (m *mapper) mark(b box, x mark) {
	m.rect(x.class, b, "")
	wide := textWidth(x.text, badgeSize, true) + 8
	at := box{b.x + b.w - wide/2, b.y - badgeHigh/2, wide, badgeHigh}
	for step := range 24 {
		try := at
		try.x -= float64(step/2) * (wide + 4)
		if step%2 == 1 {
			try.y = b.y + b.h - badgeHigh/2
		}
		if try.x < b.x-wide/2 {
			break
		}
		if m.placer.try(try) {
			at = try
			break
		}
	}
	m.rect("badge", at, ` rx="7"`)
	m.text("badgetext", at.x+wide/2, at.y+badgeHigh-5.5, badgeSize, x.text)
}

// bothLooks gives the looks of the maps of two farms, in which a crop has the same letters and a family the same
// colour and pattern, and the look of both together.
func bothLooks(from, to *derive.Facts) (all, old, now *look) {
	both := &derive.Facts{Farm: to.Farm}
	both.Plantings = append(append(both.Plantings, from.Plantings...), to.Plantings...)
	all = newLook(both)
	return all, all.only(from.Plantings), all.only(to.Plantings)
}
