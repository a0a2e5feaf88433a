package derive

import (
	"fmt"

	"haulm/stdlib/quantity"
)

// Why gives the reckonings of the hottest week and of the heaviest load.
func (c *Care) Why() []Reckoning {
	units, year := c.facts.Farm.Units, c.facts.Farm.Year.Value
	short := func(m float64) string { return units.Short(quantity.Meters(m)) }
	weigh := func(kg float64) string { return units.Format(quantity.Of(kg, quantity.Mass)) }
	heat := Reckoning{
		Title: "Heat", Equation: "heat index of the air in the shade by Rothfusz's regression, from the usual greatest temperature and the humidity at that temperature; " +
			"bands of 91, 103 and 115 °F. Full sun adds up to 15 °F (8 °C), hot spells, heavy work and heavy clothes come on top",
		Result: "not known",
		Source: "L. P. Rothfusz, National Weather Service SR 90-23 (1990); bands: OSHA, Using the Heat Index; the addition for sun: memory",
	}
	if c.Hottest < 0 {
		heat.Inputs = []Input{{Name: "climate", Value: "not known", Source: "the site has no climate with tmax"}}
	} else {
		n := c.Heat[c.Hottest]
		climate := c.facts.Farm.Site.Climate
		heat.Inputs = []Input{
			{Name: "greatest temperature", Value: units.Format(quantity.Celsius(n.High)), Source: "the climate's normals, mid-week", Span: climate.TMax.Span},
			{Name: "humidity then", Value: fmt.Sprintf("%.0f %%", n.Humidity), Source: "the climate's mean humidity, or else dew at the least temperature, brought to the greatest (FAO-56 Eq. 19 and 48)", Span: climate.Humidity.Span},
		}
		heat.Result = fmt.Sprintf("%s in the week of %s, the hottest with work: %s", n.Told(units), n.Monday.Long(year), n.Heat)
	}
	lift := Reckoning{
		Title: "Lifting", Equation: "51 lb × (10/H) × (1 - 0.0075 |V - 30|) × (0.82 + 1.8/D), inches; load / limit is the lifting index, above 1 a risk to some",
		Inputs: []Input{
			{Name: "reach (H)", Value: short(liftReach), Source: commonPractice},
			{Name: "hands at the start (V)", Value: short(liftFrom), Source: "handles of a crate on the ground, common practice"},
			{Name: "hands at the end", Value: short(liftTo), Source: "a truck bed, common practice"},
		},
		Result: weigh(c.Limit),
		Source: "revised NIOSH lifting equation, DHHS (NIOSH) 94-110; straight ahead, with handles, once in five minutes or less often",
	}
	for _, l := range c.Loads[:min(len(c.Loads), mostLoads)] {
		in := Input{Name: l.Name, Value: fmt.Sprintf("%s, index %.1f", weigh(l.Mass), l.Index), Source: l.Source}
		if l.decl != nil {
			in.Span = l.decl.Carry.Span
		}
		lift.Inputs = append(lift.Inputs, in)
	}
	return []Reckoning{heat, lift}
}

// mostLoads are told, the heaviest.
const mostLoads = 5

// Told prints the heat index in the farm's degrees.
func (n HeatWeek) Told(units system) string {
	return units.Format(quantity.Fahrenheit(n.Index))
}
