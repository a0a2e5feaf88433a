package report

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// The page of charts, in px.
const (
	chartWidth  = 960
	chartLeft   = 90
	chartRight  = 30
	chartHeight = 200
	chartTop    = 110
	chartGap    = 90
)

// WaterSVG draws, for each source, the hours that its valves are open by week beside the hours there are,
// and, for each zone, the pressure along the row that gets least. Works in black and white: bars are told
// apart by pattern.
func WaterSVG(facts *derive.Facts, w io.Writer) error {
	c := &charts{y: chartTop}
	if facts != nil && facts.Farm != nil {
		c.units = facts.Farm.Units
		c.body.text("title", chartLeft, 40, 22, strings.TrimSpace(facts.Farm.Name.Value+": water"))
	}
	if facts == nil || facts.Water == nil || len(facts.Water.Sources) == 0 {
		c.body.text("note", chartLeft, c.y, 14, "The plan has no zones to draw.")
		c.y += 30
	} else {
		for _, s := range facts.Water.Sources {
			c.hours(facts.Water, s)
		}
		for _, z := range facts.Water.Zones {
			c.pressure(z)
		}
	}
	height := px(c.y)
	head := `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ` + strconv.Itoa(chartWidth) + ` ` + height + `" width="` +
		strconv.Itoa(chartWidth) + `" height="` + height + `" font-family="DejaVu Sans, Verdana, sans-serif">
<style>
.title{font-weight:bold;fill:` + inkColor + `}.name{font-weight:bold;fill:` + inkColor + `}.note,.tick{fill:` + paleInk + `}
.axis{stroke:` + inkColor + `;fill:none}.grid{stroke:` + paleInk + `;stroke-opacity:.3;fill:none}
.bar{fill:` + familyColors[0] + `;fill-opacity:.35;stroke:` + familyColors[0] + `}
.limit{stroke:` + familyColors[1] + `;stroke-width:2;stroke-dasharray:8 5;fill:none}
.curve{stroke:` + familyColors[0] + `;stroke-width:2;fill:none}
</style>
<rect width="100%" height="100%" fill="` + paperColor + `"/>
`
	_, err := io.WriteString(w, head+c.body.String()+"</svg>\n")
	return err
}

// charts is the page being drawn, one chart below the other.
type charts struct {
	body  drawing
	units quantity.System
	y     float64
}

// frame draws a chart's name, axes and the steps of its upright scale, and moves on below it. It gives the
// places of a share of the width and of a value.
func (c *charts) frame(name, note string, most float64, tick func(float64) string) (x, y func(float64) float64) {
	top, bottom := c.y, c.y+chartHeight
	x = func(share float64) float64 { return chartLeft + share*(chartWidth-chartLeft-chartRight) }
	y = func(v float64) float64 { return bottom - v/most*chartHeight }
	c.body.text("name", chartLeft, top-26, 15, fitText(name, 15, true, chartWidth-chartLeft-chartRight))
	c.body.text("note", chartLeft, top-9, 12, fitText(note, 12, false, chartWidth-chartLeft-chartRight))
	step := niceStep(most)
	for v := 0.0; v <= most*(1+1e-9); v += step {
		c.body.path("grid", fmt.Sprintf("M%s %sH%s", px(x(0)), px(y(v)), px(x(1))))
		label := tick(v)
		c.body.text("tick", chartLeft-8-textWidth(label, 12, false), y(v)+4, 12, label)
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

func (c *charts) hours(w *derive.Water, s *derive.SourceWater) {
	if len(s.Weeks) == 0 {
		return
	}
	most := 1.0
	for _, week := range s.Weeks {
		most = max(most, week.Time/3600)
	}
	note := "hours a week that its valves are open, one group after the other"
	have := s.Hours / 3600
	drawn := s.Decl.HoursPerWeek.Given
	if drawn {
		note += fmt.Sprintf("; dashed: the %s h there are", strconv.FormatFloat(have, 'f', -1, 64))
		most = max(most, have)
	}
	x, y := c.frame(s.Decl.Name.Value, note, most*1.05, func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) + " h" })
	n := float64(len(s.Weeks))
	room := 0.0
	for i, week := range s.Weeks {
		left, right := x((float64(i)+0.15)/n), x((float64(i)+0.85)/n)
		top := y(week.Time / 3600)
		c.body.rect("bar", box{left, top, right - left, y(0) - top}, "")
		label := shortDay(w.Weeks[i], w.Weeks[i].Year())
		if at := x(float64(i) / n); at >= room {
			c.body.text("tick", at, y(0)+18, 12, label)
			room = at + textWidth(label, 12, false) + 12
		}
	}
	if drawn {
		c.body.path("limit", fmt.Sprintf("M%s %sH%s", px(x(0)), px(y(have)), px(x(1))))
	}
}

func (c *charts) pressure(z *derive.ZoneWater) {
	if z.LeastRow == nil || z.LeastRow.Row == nil {
		return
	}
	profile := z.LeastRow.Profile(200)
	if len(profile) < 2 {
		return
	}
	unit := pressureScale(c.units)
	most, far := 0.0, profile[len(profile)-1].At
	for _, o := range profile {
		most = max(most, quantity.Of(o.Pressure, quantity.Pressure).In(unit))
	}
	if far <= 0 || most <= 0 {
		return
	}
	name := fmt.Sprintf("zone %s: pressure along %s, which gets least", z.Decl.Name.Value, z.LeastRow.Row.Name())
	note := fmt.Sprintf("from its head to its last emitter, %s on; the zone waters to %.0f %% evenness", c.units.Format(quantity.Meters(far)), z.EU*100)
	x, y := c.frame(name, note, most*1.05, func(v float64) string {
		return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) + " " + unit.Symbol
	})
	var line strings.Builder
	for i, o := range profile {
		verb := "L"
		if i == 0 {
			verb = "M"
		}
		line.WriteString(verb + px(x(o.At/far)) + " " + px(y(quantity.Of(o.Pressure, quantity.Pressure).In(unit))))
	}
	c.body.path("curve", line.String())
	c.body.text("tick", x(0), y(0)+18, 12, "head")
	end := c.units.Format(quantity.Meters(far))
	c.body.text("tick", x(1)-textWidth(end, 12, false), y(0)+18, 12, end)
}

// pressureScale is the unit of the pressure scale.
func pressureScale(s quantity.System) quantity.Unit {
	name := "psi"
	if s == quantity.Metric {
		name = "kpa"
	}
	u, _ := quantity.UnitNamed(name)
	return u
}
