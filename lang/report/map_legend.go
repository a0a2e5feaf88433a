package report

import (
	"math"
	"strconv"
	"strings"

	"haulm/stdlib/quantity"
)

const (
	headerRoom  = 112.0 // above the plots
	legendLine  = 19.0
	legendWide  = 285.0 // of a column
	signColumn  = 310.0 // for the signs
	longestNote = 1100.0
)

// drawHeader writes the farm's name and what there is, and the scale bar at the right.
func (m *mapper) drawHeader() {
	f := m.facts
	title := m.title()
	if m.plot == nil && f.Farm.Name.Value == "" {
		title = "T" + title[1:] // "The farm"
	}
	barRoom := 360.0
	room := m.layout.wide - 2*pageMargin - barRoom
	m.text("farm", pageMargin, 62, 30, fitText(title, 30, true, room))
	plants := 0
	for _, p := range f.Plots {
		plants += p.Plants
	}
	line := countOf(len(f.Rows), "row") + ", " + countOf(plants, "plant")
	if m.plot == nil {
		line = countOf(len(f.Plots), "plot") + ", " + line
	} else {
		line = m.farmTitle() + " · " + line
	}
	m.text("fine", pageMargin, 84, 13, line)
	if len(m.layout.plots) > 0 {
		m.drawScale()
	}
}

// drawScale draws a bar of a round length, in black and white parts.
func (m *mapper) drawScale() {
	unit := quantity.Unit{Symbol: "m", SI: 1}
	if m.facts.Farm.Units != quantity.Metric {
		unit, _ = quantity.UnitNamed("ft")
	}
	n, parts := roundLength(260 / (unit.SI * m.layout.scale))
	length := n * unit.SI * m.layout.scale
	x, y := m.layout.wide-pageMargin-length-24, 56.0
	m.WriteString(`<g class="scale" data-m="` + strconv.FormatFloat(n*unit.SI, 'f', -1, 64) + `">` + "\n")
	m.rect("bar", box{x, y, length, 7}, ` fill="`+paperColor+`"`)
	part := length / float64(parts)
	for i := 0; i < parts; i += 2 {
		m.rect("part", box{x + float64(i)*part, y, part, 7}, ` fill="`+inkColor+`"`)
	}
	m.close()
	marks := []float64{0, n}
	if parts%2 == 0 {
		marks = []float64{0, n / 2, n}
	}
	for _, at := range marks {
		text := decimal(at, 6)
		if at == n {
			text += " " + unit.Symbol
		}
		m.text("fine", x+at/n*length-textWidth(decimal(at, 6), textSize, false)/2, y+22, textSize, text)
	}
}

// roundLength gives the largest 1, 2 or 5 times a power of ten up to most, and in how many parts a bar of
// it is shown.
func roundLength(most float64) (n float64, parts int) {
	power := math.Pow(10, math.Floor(math.Log10(most)))
	switch lead := most / power; {
	case lead >= 5:
		return 5 * power, 5
	case lead >= 2:
		return 2 * power, 4
	}
	return power, 2
}

// drawFooter writes the legend, the key plan and the notes, and returns the page's height.
func (m *mapper) drawFooter(without []string) float64 {
	top := m.layout.bottom + 22
	m.path("rule", "M"+px(pageMargin)+" "+px(top)+"H"+px(m.layout.wide-pageMargin))
	top += 8
	bottom := top
	right := m.layout.wide - pageMargin - signColumn + 10
	columns := int((right - pageMargin) / legendWide)
	if m.keyPlan() {
		columns, right = 2, m.layout.wide-pageMargin-keyWide
		bottom = max(bottom, m.drawKeyPlan(right, top+8))
		right -= signColumn
	}
	if len(m.look.families) > 0 {
		bottom = max(bottom, m.drawCrops(top, columns))
	}
	bottom = max(bottom, m.drawSigns(right, top))
	for _, note := range m.notes(without) {
		for _, line := range wrapText(note, textSize, longestNote) {
			bottom += legendLine
			m.text("fine", pageMargin, bottom, textSize, line)
		}
	}
	return math.Ceil(bottom + pageMargin)
}

