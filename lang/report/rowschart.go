package report

import (
	"math"
	"strconv"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// RowsCharts draws, for the farm and for each plot, how much of the rows' length is in use from week to week, beside
// the length there is: the mean of each week's days. Ground that two plantings share at one time counts once for
// each.
func RowsCharts(facts *derive.Facts) *Charts {
	c := newCharts(facts, "rows in use")
	weeks := plantedWeeks(facts)
	if len(weeks) == 0 {
		c.body.text("note", chartLeft, c.y, 14, "No planting has its days.")
		c.y += 30
		return c
	}
	var all []*derive.Row
	total := 0.0
	for _, p := range facts.Plots {
		all, total = append(all, p.Rows...), total+p.RowLength
	}
	c.rowsInUse("the farm", all, total, weeks)
	if len(facts.Plots) > 1 && len(facts.Plots) <= mostCharts {
		c.small(len(facts.Plots), func(i int) bool {
			p := facts.Plots[i]
			return c.rowsInUse(p.Decl.Name.Value, p.Rows, p.RowLength, weeks)
		})
	}
	return c
}

// mostCharts is up to how many plots have a chart of their own.
const mostCharts = 24

// mostWeeks bounds the weeks of a chart: a plan whose days are years apart is a slip.
const mostWeeks = 120

// plantedWeeks gives the Mondays of the weeks in which anything stands in the rows.
func plantedWeeks(facts *derive.Facts) []season.Date {
	first, last := season.None, season.None
	if facts != nil {
		for _, p := range facts.Plantings {
			if !p.Plant.IsSet() {
				continue
			}
			if !first.IsSet() || p.Plant < first {
				first = p.Plant
			}
			if end := max(p.Plant, p.Clear.Add(-1)); !last.IsSet() || end > last {
				last = end
			}
		}
	}
	var weeks []season.Date
	if first.IsSet() {
		for at := first.Monday(); at <= last && len(weeks) < mostWeeks; at = at.Add(7) {
			weeks = append(weeks, at)
		}
	}
	return weeks
}

// rowsInUse draws one chart; false when there is nothing to draw.
func (c *Charts) rowsInUse(name string, rows []*derive.Row, have float64, weeks []season.Date) bool {
	used := make([]float64, len(weeks))
	most := have
	for _, r := range rows {
		for _, p := range r.Plantings {
			if !p.Placed() || !p.Plant.IsSet() {
				continue
			}
			long := min(p.Owns.To, r.Length) - max(p.Owns.From, 0)
			for i, monday := range weeks {
				end := monday.Add(7)
				if p.Clear.IsSet() {
					end = min(end, p.Clear)
				}
				used[i] += max(long, 0) * float64(max(end.DaysSince(max(p.Plant, monday)), 0)) / 7
			}
		}
	}
	for _, u := range used {
		most = max(most, u)
	}
	if !(most > 0) || math.IsInf(most, 0) {
		return false
	}
	unit := quantity.Unit{Symbol: "m", SI: 1}
	if c.units != quantity.Metric {
		unit, _ = quantity.UnitNamed("ft")
	}
	note := "row length in use by week; dashed: the " + c.units.Format(quantity.Meters(have)) + " there are"
	x, y := c.frame(name, note, most/unit.SI*1.05, func(v float64) string {
		return strconv.FormatFloat(v, 'f', -1, 64) + " " + unit.Symbol
	})
	c.weekBars(x, y, weeks, func(i int) float64 { return used[i] / unit.SI })
	c.body.path("limit", "M"+px(x(0))+" "+px(y(have/unit.SI))+"H"+px(x(1)))
	return true
}
