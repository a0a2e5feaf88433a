package eval

import (
	"slices"

	"haulm/lang/source"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// warmestBase is the highest base that degree days of a crop count from, 65 °F, in K.
var warmestBase = quantity.Fahrenheit(65).SI

// degreeParams are those of a crop's degree days.
func degreeParams() []Param {
	return []Param{
		measure("degree_days", quantity.DegreeDays, "from planting day, in the row, to the first harvest; they date it where the site has weather or a climate, days to maturity where it has neither").
			above(0, 1e9).orRange().also("gdd", "heat_units", "growing_degree_days"),
		measure("degree_base", quantity.Temperature, "that degree days count from").between(freezing-10, warmestBase).also("base", "base_temperature"),
		measure("degree_upper", quantity.Temperature, "above which more warmth does not count").between(freezing, freezing+50).also("upper", "ceiling"),
		choice("degree_method", "how the least and greatest temperature of a day make its degree days, for sources mean different ones: "+
			"simple takes their mean less the base; floored lifts what is below the base to it first; capped also lowers what is above the "+
			"upper temperature to it, as the 86/50 method of corn does; heat penalty counts a high above it as far below. "+
			"Simple when not given, capped with an upper temperature", degreeMethods()...).also("method"),
	}
}

func degreeMethods() []string {
	var words []string
	for m := season.SimpleDegrees; m <= season.PenalizedDegrees; m++ {
		words = append(words, m.String())
	}
	return words
}

// setDegrees puts the plan's degree days in the place of the table's. Those of the table go where the plan tells the
// days to maturity instead, or counts from another base or in another way: a sum holds only as it was counted.
func (c *call) setDegrees(d *crops.Crop) {
	upper, method := c.isGiven("degree_upper"), c.text("degree_method")
	if c.isGiven("days_to_maturity") || c.isGiven("degree_base") || upper || method.Given {
		d.DegreeDays = crops.Range{}
	}
	c.setRange("degree_days", &d.DegreeDays)
	c.setRange("degree_base", &d.DegreeBase)
	c.setRange("degree_upper", &d.DegreeUpper)
	if method.Given {
		d.DegreeMethod = season.DegreeMethod(slices.Index(degreeMethods(), method.Value))
	} else if upper {
		d.DegreeMethod = season.CappedDegrees
	}
	if d.DegreeDays.Known() && d.DegreeScale().Valid() != nil {
		c.reportDegrees(d)
		d.DegreeDays = crops.Range{}
	}
}

// reportDegrees says what the degree days lack to be counted.
func (c *call) reportDegrees(d *crops.Crop) {
	scale := d.DegreeScale()
	switch told := func(celsius float64) string { return c.ev.units.Format(quantity.Celsius(celsius)) }; {
	case c.isBad("degree_base") || c.isBad("degree_upper"):
	case !d.DegreeBase.Known():
		c.ev.report(c.finding(missingArgument, c.callee, "degree days of %s have no base to count from", d.Title()).
			help("add degree_base, such as degree_base = degf(50), from where the sum was taken"))
	case !d.DegreeUpper.Known():
		c.ev.report(c.finding(missingArgument, c.callee, "degree days of %s by the method %q have no upper temperature", d.Title(), d.DegreeMethod).
			help("add degree_upper, such as degree_upper = degf(86), from where the sum was taken"))
	default:
		c.ev.report(c.finding(outOfRange, c.firstGiven("degree_upper", "degree_base", "degree_method"),
			"the upper temperature of the degree days of %s, %s, is not above their base, %s", d.Title(), told(scale.Upper), told(scale.Base)))
	}
}

// firstGiven is the place of the first of some arguments that is given, else the call's.
func (c *call) firstGiven(names ...string) source.Span {
	for _, name := range names {
		if c.isGiven(name) {
			return c.spanOf(name)
		}
	}
	return c.callee
}
