package report

import (
	"strconv"

	"haulm/lang/derive"
	"haulm/lang/source"
)

// at tells which line of the plan something came from, as attributes of SVG.
func at(s source.Span) string {
	if !s.IsValid() {
		return ""
	}
	return ` data-file="` + escape(s.File.Path) + `" data-line="` + strconv.Itoa(int(s.Start.Line)) + `"`
}

// drawTapes draws the tapes of a row, evenly across it, as long as they are laid.
func (m *mapper) drawTapes(mp *mapPlot, b *bed) {
	w := b.r.Water
	if w == nil || w.Zone == nil || w.Tapes < 1 {
		return
	}
	k := m.layout.scale
	long := b.r.Length
	if w.Unsolved == "" {
		long = w.Cut.Laid
	}
	u0, u1 := max((b.r.Start)*k, b.u0), min((b.r.Start+long)*k, b.u1)
	if (b.v1-b.v0)/float64(w.Tapes) < leastHem || u1 <= u0 {
		return
	}
	data := ""
	for i := range w.Tapes {
		v := b.v0 + (float64(i)+0.5)/float64(w.Tapes)*(b.v1-b.v0)
		x0, y0 := mp.frame.at(u0, v)
		x1, y1 := mp.frame.at(u1, v)
		data += "M" + px(x0) + " " + px(y0) + "L" + px(x1) + " " + px(y1)
	}
	m.path("tape", data)
	m.shown.tape = true
}

// drawTrellis draws the trellis of a row along its first edge, so that plants and tape stay clear of it.
func (m *mapper) drawTrellis(mp *mapPlot, b *bed) {
	if b.r.Decl.Trellis == nil {
		return
	}
	x0, y0 := mp.frame.at(b.u0, b.v0)
	x1, y1 := mp.frame.at(b.u1, b.v0)
	m.trellisLine(x0, y0, x1, y1)
	m.shown.trellis = true
}

// trellisLine draws a line with a post at either end.
func (m *mapper) trellisLine(x0, y0, x1, y1 float64) {
	m.path("trellis", "M"+px(x0)+" "+px(y0)+"L"+px(x1)+" "+px(y1))
	for _, p := range [2][2]float64{{x0, y0}, {x1, y1}} {
		m.rect("post", box{p[0] - 2.5, p[1] - 2.5, 5, 5}, "")
	}
}

// Room for the names of zones beyond those of the rows, and of it the part left of the bracket, px.
const (
	zoneRoom   = 22.0
	zoneMargin = 20.0
)

func zoned(r *derive.Row) bool { return r.Decl.Zone != nil && r.Decl.Zone.Name.Value != "" }

// nameZones brackets rows next to each other that hang on one valve, with the zone's name.
func (m *mapper) nameZones(mp *mapPlot, beds []bed) {
	for from := 0; from < len(beds); {
		to := from + 1
		z := beds[from].r.Decl.Zone
		for to < len(beds) && beds[to].r.Decl.Zone == z {
			to++
		}
		if z != nil {
			m.nameZone(mp, beds[from:to], z.Name.Value)
		}
		from = to
	}
}

func (m *mapper) nameZone(mp *mapPlot, beds []bed, name string) {
	v0, v1 := beds[0].v0, beds[0].v1
	for i := range beds {
		if !beds[i].drawn {
			return
		}
		v0, v1 = min(v0, beds[i].v0), max(v1, beds[i].v1)
	}
	u := zoneMargin - mp.head
	high := labelHeight(smallSize)
	text := fitText("zone "+name, smallSize, false, v1-v0)
	if text != "zone "+name {
		text = fitText(name, smallSize, false, v1-v0)
	}
	wide := textWidth(text, smallSize, false)
	middle := (v0 + v1) / 2
	b := mp.frame.box(u-4-high, middle-wide/2, u-4, middle+wide/2)
	if text != "" && m.placer.try(b) {
		m.labels = append(m.labels, label{box: b, upward: !mp.frame.upright(), text: text, size: smallSize, class: "fine"})
	}
	data := ""
	for i, p := range [4][2]float64{{u + 5, v0}, {u, v0}, {u, v1}, {u + 5, v1}} {
		x, y := mp.frame.at(p[0], p[1])
		data += []string{"M", "L", "L", "L"}[i] + px(x) + " " + px(y)
	}
	m.path("zone", data)
	m.shown.zone = true
}
