package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/season"
)

// workGroups are the kinds of work that the bars of a week are split into, from the axis up.
var workGroups = [...]struct {
	name string
	jobs []string
}{
	{"picking and washing", []string{"picking", "washing"}},
	{"care", []string{"feeding", "trellising", "stringing", "pruning", "weeding", "spraying"}},
	{"ground and planting", []string{"tray sowing", "potting on", "bed preparation", "tape laying", "planting", "sowing", "clearing"}},
	{"other work", nil},
}

func workGroup(job string) int {
	for i, g := range workGroups {
		if slices.Contains(g.jobs, job) {
			return i
		}
	}
	return len(workGroups) - 1
}

// LaborCharts draws the hours of every week, split by kinds of work that colour and pattern tell apart, beside the hours
// that the crew has; and, for each plot, its hours.
func LaborCharts(facts *derive.Facts) *Charts {
	c := newCharts(facts, "labor")
	var l *derive.Labor
	if facts != nil {
		l = facts.Labor()
	}
	if l == nil || len(l.Weeks) == 0 || len(l.Weeks) > mostWeeks {
		c.body.text("note", chartLeft, c.y, 14, "The plan has no work to draw.")
		c.y += 30
		return c
	}
	c.workHours(l)
	plots := slices.DeleteFunc(l.ByPlot(facts.Plots), func(p derive.PlotWork) bool { return p.Hours == 0 })
	if len(plots) > 1 && len(plots) <= mostCharts {
		c.small(len(plots), func(i int) bool {
			p := plots[i]
			name := "not on one plot"
			if p.Plot != nil {
				name = p.Plot.Decl.Name.Value
			}
			x, y := c.frame(name, decimal(p.Hours, 1)+" h in all", slices.Max(p.Weeks)*1.05, hourTick)
			c.weekBars(x, y, mondays(l), func(i int) float64 { return p.Weeks[i] })
			return true
		})
	}
	return c
}

func hourTick(v float64) string {
	return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) + " h"
}

func mondays(l *derive.Labor) []season.Date {
	days := make([]season.Date, len(l.Weeks))
	for i, w := range l.Weeks {
		days[i] = w.Monday
	}
	return days
}

// workHours draws the farm's weeks as stacked bars, with the crew's hours dashed and the key below.
func (c *Charts) workHours(l *derive.Labor) {
	most := 1.0
	for _, w := range l.Weeks {
		most = max(most, w.Hours)
		if l.Crewed {
			most = max(most, w.Crew)
		}
	}
	note := decimal(l.Hours, 0) + " hours of work in all, by week"
	if l.Crewed {
		note += "; dashed: the crew's hours"
	}
	x, y := c.frame("the farm", note, most*1.05, hourTick)
	n := float64(len(l.Weeks))
	split := make([][len(workGroups)]float64, len(l.Weeks))
	for i, w := range l.Weeks {
		for _, s := range w.Done {
			split[i][workGroup(s.Job.Name)] += s.Hours
		}
	}
	c.defineWork()
	for i := range l.Weeks {
		left, right, from := x((float64(i)+0.15)/n), x((float64(i)+0.85)/n), 0.0
		for g, h := range split[i] {
			if h == 0 {
				continue
			}
			c.body.rect("", box{left, y(from + h), right - left, y(from) - y(from+h)},
				` fill="url(#work`+strconv.Itoa(g)+`)" stroke="`+familyColors[g]+`"`)
			from += h
		}
	}
	c.weekBars(x, y, mondays(l), func(int) float64 { return 0 })
	if l.Crewed {
		var line strings.Builder
		for i, w := range l.Weeks {
			verb := "L"
			if i == 0 {
				verb = "M"
			}
			fmt.Fprintf(&line, "%s%s %sH%s", verb, px(x(float64(i)/n)), px(y(w.Crew)), px(x(float64(i+1)/n)))
		}
		c.body.path("limit", line.String())
	}
	at := c.left
	below := c.y - chartGap + 40
	for g := range workGroups {
		c.body.rect("", box{at, below - 11, 16, 13}, ` fill="url(#work`+strconv.Itoa(g)+`)" stroke="`+familyColors[g]+`"`)
		c.body.text("note", at+22, below, 12, workGroups[g].name)
		at += 22 + textWidth(workGroups[g].name, 12, false) + 24
	}
	c.y += 24
}

// defineWork writes the patterns of the kinds of work.
func (c *Charts) defineWork() {
	c.body.WriteString("<defs>\n")
	for g := range workGroups {
		c.body.WriteString(`<pattern id="work` + strconv.Itoa(g) + `" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="` +
			familyColors[g] + `" fill-opacity=".22"/><path d="` + bandPatterns[g] + `" fill="none" stroke="` + familyColors[g] + `" stroke-width="1.1"/></pattern>` + "\n")
	}
	c.body.WriteString("</defs>\n")
}

// HarvestCharts draws, for each crop and variety, what it gives to sell from week to week, each to its own scale, with
// what is wanted dashed where the plan asks for it in the same unit.
func HarvestCharts(facts *derive.Facts) *Charts {
	c := newCharts(facts, "harvest")
	var crops []*derive.CropHarvest
	var h *derive.Harvest
	if facts != nil {
		h = facts.Harvest()
		for _, crop := range h.Crops {
			if crop.Peak >= 0 {
				crops = append(crops, crop)
			}
		}
	}
	if len(crops) == 0 || len(h.Weeks) > mostWeeks {
		c.body.text("note", chartLeft, c.y, 14, "The plan has no harvest to draw.")
		c.y += 30
		return c
	}
	c.small(len(crops), func(i int) bool {
		crop := crops[i]
		wanted := wantedBy(h, crop)
		most := crop.Weeks[crop.Peak]
		if wanted != nil {
			most = max(most, slices.Max(wanted))
		}
		note := fmt.Sprintf("%s to sell, by the %s, week by week", decimal(rough(crop.Amount), 1), crop.Unit.Name)
		if wanted != nil {
			note += "; dashed: wanted"
		}
		x, y := c.frame(crop.Crop.Title(), note, most*1.05, func(v float64) string { return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) })
		c.weekBars(x, y, h.Weeks, func(i int) float64 { return crop.Weeks[i] })
		n := float64(len(h.Weeks))
		for i, v := range wanted {
			if v > 0 {
				c.body.path("limit", fmt.Sprintf("M%s %sH%s", px(x(float64(i)/n)), px(y(v)), px(x(float64(i+1)/n))))
			}
		}
		return true
	})
	return c
}

// wantedBy gives what is wanted of a crop week by week, nil when nothing is, or when it is counted otherwise.
func wantedBy(h *derive.Harvest, crop *derive.CropHarvest) []float64 {
	var out []float64
	for _, w := range h.Wants {
		if w.Unit.Name != crop.Unit.Name || !slices.Contains(w.Crops, crop) {
			continue
		}
		if out == nil {
			out = make([]float64, len(h.Weeks))
		}
		for _, week := range w.Weeks {
			if i := week.Monday.DaysSince(h.Weeks[0]) / 7; i >= 0 && i < len(out) && week.Monday >= h.Weeks[0] {
				out[i] += week.Wanted
			}
		}
	}
	return out
}
