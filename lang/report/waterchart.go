package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// WaterCharts draws, for each source, the hours that its valves are open by week beside the hours there are,
// and, for each zone, the pressure along the row that gets least. Works in black and white: bars are told
// apart by pattern.
func WaterCharts(facts *derive.Facts) *Charts {
	c := newCharts(facts, "water")
	if facts == nil || facts.Water == nil || len(facts.Water.Sources) == 0 {
		c.body.text("note", chartLeft, c.y, 14, "The plan has no zones to draw.")
		c.y += 30
	} else {
		for _, s := range facts.Water.Sources {
			c.hours(facts.Water, s)
		}
		c.small(len(facts.Water.Zones), func(i int) bool { return c.pressure(facts.Water.Zones[i]) })
	}
	return c
}

func (c *Charts) hours(w *derive.Water, s *derive.SourceWater) {
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
	c.weekBars(x, y, w.Weeks, func(i int) float64 { return s.Weeks[i].Time / 3600 })
	if drawn {
		c.body.path("limit", fmt.Sprintf("M%s %sH%s", px(x(0)), px(y(have)), px(x(1))))
	}
}

// pressure draws one chart; false when there is nothing to draw.
func (c *Charts) pressure(z *derive.ZoneWater) bool {
	if z.LeastRow == nil || z.LeastRow.Row == nil {
		return false
	}
	profile := z.LeastRow.Profile(200)
	if len(profile) < 2 {
		return false
	}
	unit := pressureScale(c.units)
	most, far := 0.0, profile[len(profile)-1].At
	for _, o := range profile {
		most = max(most, quantity.Of(o.Pressure, quantity.Pressure).In(unit))
	}
	if far <= 0 || most <= 0 {
		return false
	}
	name := fmt.Sprintf("zone %s: pressure along %s", z.Decl.Name.Value, z.LeastRow.Row.Name())
	note := fmt.Sprintf("which gets least, to its end %s on; %.0f %% even", c.units.Format(quantity.Meters(far)), z.EU*100)
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
	return true
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
