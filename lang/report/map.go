package report

import (
	"io"
	"strconv"

	"haulm/lang/derive"
)

// MapSVG draws the farm to scale as SVG 1.1 without outside resources: every plot with its rows, paths,
// headlands and plants. Plots stand at their places on the farm when the plan gives them and they can be
// read there, else side by side with a key plan; rows run across the page, and each plot has its own arrow
// to the north. Where plants would stand too close on the page to be told apart, or there is no room to
// say what they are, a band says how many there are. Crops that share a place in turn are both drawn:
// dots in rings, or bands side by side.
//
// Each planting says its number and the line of the plan that declares it (data-planting, data-file,
// data-line), each row its plot, number and line.
func MapSVG(facts *derive.Facts, w io.Writer) error {
	if facts == nil || facts.Farm == nil {
		facts = derive.Derive(nil)
	}
	m := &mapper{facts: facts, look: newLook(facts)}
	_, err := w.Write(m.draw(farmWidth))
	return err
}

// PlotSVG draws one plot of the farm as MapSVG does, as large as a sheet of paper has room for and with the
// colours and letters that crops have on the farm's map. Where link gives an address for a planting, what
// is drawn of the planting leads there.
func PlotSVG(facts *derive.Facts, p *derive.Plot, link func(*derive.Planting) string, w io.Writer) error {
	one := &derive.Facts{Farm: facts.Farm, Seasons: facts.Seasons, Plots: []*derive.Plot{p}, Rows: p.Rows, Water: facts.Water}
	for _, r := range p.Rows {
		one.Plantings = append(one.Plantings, r.Plantings...)
	}
	m := &mapper{facts: one, look: newLook(facts).only(one.Plantings), plot: p, link: link}
	_, err := w.Write(m.draw(plotWidth))
	return err
}

// mapper draws one map.
type mapper struct {
	drawing
	facts    *derive.Facts
	plot     *derive.Plot                  // nil for a map of the farm
	link     func(*derive.Planting) string // nil for none
	look     *look
	marks    map[any]mark // of what changed, by its derive.Plot, Row or Planting; see map_mark.go
	bare     bool         // its styles and patterns stand elsewhere on the page
	layout   *layout
	placer   placer
	labels   []label
	leastDot float64 // px between plants from which they are drawn one by one

	shown      shown
	unlabelled int      // plantings
	outside    []string // rows that cannot be drawn
	nowhere    int      // plantings without a place
}

// shown tells which signs the map uses, for the legend.
type shown struct{ dot, ring, band, headland, path, empty, tape, zone, trellis bool }

func (m *mapper) draw(wide float64) []byte {
	plots, without := mapPlots(m.facts)
	m.layout = lay(plots, wide, headerRoom)
	m.leastDot = m.readableDot()

	var body drawing // the page's height is known only when all is drawn
	m.drawHeader()
	for _, p := range plots {
		m.drawPlot(p)
	}
	if len(m.facts.Plots) == 0 {
		m.text("fine", pageMargin, m.layout.bottom+textSize, textSize, "The plan has no plots yet.")
		m.layout.bottom += 2 * textSize
	}
	for i := range m.labels {
		m.label(&m.labels[i])
	}
	m.drawMarks(plots)
	height := m.drawFooter(without)
	body, m.drawing = m.drawing, drawing{}

	size := box{0, 0, wide, height}
	role := "img"
	if m.link != nil {
		role = "group" // an image would hide its links
	}
	m.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" class="map" width="` + px(size.w) + `" height="` + px(size.h) +
		`" viewBox="0 0 ` + px(size.w) + " " + px(size.h) + `" role="` + role + `" aria-label="` + escape("Map of "+m.title()) + `">` + "\n")
	if !m.bare {
		m.writeDefs(m.look)
	}
	m.rect("page", size, "")
	m.rect("frame", size.grown(-12), ` rx="3"`)
	m.Write(body.Bytes())
	m.WriteString("</svg>\n")
	return m.Bytes()
}

// title gives "Ferry Bank, 2027", or the name of the one plot.
func (m *mapper) title() string {
	if m.plot != nil {
		return cut(m.plot.Decl.Name.Value, 60)
	}
	return m.farmTitle()
}

func (m *mapper) farmTitle() string {
	name := cut(m.facts.Farm.Name.Value, 60)
	if name == "" {
		name = "the farm"
	}
	if y := m.facts.Farm.Year.Value; y != 0 {
		name += ", " + strconv.Itoa(y)
	}
	return name
}

// Plants are drawn one by one from so many px apart, and no more than so many in all.
const (
	closestDot = 4.0
	mostDots   = 20000
)

// readableDot gives the least distance on the page at which plants are drawn one by one, wider where a
// map would have too many of them to be opened with ease.
func (m *mapper) readableDot() float64 {
	for least := closestDot; ; least *= 1.5 {
		dots := 0
		for _, p := range m.facts.Plantings {
			if p.Spacing*m.layout.scale >= least && dots <= mostDots {
				dots += min(p.Plants, mostDots+1)
			}
		}
		if dots <= mostDots {
			return least
		}
	}
}

// countOf gives "1 plant", "30 plants".
func countOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}
