package report

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/stdlib/labor"
	"haulm/stdlib/quantity"
)

// laborCaution says what heat and loads ask for in the weeks of work.
func laborCaution(facts *derive.Facts) string {
	if len(facts.Labor().Jobs) == 0 {
		return ""
	}
	return heatCaution(facts) + " " + liftCaution(facts) + " Local rules come first. `haulm show labor --why heat` has the reckoning."
}

func heatCaution(facts *derive.Facts) string {
	const care = "Heavy work belongs into the cool of the day; water, shade and rest for everyone, and less at first for who is new to the heat."
	c := facts.Care()
	units, year := facts.Farm.Units, facts.Farm.Year.Value
	if c.Hottest < 0 {
		return "Heat: how hot it gets is not known; give the site a climate with tmax and humidity. " + care
	}
	top := c.Heat[c.Hottest]
	sun := "15 °F"
	if units == quantity.Metric {
		sun = "8 °C"
	}
	first, last := top.Monday, top.Monday
	if top.Heat >= labor.HeatModerate {
		for _, w := range c.Heat {
			if w.Heat >= labor.HeatModerate {
				first, last = min(first, w.Monday), max(last, w.Monday)
			}
		}
	}
	when := "in the week of " + first.Long(year)
	if last > first {
		when = fmt.Sprintf("between the weeks of %s and %s", first.Long(year), last.Long(year))
	}
	return fmt.Sprintf("Heat: a usual afternoon %s comes to a heat index of %s in the shade, the band \"%s\" of OSHA; full sun adds up to %s, and hot spells come on top. %s",
		when, top.Told(units), top.Heat, sun, care)
}

// longestLoad is how many letters of a load's name a caution has room for.
const longestLoad = 60

func liftCaution(facts *derive.Facts) string {
	c := facts.Care()
	weight := "lb"
	if facts.Farm.Units == quantity.Metric {
		weight = "kg"
	}
	unit, _ := quantity.UnitNamed(weight)
	weigh := func(kg float64) string { return fmt.Sprintf("%.0f %s", kg/unit.SI, weight) }
	top := c.Loads[0]
	name := cut(printable(top.Name), longestLoad)
	text := fmt.Sprintf("Lifting: the revised NIOSH equation allows %s from the ground up to a truck bed", weigh(c.Limit))
	if top.Index > 1 {
		return fmt.Sprintf("%s; the heaviest load here, %s in a %s, is %.1f times that and takes two people, a cart or a smaller load.", text, weigh(top.Mass), name, top.Index)
	}
	return fmt.Sprintf("%s; the heaviest load here is %s in a %s.", text, weigh(top.Mass), name)
}
