package derive

import (
	"fmt"
	"strconv"
	"strings"

	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

// Source says where the rate of a job comes from; figures from memory say that nobody checked them.
func (j *Job) Source() string {
	switch {
	case j.Rate == nil:
		return thisPlan
	case j.Rate.Grade == string(crops.GradeMemory):
		return "memory, unverified"
	}
	return fmt.Sprintf("%s (grade %s)", j.Rate.Source, j.Rate.Grade)
}

// Why gives the reckoning of a job's hours and of the weeks in which they fall.
func (j *Job) Why(l *Labor, units system, year int) []Reckoning {
	hours := Reckoning{Title: j.Title(), Equation: "amount × time for each", Source: j.Source(), Result: hoursText(j.Hours)}
	if j.Per == "" {
		hours.Equation = "as the plan gives it"
	} else {
		hours.Inputs = append(hours.Inputs, Input{Name: "amount", Value: amountText(j.Amount, j.Per, units), Source: "the rows it is done in"})
	}
	in := Input{Name: "time for each", Value: rateText(j.Per, j.Each, j.Each, units), Source: j.Source()}
	if j.Rate != nil {
		in.Name, in.Value = "time for each (middle of the range)", rateText(j.Per, j.Rate.Low, j.Rate.High, units)
		if j.Rate.Note != "" {
			in.Source += ": " + j.Rate.Note
		}
	} else if j.Task != nil {
		in.Span = j.Task.Call
		if j.Per == "" {
			in.Name = "time, all hands together"
		}
	}
	hours.Inputs = append(hours.Inputs, in)
	weeks := Reckoning{
		Title: "Weeks", Equation: "hours of the crew go to the work that must be done soonest, week by week; what does not fit stays in its last week",
		Inputs: []Input{{Name: "may be done", Value: "in the weeks of " + j.From.Long(year) + " to " + (j.To - 6).Long(year), Source: commonPractice}},
		Source: "earliest due date first (Horn, Naval Research Logistics Quarterly 21, 1974)",
	}
	for _, before := range j.After {
		weeks.Inputs = append(weeks.Inputs, Input{Name: "after", Value: before.Title(), Source: commonPractice})
	}
	var done []string
	for _, s := range j.Shares {
		text := l.Weeks[s.Week].Monday.Long(year) + " " + hoursText(s.Hours)
		if s.Over {
			text += " that do not fit"
		}
		done = append(done, text)
	}
	weeks.Result = strings.Join(done, ", ")
	return []Reckoning{hours, weeks}
}

// Title names the job with its crop and plot: "weeding, okra, Bottom field".
func (j *Job) Title() string {
	parts := []string{j.Name}
	if j.What != "" {
		parts = append(parts, j.What)
	}
	if j.Plot != nil {
		parts = append(parts, j.Plot.Decl.Name.Value)
	}
	return strings.Join(parts, ", ")
}

func hoursText(h float64) string { return strconv.FormatFloat(h, 'f', 1, 64) + " h" }

func amountText(amount float64, per string, units system) string {
	switch per {
	case "m":
		return units.Format(quantity.Meters(amount))
	case "m2":
		return units.Format(quantity.Of(amount, quantity.Area))
	case "kg":
		return units.Format(quantity.Of(amount, quantity.Mass))
	}
	return strconv.FormatFloat(amount, 'f', 0, 64) + " (by the " + per + ")"
}

// rateText prints a range of times for one of something as growers know it: "5 min per 100 ft to 15 min per 100 ft",
// "100 lb per h to 250 lb per h".
func rateText(per string, low, high float64, units system) string {
	show := func(s float64) string {
		switch per {
		case "m":
			return units.Format(quantity.Of(s, quantity.LineTime))
		case "m2":
			return units.Format(quantity.Of(s, quantity.AreaTime))
		case "kg":
			return units.Format(quantity.Of(1/s, quantity.MassRate))
		case "":
			return units.Format(quantity.Of(s, quantity.Time))
		}
		return strconv.FormatFloat(3600/s, 'g', 3, 64) + " per h"
	}
	if per == "kg" || per != "m" && per != "m2" && per != "" {
		low, high = high, low // more in an hour is less time
	}
	if low == high {
		return show(low)
	}
	return show(low) + " to " + show(high)
}
