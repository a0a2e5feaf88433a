package report

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// The page of charts, in px.
const (
	chartWidth  = 960
	chartLeft   = 90
	chartRight  = 30
	chartHeight = 200
	chartTop    = 110
	chartGap    = 90
	smallHeight = 130 // of charts that stand two side by side
	smallGap    = 84
)

// Charts is a page of charts, one below the other.
type Charts struct {
	body  drawing
	title string
	units quantity.System
	y     float64
	cuts  []chartCut // where a sheet of paper may end

	left, right, high float64 // of the next chart: its axes' ends across the page, its height
}

// newCharts begins a page of charts on a subject.
func newCharts(facts *derive.Facts, subject string) *Charts {
	c := &Charts{y: chartTop, title: subject, left: chartLeft, right: chartWidth - chartRight, high: chartHeight}
	if facts != nil && facts.Farm != nil {
		c.units = facts.Farm.Units
		if name := facts.Farm.Name.Value; name != "" {
			c.title = cut(name, 60) + ": " + subject
		}
		c.body.text("title", chartLeft, 40, 22, c.title)
	}
	return c
}

// chartCut is a place between charts: y on the page, and how much of the body is drawn above it.
type chartCut struct {
	y  float64
	at int
}

// sheetHeight is how much of a page of charts a sheet of paper holds in letters that can be read, px.
const sheetHeight = 1200

// WriteSVG writes the whole page as one drawing.
func (c *Charts) WriteSVG(w io.Writer) error {
	return c.write(w, chartCut{}, chartCut{c.y, c.body.Len()})
}

// Sheets gives on how many sheets of paper the page fits.
func (c *Charts) Sheets() int { return len(c.cuts) + 1 }

// WriteSheet writes the part of the page that fits on one sheet of paper, counted from 0.
func (c *Charts) WriteSheet(i int, w io.Writer) error {
	from, to := chartCut{}, chartCut{c.y, c.body.Len()}
	if i > 0 {
		from = c.cuts[i-1]
	}
	if i < len(c.cuts) {
		to = c.cuts[i]
	}
	return c.write(w, from, to)
}

func (c *Charts) write(w io.Writer, from, to chartCut) error {
	wide, y, high := strconv.Itoa(chartWidth), px(from.y), px(to.y-from.y)
	head := `<svg xmlns="http://www.w3.org/2000/svg" class="chart" viewBox="0 ` + y + ` ` + wide + ` ` + high + `" width="` + wide +
		`" height="` + high + `" role="img" aria-label="` + escape("Charts of "+c.title) + `" font-family="DejaVu Sans, Verdana, sans-serif">
<style>
.chart .title,.chart .name{font-weight:bold;fill:` + inkColor + `}.chart .note,.chart .tick{fill:` + paleInk + `}
.chart .axis{stroke:` + inkColor + `;fill:none}.chart .grid{stroke:` + paleInk + `;stroke-opacity:.3;fill:none}
.chart .bar{fill:` + familyColors[0] + `;fill-opacity:.35;stroke:` + familyColors[0] + `}
.chart .limit{stroke:` + familyColors[1] + `;stroke-width:2;stroke-dasharray:8 5;fill:none}
.chart .curve{stroke:` + familyColors[0] + `;stroke-width:2;fill:none}
</style>
<rect y="` + y + `" width="100%" height="100%" fill="` + paperColor + `"/>
`
	_, err := io.WriteString(w, head+string(c.body.Bytes()[from.at:to.at])+"</svg>\n")
	return err
}

// small draws charts of the same kind two side by side; each draws one, or none and says so.
func (c *Charts) small(n int, draw func(i int) bool) {
	whole := *c
	c.high = smallHeight
	half := float64(chartWidth) / 2
	drawn, top := 0, c.y
	for i := range n {
		c.left, c.right = chartLeft, half-chartRight/2
		if drawn%2 == 1 {
			c.left, c.right = half+chartLeft-chartRight/2, chartWidth-chartRight
		}
		c.y = top
		if drawn%2 == 0 {
			c.cutBefore(top)
		}
		if draw(i) {
			drawn++
			if drawn%2 == 0 {
				top += smallHeight + smallGap
			}
		}
	}
	if drawn%2 == 1 {
		top += smallHeight + smallGap
	}
	c.left, c.right, c.high, c.y = whole.left, whole.right, whole.high, top
}

// chartHead is the room above a chart's axes for its name and note.
const chartHead = 44

// cutBefore begins another sheet of paper above the charts at y where the one before has no room for them.
func (c *Charts) cutBefore(y float64) {
	last := 0.0
	if n := len(c.cuts); n > 0 {
		last = c.cuts[n-1].y
	}
	if y+smallHeight+smallGap-last > sheetHeight && y-chartHead > last {
		c.cuts = append(c.cuts, chartCut{y - chartHead, c.body.Len()})
	}
}

// weekBars draws a bar for each week of a chart that has something, above the week's day, as far as the days have room.
func (c *Charts) weekBars(x, y func(float64) float64, weeks []season.Date, value func(int) float64) {
	n := float64(len(weeks))
	room := 0.0
	for i, monday := range weeks {
		left, right := x((float64(i)+0.15)/n), x((float64(i)+0.85)/n)
		top := y(value(i))
		if high := y(0) - top; high > 0 {
			c.body.rect("bar", box{left, top, right - left, high}, "")
		}
		label := shortDay(monday, monday.Year())
		if at := x(float64(i) / n); at >= room {
			c.body.text("tick", at, y(0)+18, 12, label)
			room = at + textWidth(label, 12, false) + 12
		}
	}
}

// frame draws a chart's name, axes and the steps of its upright scale, and moves on below it. It gives the
// places of a share of the width and of a value.
func (c *Charts) frame(name, note string, most float64, tick func(float64) string) (x, y func(float64) float64) {
	top, bottom, wide, high := c.y, c.y+c.high, c.right-c.left, c.high
	left := c.left
	x = func(share float64) float64 { return left + share*wide }
	y = func(v float64) float64 { return bottom - v/most*high }
	c.body.text("name", left, top-26, 15, fitText(name, 15, true, wide))
	c.body.text("note", left, top-9, 12, fitText(note, 12, false, wide))
	step := niceStep(most)
	for v := 0.0; v <= most*(1+1e-9); v += step {
		c.body.path("grid", fmt.Sprintf("M%s %sH%s", px(x(0)), px(y(v)), px(x(1))))
		label := tick(v)
		c.body.text("tick", left-8-textWidth(label, 12, false), y(v)+4, 12, label)
	}
	c.body.path("axis", fmt.Sprintf("M%s %sV%sH%s", px(x(0)), px(top), px(bottom), px(x(1))))
	c.y = bottom + chartGap
	return x, y
}

// niceStep is a step of 1, 2 or 5 tens that cuts a scale into two to five parts.
func niceStep(most float64) float64 {
	ten := math.Pow(10, math.Floor(math.Log10(most)))
	for _, f := range []float64{0.2, 0.5, 1, 2} {
		if most/(f*ten) <= 5 {
			return f * ten
		}
	}
	return 5 * ten
}
