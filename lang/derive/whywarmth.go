package derive

import (
	"fmt"

	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// methodWords end the equation of a day's degree days.
var methodWords = [...]string{
	season.SimpleDegrees:    "",
	season.FlooredDegrees:   ", after what is below the base is lifted to it",
	season.CappedDegrees:    ", after what is below the base is lifted to it and what is above the upper temperature lowered to it",
	season.PenalizedDegrees: ", after what is below the base is lifted to it, and a greatest temperature above the upper one counts as far below it",
}

// whyRipe is the reckoning of a first harvest that degree days date.
func (p *Planting) whyRipe() Reckoning {
	c := p.Decl.Crop
	units := p.Row.Plot.units()
	warm := func(v float64) string { return units.Format(quantity.Of(v, quantity.DegreeDays)) }
	degrees := func(r *crops.Range) string { return units.Format(quantity.Of(r.Mid(), quantity.Temperature)) }
	need := warm(c.DegreeDays.Low)
	r := Reckoning{
		Title: "First harvest",
		Equation: "the day by whose end the degree days from planting day on come to what the crop needs; those of a day are the mean " +
			"of its least and greatest temperature less the base, never less than nothing" + methodWords[c.DegreeMethod],
		Inputs: []Input{p.onInput()},
		Result: p.day(p.FirstHarvest),
		Source: "degree days by the methods of Table 3 in Heliyon 6 (2020) e05114",
	}
	if c.DegreeDays.Low < c.DegreeDays.High {
		need += " to " + warm(c.DegreeDays.High) + ", of which the middle"
	}
	r.Inputs = append(r.Inputs, p.cropInput("degree days to first harvest", need, &c.DegreeDays),
		Input{Name: "method", Value: c.DegreeMethod.String(), Source: p.methodSource()},
		p.cropInput("base", degrees(&c.DegreeBase), &c.DegreeBase))
	if c.DegreeMethod >= season.CappedDegrees {
		r.Inputs = append(r.Inputs, p.cropInput("upper temperature", degrees(&c.DegreeUpper), &c.DegreeUpper))
	}
	sum, _ := p.warm.Sum(p.Plant, p.FirstHarvest.Add(1))
	r.Inputs = append(r.Inputs, Input{Name: "summed by then", Value: warm(sum * secondsOfDay), Source: p.warmthSource()})
	return r
}

func (p *Planting) methodSource() string {
	c := p.Decl.Crop
	switch {
	case c.DegreeDays.Grade == crops.GradePlan:
		return thisPlan
	case c.DegreeDays.Note != "":
		return commonPractice + "; of the sum the table notes: " + c.DegreeDays.Note
	}
	return commonPractice
}

// warmthSource says which days were measured.
func (p *Planting) warmthSource() string {
	w := p.Row.Plot.facts.warmth
	days, measured := p.FirstHarvest.DaysSince(p.Plant)+1, 0
	for d := p.Plant; d <= p.FirstHarvest; d++ {
		if w.was(d) {
			measured++
		}
	}
	switch measured {
	case 0:
		return fmt.Sprintf("the climate's monthly normals, all %d days", days)
	case days:
		return fmt.Sprintf("the weather file, all %d days", days)
	}
	return fmt.Sprintf("the weather file on %d of %d days, the climate's monthly normals on the others", measured, days)
}

// whyCool says why degree days do not date a planting that has them.
func (p *Planting) whyCool() string {
	facts := p.Row.Plot.facts
	switch {
	case !p.Plant.IsSet():
		return "the plan gives no day"
	case facts == nil || facts.Farm.Site == nil:
		return "the farm has no site, and so neither climate nor weather"
	case !facts.warmth.known():
		return "the site has neither weather nor a climate with tmin and tmax"
	}
	return "the weather and the climate do not tell of all days, or these are too cool"
}
