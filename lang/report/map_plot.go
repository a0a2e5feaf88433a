package report

import (
	"math"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// bed is a row on the page, in px from its plot's first corner.
type bed struct {
	r            *derive.Row
	u0, u1       float64 // head and end
	v0, v1       float64 // edges as drawn: a little wider than the outer lines, which would cut their dots
	above, below float64 // free ground beside it, to the next row or the plot's side
	drawn        bool
}

// Half the least width of a row as drawn, and what is drawn at most and at least beyond the outer lines of
// a row whose bed has no width of its own.
const (
	leastBed = 3.0
	mostHem  = 6.0
	leastHem = 2.5
)

// hem is how much wider than its true edge a row of some width is drawn on a side, given the free ground
// there: a label should still find room on it.
func hem(r *derive.Row, wide, free float64) float64 {
	h := min(mostHem, max(leastHem, (free-tightHeight(smallSize)-1)/2))
	if r.Decl.BedWidth.Given {
		h = leastBed - wide/2
	}
	return max(0, min(h, 0.4*free))
}

// beds gives the place of every row of the plot, in the plot's order of rows.
func (m *mapper) beds(mp *mapPlot) []bed {
	k := m.layout.scale
	length, width := mp.length*k, mp.width*k
	beds := make([]bed, len(mp.p.Rows))
	before := make([]float64, len(beds)) // free ground on the first side, by true edges
	edge := 0.0
	for i, r := range mp.p.Rows {
		before[i] = r.Left*k - edge
		edge = max(edge, r.Right*k)
	}
	edge = width
	for i := len(beds) - 1; i >= 0; i-- {
		r := mp.p.Rows[i]
		b := bed{r: r, u0: r.Start * k, u1: r.End * k, v0: r.Left * k, v1: r.Right * k}
		after := edge - b.v1
		edge = min(edge, b.v0)
		b.v0 -= hem(r, b.v1-b.v0, before[i])
		b.v1 += hem(r, r.Right*k-r.Left*k, after)
		b.clamp(length, width)
		beds[i] = b
	}
	edge = 0
	for i := range beds {
		beds[i].above = beds[i].v0 - edge
		edge = max(edge, beds[i].v1)
	}
	edge = width
	for i := len(beds) - 1; i >= 0; i-- {
		beds[i].below = edge - beds[i].v1
		edge = min(edge, beds[i].v0)
	}
	return beds
}

// usuallyBelow tells on which side of the plot's rows labels have room more often; above when even.
func usuallyBelow(beds []bed) bool {
	above, below := 0, 0
	least := labelHeight(textSize) + 1
	for i := range beds {
		if beds[i].above >= least {
			above++
		}
		if beds[i].below >= least {
			below++
		}
	}
	return below > above
}

// Rows are drawn so far beyond their plot's edges and no farther.
const (
	overHead = 5.0
	overEdge = 10.0
)

func (b *bed) clamp(length, width float64) {
	b.drawn = b.u1 > b.u0 && b.u1 > 0 && b.u0 < length && b.v1 >= 0 && b.v0 <= width
	b.u0, b.u1 = max(b.u0, -overHead), min(b.u1, length+overEdge)
	b.v0, b.v1 = max(b.v0, -overEdge), min(b.v1, width+overEdge)
}

func (m *mapper) drawPlot(mp *mapPlot) {
	f := mp.frame
	k := m.layout.scale
	length, width := mp.length*k, mp.width*k
	m.open("ground")
	m.tip(cut(mp.p.Decl.Name.Value, 300))
	m.rect("plot", f.box(0, 0, length, width), "")
	m.drawHeadlands(mp)
	beds := m.beds(mp)
	mp.below = usuallyBelow(beds)
	for i := range mp.p.Paths {
		m.drawPath(mp, &mp.p.Paths[i])
	}
	for i := range beds {
		b := &beds[i]
		if !b.drawn {
			m.outside = append(m.outside, mp.p.Decl.Name.Value+", "+b.r.Name())
			continue
		}
		class := "row"
		if len(b.r.Plantings) == 0 {
			class = "row empty"
			m.shown.empty = true
		}
		m.rect(class, f.box(b.u0, b.v0, b.u1, b.v1), ` data-plot="`+escape(cut(mp.p.Decl.Name.Value, 300))+`" data-row="`+strconv.Itoa(b.r.Number)+`"`+at(b.r.Decl.Call))
		m.drawTapes(mp, b)
		m.drawTrellis(mp, b)
	}
	m.titlePlot(mp)
	m.markNarrowest(mp)
	m.close()

	// Names of rows first: they have but one place. Then the plantings, which can move, then what is free.
	for i := range beds {
		if beds[i].drawn {
			m.nameRow(mp, &beds[i])
		}
	}
	m.nameZones(mp, beds)
	for i := range beds {
		if beds[i].drawn {
			m.drawPlantings(mp, &beds[i])
		}
	}
	for i := range beds {
		if beds[i].drawn {
			m.nameFree(mp, &beds[i])
		}
	}
}

func (m *mapper) drawHeadlands(mp *mapPlot) {
	h, ok := meters(&mp.p.Decl.Headland)
	if !ok || h <= 0 || 2*h >= mp.length {
		return
	}
	k := m.layout.scale
	deep, length, width := h*k, mp.length*k, mp.width*k
	m.rect("headland", mp.frame.box(0, 0, deep, width), "")
	m.rect("headland", mp.frame.box(length-deep, 0, length, width), "")
	m.shown.headland = true

	// The name runs across the rows, at the far end, where no rows are.
	for _, r := range mp.p.Rows {
		if r.End > mp.length-h+1e-6 {
			return
		}
	}
	for _, text := range []string{"headland " + m.long(h), m.long(h)} {
		wide, high := textWidth(text, smallSize, false)+2*platePad, labelHeight(smallSize)
		if wide > width-4 || high > deep-4 {
			continue
		}
		u, v := length-deep/2, width/2
		b := mp.frame.box(u-high/2, v-wide/2, u+high/2, v+wide/2)
		if m.placer.try(b) {
			m.labels = append(m.labels, label{box: b, upward: !mp.frame.upright(), text: text, size: smallSize, class: "fine", plate: true})
		}
		return
	}
}

func (m *mapper) drawPath(mp *mapPlot, p *derive.Path) {
	u0, u1 := max(p.Left.Start, p.Right.Start), min(p.Left.End, p.Right.End)
	v0, v1 := max(p.Left.Right, 0), min(p.Right.Left, mp.width)
	u0, u1 = max(u0, 0), min(u1, mp.length)
	if u0 >= u1 || v0 >= v1 {
		return
	}
	k := m.layout.scale
	m.rect("path", mp.frame.box(u0*k, v0*k, u1*k, v1*k), "")
	m.shown.path = true
}

// markNarrowest measures the narrowest path at its far end, with its width beside the mark: in the path
// where that is wide enough on the page, else on the headland.
func (m *mapper) markNarrowest(mp *mapPlot) {
	if len(mp.p.Paths) == 0 {
		return
	}
	p := narrowest(mp.p)
	v0, v1 := p.Left.Right, p.Right.Left
	end := min(p.Left.End, p.Right.End, mp.length)
	if v0 < 0 || v1 > mp.width || v0 >= v1 || end <= 0 {
		return
	}
	k := m.layout.scale
	f := mp.frame
	text := pathText(m.facts.Farm.Units, p)
	wide, high := textWidth(text, smallSize, false), tightHeight(smallSize)
	u, v := end*k-7, (v0+v1)/2*k
	l := label{text: text, size: smallSize, class: "fine"}
	if (v1-v0)*k < high || !m.tryLabel(f, u-5-wide, v-high/2, u-5, v+high/2, l) {
		l.plate = true
		u += 12
		if u+5+wide > mp.length*k || !m.tryLabel(f, u+5, v-high/2, u+5+wide, v+high/2, l) {
			return
		}
	}
	data := ""
	for _, line := range [][4]float64{{u, v0 * k, u, v1 * k}, {u - 3, v0 * k, u + 3, v0 * k}, {u - 3, v1 * k, u + 3, v1 * k}} {
		x0, y0 := f.at(line[0], line[1])
		x1, y1 := f.at(line[2], line[3])
		data += "M" + px(x0) + " " + px(y0) + "L" + px(x1) + " " + px(y1)
	}
	m.path("mark", data)
}

// labelAir is kept free before and after a label.
const labelAir = 3.0

// tryLabel places a label that runs along the rows, given its corners in the plot.
func (m *mapper) tryLabel(f frame, u0, v0, u1, v1 float64, l label) bool {
	if !m.placer.try(f.box(u0-labelAir, v0, u1+labelAir, v1)) {
		return false
	}
	l.box, l.upward = f.box(u0, v0, u1, v1), f.upright()
	m.labels = append(m.labels, l)
	return true
}

func (m *mapper) nameRow(mp *mapPlot, b *bed) {
	text := rowName(b.r)
	wide, high := textWidth(text, textSize, true), labelHeight(textSize)
	v := (b.v0 + b.v1) / 2
	u := min(0, b.u0) - 6
	m.tryLabel(mp.frame, u-wide, v-high/2, u, v+high/2, label{text: text, size: textSize, class: "rowname"})
}

// nameFree says how much of a row stays free, where the words fit.
func (m *mapper) nameFree(mp *mapPlot, b *bed) {
	k := m.layout.scale
	for _, s := range b.r.Free {
		text := m.long(m.whole(s.To-s.From)) + " left"
		wide, high := textWidth(text, smallSize, false), smallSize // no higher than its row
		u0, u1 := max((b.r.Start+s.From)*k, b.u0), min((b.r.Start+s.To)*k, b.u1)
		if u1-u0 < wide+8 || b.v1-b.v0 < high {
			continue
		}
		u, v := (u0+u1)/2, (b.v0+b.v1)/2
		m.tryLabel(mp.frame, u-wide/2, v-high/2, u+wide/2, v+high/2, label{text: text, size: smallSize, class: "fine"})
	}
}

// titlePlot writes the plot's name above it, beside an arrow that points north.
func (m *mapper) titlePlot(mp *mapPlot) {
	plot := mp.frame.box(0, 0, mp.length*m.layout.scale, mp.width*m.layout.scale)
	x, y := plot.x, mp.outer.y
	m.drawNorth(x+20, y+20, mp.frame, mp.bearing())
	m.placer.take(box{x, y, arrowRoom, 40})
	room := max(mp.outer.x+mp.outer.w-x-arrowRoom, 40)
	name := fitText(mp.name, nameSize, true, room)
	details := mp.details
	if m.plot != nil { // which heads the page with the count of its plants
		name, details = "", strings.Replace(details, " · "+countOf(mp.p.Plants, "plant"), "", 1)
	}
	if textWidth(details, textSize, false) > room {
		size, _, _ := strings.Cut(details, " · ")
		details = fitText(size, textSize, false, room)
	}
	m.labels = append(m.labels,
		label{box: box{x + arrowRoom, y, textWidth(name, nameSize, true), 20}, text: name, size: nameSize, class: "plotname"},
		label{box: box{x + arrowRoom, y + 20, textWidth(details, textSize, false), 16}, text: details, size: textSize, class: "fine"})
	m.placer.take(m.labels[len(m.labels)-2].box)
	m.placer.take(m.labels[len(m.labels)-1].box)
}

// drawNorth draws an arrow about a center, 20 px each way, that points north where rows run at the
// bearing, with its letter at the point.
func (m *mapper) drawNorth(x, y float64, f frame, bearing float64) {
	dx, dy := f.north(bearing)
	at := func(along, aside float64) string {
		return px(x+dx*along-dy*aside) + " " + px(y+dy*along+dx*aside)
	}
	m.path("needle", "M"+at(9, 0)+"L"+at(-11, 5.5)+"L"+at(-7, 0)+"Z")
	m.path("mark", "M"+at(9, 0)+"L"+at(-11, -5.5)+"L"+at(-7, 0)+"Z")
	size := 11.0
	m.text("rowname", x+dx*15.5-textWidth("N", size, true)/2, y+dy*15.5+size*0.36, size, "N")
}

// whole rounds what is left down to whole inches or centimeters.
func (m *mapper) whole(meter float64) float64 {
	step := 0.0254
	if m.facts.Farm.Units == quantity.Metric {
		step = 0.01
	}
	return math.Floor(meter/step+1e-6) * step
}

// long prints a length as the farm's people would.
func (m *mapper) long(meter float64) string {
	if math.IsNaN(meter) {
		return dash
	}
	return m.facts.Farm.Units.Format(lengthCell(meter).q)
}
