package report

import (
	"math"
	"slices"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// The page, in px: text of 11 px and more is readable when the map is shown as wide as it is.
const (
	farmWidth  = 1280.0
	plotWidth  = 1000.0 // of the map of one plot, which is printed on a sheet of its own
	pageMargin = 36.0
	plotGap    = 30.0 // between the outer boxes of neighbouring plots
	titleRoom  = 46.0 // above each plot, for its arrow and name
	arrowRoom  = 46.0 // of that, left of the name
	edgeRoom   = 14.0 // about each plot, for rows that run out of it
	textSize   = 12.0
	smallSize  = 11.0
	nameSize   = 15.0
)

// Bounds of the scale, px per meter. A map taller than tallPage page widths is drawn smaller until
// half of its rows would be less than rowPitch apart.
const (
	largestScale = 120.0
	tallPage     = 1.1
	tallPlot     = 1700.0
	rowPitch     = 34.0
	mostTrue     = 400 // plots at their true places
	mostCaption  = 290.0
	fewTight     = 2     // one row in so many must need it
	shortTitle   = 130.0 // to which a plot's name may be cut there, px
)

// mapPlot is a plot on the page.
type mapPlot struct {
	p             *derive.Plot
	length, width float64 // m
	name, details string
	head, tail    float64 // px kept free beyond the rows' head and end, for labels
	caption       float64 // of the tail, for names of plantings
	title         float64 // least width of the title
	frame         frame
	outer         box  // plot and labels
	below         bool // labels of plantings stand below their rows
}

// layout is the scale and every plot's place on the page.
type layout struct {
	wide   float64 // of the page
	scale  float64 // px per meter
	plots  []*mapPlot
	turn   float64 // compass bearing of the page's right, where plots lie at their true places
	placed bool    // plots lie at their true places
	bottom float64 // y
	notes  []string
}

// mapPlots gives the plots that can be drawn, and the names of those that cannot.
func mapPlots(facts *derive.Facts) (plots []*mapPlot, without []string) {
	for _, p := range facts.Plots {
		l, okL := meters(&p.Decl.Length)
		w, okW := meters(&p.Decl.Width)
		// Beyond a tenth of the earth's girth, or below a thumb's width, it is a slip of the plan.
		if !okL || !okW || min(l, w) < 0.01 || max(l, w) > 4e6 {
			without = append(without, p.Decl.Name.Value)
			continue
		}
		m := &mapPlot{p: p, length: l, width: w, head: edgeRoom, tail: edgeRoom}
		m.describe(facts)
		plots = append(plots, m)
	}
	return plots, without
}

// describe sets the plot's title and the room that its labels need.
func (m *mapPlot) describe(facts *derive.Facts) {
	units := facts.Farm.Units
	m.name = cut(m.p.Decl.Name.Value, 40)
	m.details = plotSize(units, m.length, m.width)
	if s := m.p.Decl.Soil; s != nil && s.Texture.Value != "" {
		m.details += " · " + cut(s.Texture.Value, 20)
	}
	m.details += " · " + countOf(m.p.Plants, "plant")
	if b := m.p.Decl.Bearing; b.Given && !math.IsNaN(b.Value) && !math.IsInf(b.Value, 0) {
		m.details += " · rows run " + compass(b.Value)
	}
	m.title = m.fullTitle()
	for _, r := range m.p.Rows {
		m.head = max(m.head, edgeRoom+textWidth(rowName(r), textSize, true)+4)
	}
	if slices.ContainsFunc(m.p.Rows, zoned) {
		m.head += zoneRoom
	}
}

func (m *mapPlot) fullTitle() float64 {
	return arrowRoom + max(textWidth(m.name, nameSize, true), textWidth(m.details, textSize, false))
}

func rowName(r *derive.Row) string { return cut(rowLabel(r), 14) }

func pathText(units quantity.System, p *derive.Path) string {
	return units.Short(quantity.Meters(p.Width)) + " path"
}

// compass names a bearing: "north-east" within half a degree of it, else "12° from north".
func compass(degrees float64) string {
	d := math.Mod(degrees, 360)
	if d < 0 {
		d += 360
	}
	names := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west", "north"}
	near := int(math.Round(d / 45))
	if math.Abs(d-float64(near)*45) <= 0.5 {
		return names[near]
	}
	return decimal(d, 1) + "° from north"
}

func (m *mapPlot) bearing() float64 {
	if b := m.p.Decl.Bearing.Value; !math.IsNaN(b) && !math.IsInf(b, 0) {
		return b
	}
	return 0
}

// size gives the outer box's width and height at a scale and a turn, and the plot's own first corner
// from the outer box's.
func (m *mapPlot) size(scale float64, quarter int) (w, h, left, top float64) {
	length, width := m.length*scale, m.width*scale
	switch quarter {
	case 0:
		w, left = m.head+length+m.tail, m.head
	case 2:
		w, left = m.head+length+m.tail, m.tail
	default:
		w, left = edgeRoom+width+edgeRoom, edgeRoom
	}
	switch quarter {
	case 1:
		h, top = titleRoom+m.head+length+m.tail, titleRoom+m.head
	case 3:
		h, top = titleRoom+m.tail+length+m.head, titleRoom+m.tail
	default:
		h, top = titleRoom+edgeRoom+width+edgeRoom, titleRoom+edgeRoom
	}
	return max(w, left+m.title), h, left, top
}

// put gives the plot its place: left and top are the page's corner of the plot itself.
func (m *mapPlot) put(scale, left, top float64, quarter int) {
	length, width := m.length*scale, m.width*scale
	f := frame{left, top, quarter}
	switch quarter {
	case 1:
		f.x += width
	case 2:
		f.x += length
		f.y += width
	case 3:
		f.y += length
	}
	m.frame = f
	w, h, dx, dy := m.size(scale, quarter)
	m.outer = box{left - dx, top - dy, w, h}
}

// lay puts the plots on the page from y top downward, at their true places when the plan gives them
// and they can be read there.
func lay(plots []*mapPlot, wide, top float64) *layout {
	l := &layout{wide: wide, plots: plots, bottom: top}
	if len(plots) == 0 {
		return l
	}
	head := 0.0 // the same for all, so that plots below one another line up
	for _, m := range plots {
		head = max(head, m.head)
	}
	for _, m := range plots {
		m.head = head
	}
	neat := l.shelfScale(plots)
	var located, others []*mapPlot
	for _, m := range plots {
		if m.located() {
			located = append(located, m)
		} else {
			others = append(others, m)
		}
	}
	if len(located) > 1 && len(located) <= mostTrue {
		for _, m := range located {
			m.title = arrowRoom + min(textWidth(m.name, nameSize, true), shortTitle)
		}
		if l.layTrue(located, top, neat) {
			l.bottom = l.layShelves(others, l.scale, l.bottom+plotGap)
			return l
		}
		for _, m := range located {
			m.title = m.fullTitle()
		}
		l.notes = append(l.notes, "Plots are laid out to be read; the key plan shows where they lie.")
	}
	for _, m := range plots {
		m.caption = m.captionRoom(neat)
		m.tail += m.caption
	}
	l.scale = l.shelfScale(plots)
	for _, m := range plots { // some may not need it at this scale
		m.tail -= m.caption
		m.caption = m.captionRoom(l.scale)
		m.tail += m.caption
	}
	if !slices.ContainsFunc(plots, func(m *mapPlot) bool { return m.caption > 0 }) {
		l.scale = neat // so they need not be drawn smaller for it
	}
	l.bottom = l.layShelves(plots, l.scale, top)
	return l
}

// captionRoom gives the room to keep after the rows' ends, where plants of many rows can be drawn one by
// one but the paths are too narrow to name them beside the row: 0 where most rows have room, or too little
// height for a line of their own.
func (m *mapPlot) captionRoom(scale float64) float64 {
	high := tightHeight(smallSize)
	tight := 0
	for i, r := range m.p.Rows {
		if i == 0 {
			continue // the plot's side is before it
		}
		before := m.p.Rows[i-1]
		path := (r.Left - before.Right) * scale
		for _, side := range []*derive.Row{before, r} {
			if !side.Decl.BedWidth.Given {
				path -= leastHem
			}
		}
		switch {
		case (r.Center-before.Center)*scale < high:
			return 0
		case path < high+0.5 && dotted(r, scale):
			tight++
		}
	}
	if tight == 0 || tight*fewTight < len(m.p.Rows) {
		return 0
	}
	return mostCaption
}

// dotted tells whether plants of the row can be drawn one by one.
func dotted(r *derive.Row, scale float64) bool {
	if len(r.Lines) > 1 && (r.Lines[1]-r.Lines[0])*scale < closestDot {
		return false
	}
	return slices.ContainsFunc(r.Plantings, func(p *derive.Planting) bool {
		return p.Placed() && p.Spacing*scale >= closestDot
	})
}

// located tells whether the plan says where the plot lies on the farm.
func (m *mapPlot) located() bool {
	_, east := meters(&m.p.Decl.East)
	_, north := meters(&m.p.Decl.North)
	return east || north
}

// shelfScale gives the largest scale at which every plot fits the page's width and the whole is not
// too tall for it; rows that can be read go before that.
func (l *layout) shelfScale(plots []*mapPlot) float64 {
	scale := l.widest(plots)
	var pitches []float64
	for _, m := range plots {
		for i := 1; i < len(m.p.Rows); i++ {
			pitches = append(pitches, m.p.Rows[i].Center-m.p.Rows[i-1].Center)
		}
	}
	slices.Sort(pitches)
	least := 0.0
	if n := len(pitches); n > 0 && pitches[n/2] > 0 {
		least = rowPitch / pitches[n/2]
	}
	for range 200 {
		next := scale * 0.96
		if next < least || l.layShelves(plots, scale, 0) <= tallPage*l.wide {
			break
		}
		scale = next
	}
	// A little smaller, plots may stand side by side that stood below one another.
	high := l.layShelves(plots, scale, 0)
	for smaller := scale; smaller > 0.82*scale; smaller *= 0.98 {
		if l.layShelves(plots, smaller, 0) < 0.8*high {
			return smaller
		}
	}
	return scale
}

// widest gives the largest scale at which each plot alone fits the page.
func (l *layout) widest(plots []*mapPlot) float64 {
	scale := largestScale
	for _, m := range plots {
		scale = min(scale, (l.wide-2*pageMargin-m.head-m.tail)/m.length, tallPlot/m.width)
	}
	return scale
}

// layShelves puts the plots in lines, rows to the right, and returns the y below them.
func (l *layout) layShelves(plots []*mapPlot, scale, top float64) float64 {
	x, y, tall := pageMargin, top, 0.0
	for _, m := range plots {
		w, h, left, above := m.size(scale, 0)
		if x > pageMargin && x+w > l.wide-pageMargin {
			x, y, tall = pageMargin, y+tall+plotGap, 0
		}
		m.put(scale, x+left, y+above, 0)
		x += w + plotGap
		tall = max(tall, h)
	}
	return y + tall
}

// layTrue puts the plots where they lie, the page turned so that most rows run to the right. It does
// not when they would overlap there, or be drawn less than half as large as side by side.
func (l *layout) layTrue(plots []*mapPlot, top, neat float64) bool {
	l.turn = commonBearing(plots)
	for scale := l.widest(plots); scale >= neat/2; scale *= 0.97 {
		all := truePlaces(plots, l.turn, scale)
		if all.w > l.wide-2*pageMargin || all.h > 1.7*l.wide {
			continue
		}
		for i, m := range plots {
			for _, n := range plots[:i] {
				if m.outer.overlaps(n.outer) {
					return false // and would the more at a smaller scale
				}
			}
		}
		left := (l.wide-all.w)/2 - all.x
		for _, m := range plots {
			m.frame.x += left
			m.outer.x += left
			m.frame.y += top - all.y
			m.outer.y += top - all.y
		}
		l.scale, l.placed, l.bottom = scale, true, top+all.h
		return true
	}
	return false
}

// commonBearing gives the bearing of the rows on most ground, either way along them; the first of equals.
func commonBearing(plots []*mapPlot) float64 {
	best, most := 0.0, 0.0
	for _, m := range plots {
		area := 0.0
		for _, n := range plots {
			if math.Mod(math.Abs(n.bearing()-m.bearing()), 180) < 1e-6 {
				area += n.length * n.width
			}
		}
		if area > most {
			best, most = m.bearing(), area
		}
	}
	return best
}

// truePlaces puts the plots where they lie about the farm's corner and returns the box about all.
func truePlaces(plots []*mapPlot, turn, scale float64) box {
	sin, cos := math.Sincos(turn * math.Pi / 180)
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, m := range plots {
		east, _ := meters(&m.p.Decl.East)
		north, _ := meters(&m.p.Decl.North)
		quarter := quarterOf(m.bearing() - turn)
		// The first corner on the page; put wants the upper left one.
		x, y := scale*(east*sin+north*cos), scale*(east*cos-north*sin)
		b := frame{x, y, quarter}.box(0, 0, m.length*scale, m.width*scale)
		m.put(scale, b.x, b.y, quarter)
		x0, y0 = min(x0, m.outer.x), min(y0, m.outer.y)
		x1, y1 = max(x1, m.outer.x+m.outer.w), max(y1, m.outer.y+m.outer.h)
	}
	return box{x0, y0, x1 - x0, y1 - y0}
}
