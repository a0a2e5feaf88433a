package report_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/report"
)

// picture is what a map holds, read back from its SVG.
type picture struct {
	source        string
	width, height float64
	plots         []rect
	rows          []rect
	headlands     []rect
	paths         []rect
	bands         []rect
	labels        []words
	plantings     []drawn // in the order of the file
	barPx, barM   float64
	single        bool // of one plot
}

type rect struct{ x0, y0, x1, y1 float64 }

// drawn is the group of one planting.
type drawn struct {
	tip   string
	dots  []point
	later bool // rings
	band  bool
}

type point struct{ x, y float64 }

// words is a line of text and the room it takes.
type words struct {
	text string
	size float64
	rect rect
}

// slack is what rounding to two decimals may cost, px.
const slack = 0.0151

func (r rect) holds(s rect) bool {
	return s.x0 >= r.x0-slack && s.y0 >= r.y0-slack && s.x1 <= r.x1+slack && s.y1 <= r.y1+slack
}

func (r rect) meets(s rect) bool {
	return r.x0 < s.x1-slack && s.x0 < r.x1-slack && r.y0 < s.y1-slack && s.y0 < r.y1-slack
}

func drawMap(t require.TestingT, facts *derive.Facts) *picture {
	var b bytes.Buffer
	require.NoError(t, report.MapSVG(facts, &b))
	return readMap(t, b.String())
}

// readMap reads a map and holds that it is SVG without anything from outside or anything that runs.
func readMap(t require.TestingT, source string) *picture {
	require.True(t, utf8.ValidString(source))
	p := &picture{source: source}
	d := xml.NewDecoder(strings.NewReader(source))
	d.Strict = true
	var groups []string // classes of the groups we are in
	var title, line bool
	for {
		token, err := d.Token()
		if err == io.EOF {
			return p
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			known := []string{"svg", "title", "style", "defs", "pattern", "g", "rect", "circle", "path", "text", "tspan"}
			require.Contains(t, known, e.Name.Local)
			for _, a := range e.Attr {
				require.NotContains(t, []string{"href", "src", "style"}, a.Name.Local)
				require.False(t, strings.HasPrefix(a.Name.Local, "on"), a.Name.Local)
				if strings.Contains(a.Value, "url(") {
					require.Regexp(t, `^url\(#f\d+\)$`, a.Value)
				}
			}
			p.start(t, e, groups)
			title, line = e.Name.Local == "title", line || e.Name.Local == "text"
			if e.Name.Local == "g" {
				groups = append(groups, attr(e, "class"))
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "g":
				groups = groups[:len(groups)-1]
			case "text":
				line = false
				p.labels[len(p.labels)-1].measure()
			case "title":
				title = false
			}
		case xml.CharData:
			switch {
			case title && slices.Contains(groups, "planting"):
				p.plantings[len(p.plantings)-1].tip += string(e)
			case line:
				p.labels[len(p.labels)-1].text += string(e)
			}
		}
	}
}

func (p *picture) start(t require.TestingT, e xml.StartElement, groups []string) {
	number := func(name string) float64 {
		v, err := strconv.ParseFloat(attr(e, name), 64)
		require.NoError(t, err, "%s of %s", name, e.Name.Local)
		return v
	}
	class := strings.Fields(attr(e, "class"))
	switch e.Name.Local {
	case "svg":
		p.width, p.height = number("width"), number("height")
		require.Equal(t, "0 0 "+attr(e, "width")+" "+attr(e, "height"), attr(e, "viewBox"))
	case "g":
		if slices.Contains(class, "planting") {
			p.plantings = append(p.plantings, drawn{})
		}
		if slices.Contains(class, "scale") {
			p.barM = number("data-m")
		}
	case "circle":
		require.Greater(t, number("r"), 0.0)
		if slices.Contains(class, "plant") {
			g := &p.plantings[len(p.plantings)-1]
			g.dots = append(g.dots, point{number("cx"), number("cy")})
			g.later = slices.Contains(class, "later")
		}
	case "path":
		if slices.Contains(class, "plant") {
			require.Greater(t, number("stroke-width"), 0.0)
			g := &p.plantings[len(p.plantings)-1]
			for at := range strings.SplitSeq(strings.TrimPrefix(attr(e, "d"), "M"), "M") {
				var dot point
				_, err := fmt.Sscanf(at, "%g %gh0", &dot.x, &dot.y)
				require.NoError(t, err, at)
				g.dots = append(g.dots, dot)
			}
		}
	case "rect":
		if len(class) == 0 {
			return // of a pattern
		}
		r := rect{number("x"), number("y"), 0, 0}
		r.x1, r.y1 = r.x0+number("width"), r.y0+number("height")
		list := map[string]*[]rect{"plot": &p.plots, "row": &p.rows, "headland": &p.headlands, "path": &p.paths, "band": &p.bands}[class[0]]
		switch {
		case slices.Contains(class, "sign"):
		case class[0] == "bar":
			p.barPx = r.x1 - r.x0
		case list != nil:
			*list = append(*list, r)
		}
		if class[0] == "band" && len(groups) > 0 {
			p.plantings[len(p.plantings)-1].band = true
		}
	case "text":
		w := words{size: number("font-size"), rect: rect{x0: number("x"), y0: number("y")}}
		// The rest of the box follows when the text is known.
		w.rect.x1 = map[bool]float64{true: 1, false: 0}[attr(e, "transform") != ""]
		w.rect.y1 = map[bool]float64{true: 1, false: 0}[slices.Contains(class, "middle")]
		p.labels = append(p.labels, w)
	}
}

// advances of the characters from space to tilde in thousandths of the size, and of what else the map writes,
// read from DejaVu Sans 2.37, the widest of the fonts that the map asks for.
var advances = [...]float64{
	318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636,
	636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632,
	575, 775, 752, 295, 295, 656, 557, 863, 748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685,
	611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579,
	278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
}

func advance(r rune) float64 {
	switch {
	case r >= ' ' && r <= '~':
		return advances[r-' '] / 1000
	case r == '·':
		return 0.318
	case r == '–':
		return 0.5
	case r < 0x2000:
		return 0.6
	}
	return 1
}

// measure sets the box of a line; the body of the letters is 0.95 of its size high.
func (w *words) measure() {
	upward, middle := w.rect.x1 == 1, w.rect.y1 == 1
	x, y := w.rect.x0, w.rect.y0
	long, high := 0.0, 0.95*w.size
	for _, r := range w.text {
		long += advance(r) * w.size
	}
	if upward {
		if middle {
			y += long / 2
		}
		w.rect = rect{x - 0.75*high, y - long, x + 0.25*high, y}
		return
	}
	if middle {
		x -= long / 2
	}
	w.rect = rect{x, y - 0.75*high, x + long, y + 0.25*high}
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}
