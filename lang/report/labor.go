package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// Labor gives the hours of every week against the crew's, and what takes most of them.
func Labor(facts *derive.Facts) Table {
	t := newTable("labor", facts)
	t.totalsOut = true
	t.Columns = []Column{
		{Head: "week of", Key: "week"},
		{Head: "hours", Key: "hours", Right: true},
		{Head: "crew", Key: "crew", Right: true, optional: true},
		{Head: "do not fit", Key: "over", Right: true, optional: true},
		{Head: "what takes most", Key: "most", keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	l := facts.Labor()
	over := 0.0
	for _, w := range l.Weeks {
		row := []Cell{dayCell(w.Monday), hoursCell(w.Hours), {}, {}, textCell(MostWork(w))}
		if l.Crewed {
			row[2] = hoursCell(w.Crew)
		}
		if w.Over > 0 {
			row[3] = hoursCell(w.Over)
			over += w.Over
		}
		t.Rows = append(t.Rows, row)
	}
	t.caution = laborCaution(facts)
	t.Totals = []Cell{textCell("total"), hoursCell(l.Hours), {}, {}, {}}
	if l.Crewed {
		t.Totals[3] = hoursCell(over)
	}
	return t
}

// hoursCell holds hours to a tenth: no estimate of work is finer.
func hoursCell(h float64) Cell { return numberCell(math.Round(h*10) / 10) }

// mostNamed jobs of a week are told.
const mostNamed = 3

// MostWork names the jobs that take most of a week: "picking 12.5 h, weeding 8 h".
func MostWork(w derive.WorkWeek) string {
	type part struct {
		name  string
		hours float64
	}
	var parts []part
	for _, s := range w.Done {
		i := slices.IndexFunc(parts, func(p part) bool { return p.name == s.Job.Name })
		if i < 0 {
			i = len(parts)
			parts = append(parts, part{name: s.Job.Name})
		}
		parts[i].hours += s.Hours
	}
	slices.SortStableFunc(parts, func(a, b part) int { return cmp.Compare(b.hours, a.hours) })
	var words []string
	for _, p := range parts[:min(len(parts), mostNamed)] {
		if p.hours >= 0.05 || len(words) == 0 {
			words = append(words, fmt.Sprintf("%s %s h", p.name, decimal(p.hours, 1)))
		}
	}
	return strings.Join(words, ", ")
}

// Jobs gives every job with its weeks, its hours, and where the rate comes from.
func Jobs(facts *derive.Facts) Table {
	t := newTable("jobs", facts)
	t.totalsOut = true
	t.Columns = []Column{
		{Head: "job", Key: "job"},
		{Head: "crop", Key: "crop", keep: 6},
		{Head: "plot", Key: "plot", keep: 5},
		{Head: "rows", Key: "rows", Right: true, keep: 1},
		{Head: "from week of", Key: "from"},
		{Head: "to week of", Key: "to", keep: 4},
		{Head: "done", Key: "done", keep: 3},
		{Head: "hours", Key: "hours", Right: true},
		{Head: "do not fit", Key: "over", Right: true, optional: true},
		{Head: "rate from", Key: "rate_source", keep: 2},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	l := facts.Labor()
	for _, j := range l.Jobs {
		row := make([]Cell, len(t.Columns))
		row[0], row[1], row[4], row[5], row[7], row[9] = textCell(j.Name), textCell(j.What), dayCell(j.From), dayCell(j.To-6), hoursCell(j.Hours), textCell(j.Source())
		if j.Plot != nil {
			row[2] = textCell(j.Plot.Decl.Name.Value)
		}
		if j.Rows > 0 {
			row[3] = wholeCell(j.Rows)
		}
		if first, _ := j.Done(); first >= 0 {
			row[6] = dayCell(l.Weeks[first].Monday)
		}
		over := 0.0
		for _, s := range j.Shares {
			if s.Over {
				over += s.Hours
			}
		}
		if over > 0 {
			row[8] = hoursCell(over)
		}
		t.Rows = append(t.Rows, row)
	}
	t.Totals = make([]Cell, len(t.Columns))
	t.Totals[0], t.Totals[7] = textCell("total"), hoursCell(l.Hours)
	return t
}

// LaborPlots gives the hours of every plot by month, and those that belong to none.
func LaborPlots(facts *derive.Facts) Table {
	t := newTable("labor_plots", facts)
	t.totalsOut = true
	t.Columns = []Column{
		{Head: "plot", Key: "plot"},
		{Head: "hours", Key: "hours", Right: true},
		{Head: "fullest week", Key: "peak_week"},
		{Head: "hours then", Key: "peak_hours", Right: true},
		{Head: "hours per 1000 sq ft", Key: "hours_by_area", Right: true, only: inText, optional: true, keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	area := 1000 * 0.09290304
	if t.units == quantity.Metric {
		area, t.Columns[4].Head = 100, "hours per 100 m²"
	}
	l := facts.Labor()
	for _, p := range l.ByPlot(facts.Plots) {
		if p.Hours == 0 {
			continue
		}
		row := []Cell{textCell("not on one plot"), hoursCell(p.Hours), {}, {}, {}}
		if p.Plot != nil {
			row[0] = textCell(p.Plot.Decl.Name.Value)
			if p.Plot.Area > 0 {
				row[4] = hoursCell(p.Hours / p.Plot.Area * area)
			}
		}
		peak := 0
		for i, h := range p.Weeks {
			if h > p.Weeks[peak] {
				peak = i
			}
		}
		row[2], row[3] = dayCell(l.Weeks[peak].Monday), hoursCell(p.Weeks[peak])
		t.Rows = append(t.Rows, row)
	}
	t.Totals = []Cell{textCell("total"), hoursCell(l.Hours), {}, {}, {}}
	return t
}