// drawCrops lists the crops by family in so many columns and returns the y below them.
func (m *mapper) drawCrops(top float64, columns int) float64 {
	lines := 0
	for _, f := range m.look.families {
		lines += 1 + len(f.crops)
	}
	perColumn := (lines + columns - 1) / columns
	column, line, gap, bottom := 0, 0, 0.0, top
	at := func() (x, y float64) {
		return pageMargin + float64(column)*legendWide, top + float64(line+1)*legendLine + gap
	}
	step := func() {
		line++
		_, y := at()
		bottom = max(bottom, y)
	}
	for _, f := range m.look.families {
		// A family's name does not stand alone at a column's foot.
		if line > 0 && line+2 > perColumn && column < columns-1 {
			column, line, gap = column+1, 0, 0
		} else if line > 0 {
			gap += 6
		}
		x, y := at()
		m.rect("band sign", box{x, y - 11, 30, 13}, ` fill="`+f.fill+`" stroke="`+f.color+`"`)
		m.WriteString(`<g fill="` + f.color + `">` + "\n")
		m.circle("sample", x+41, y-4.5, 4)
		m.close()
		name := f.name
		if name == "" {
			name = "family not known"
		}
		m.text("family", x+52, y, 13, fitText(name, 13, false, legendWide-64))
		step()
		for _, c := range f.crops {
			if line >= perColumn && column < columns-1 {
				column, line, gap = column+1, 0, 0
			}
			x, y := at()
			text := countOf(c.plants, "plant")
			room := legendWide - 64 - textWidth(" · "+text, textSize, false)
			m.words("crop", x, y, textSize, false, c.code, "")
			m.text("crop", x+52, y, textSize, fitText(c.name, textSize, false, room)+" · "+text)
			step()
		}
	}
	return bottom
}

// drawSigns explains the signs that the map uses and returns the y below.
func (m *mapper) drawSigns(x, y float64) float64 {
	sign := func(draw func(b box), text string) {
		for i, line := range wrapText(text, textSize, signColumn-58) {
			y += legendLine
			if i == 0 {
				draw(box{x, y - 11, 30, 13})
			} else {
				y -= 4
			}
			m.text("fine", x+42, y, textSize, line)
		}
	}
	dot := func(b box, r float64, more string) {
		m.WriteString("<g" + more + ">\n")
		m.circle("sample", b.x+15, b.y+6.5, r)
		m.close()
	}
	if m.shown.dot {
		sign(func(b box) { dot(b, 3.6, "") }, "a plant at its true place")
	}
	if m.shown.ring {
		sign(func(b box) {
			dot(b, 3, "")
			dot(b, 5.4, ` fill="none" stroke="`+inkColor+`" stroke-width="1.3"`)
		}, "ring: a plant of a crop that takes its turn there later")
	}
	if m.shown.band {
		sign(func(b box) {
			m.rect("band sign", b, ` fill="none" stroke="`+inkColor+`"`)
			m.path("mark", "M"+px(b.x+4)+" "+px(b.y+9.5)+"l6 -6m4 6l6 -6m4 6l6 -6")
		}, "plants too close to draw; the label says how many")
	}
	if m.shown.path {
		sign(func(b box) { m.rect("path sign", b, ` stroke="`+paleInk+`" stroke-width=".6"`) }, "path")
	}
	if m.shown.headland {
		sign(func(b box) {
			m.rect("plot sign", b, "")
			m.rect("headland sign", b, "")
		}, "headland")
	}
	if len(m.facts.Rows) > 0 {
		sign(func(b box) { m.rect("row sign", b, "") }, "row; the head is at its number or name")
	}
	if m.shown.tape {
		sign(func(b box) { m.path("tape", "M"+px(b.x)+" "+px(b.y+6.5)+"h30") }, "drip tape")
	}
	if m.shown.trellis {
		sign(func(b box) { m.trellisLine(b.x, b.y+6.5, b.x+30, b.y+6.5) }, "trellis")
	}
	if m.shown.zone {
		sign(func(b box) { m.path("zone", "M"+px(b.x+15)+" "+px(b.y)+"v13m0 0h5m-5 -13h5") }, "rows behind one valve, with the zone's name")
	}
	if m.shown.empty {
		sign(func(b box) { m.rect("row empty sign", b, "") }, "row with nothing planted")
	}
	return y
}

// notes say what the map cannot show.
func (m *mapper) notes(without []string) []string {
	notes := m.layout.notes
	if len(without) > 0 {
		notes = append(notes, "Not drawn, for want of a size: "+list(without)+".")
	}
	if len(m.outside) > 0 {
		notes = append(notes, "Not drawn, because they have no length within their plot: "+list(m.outside)+".")
	}
	if m.nowhere > 0 {
		notes = append(notes, countOf(m.nowhere, "planting")+" without a place: spacing or number is not known.")
	}
	if m.unlabelled > 0 {
		notes = append(notes, countOf(m.unlabelled, "planting")+" too small here to be labelled; the table of plantings lists them.")
	}
	return notes
}

// list joins names for a sentence, the first six of them.
func list(names []string) string {
	short := make([]string, 0, 6)
	for _, name := range names[:min(len(names), 6)] {
		short = append(short, cut(name, 40))
	}
	text := strings.Join(short, "; ")
	if more := len(names) - 6; more > 0 {
		text += " and " + strconv.Itoa(more) + " more"
	}
	return text
}

// wrapText breaks a text at spaces into lines no wider than so many px; a longer word stands alone.
func wrapText(text string, size, room float64) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		longer := word
		if line != "" {
			longer = line + " " + word
		}
		if line != "" && textWidth(longer, size, false) > room {
			lines = append(lines, line)
			longer = word
		}
		line = longer
	}
	return append(lines, line)
}
