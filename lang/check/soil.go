package check

import (
	"fmt"
	"math"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

var soilTooColdToSprout = &diag.Rule{
	Code:     "soil-too-cold-to-sprout",
	Severity: diag.Warning,
	Summary:  "seed goes into soil colder than it sprouts in",
	Explain: `For seed sown in the row the soil's temperature at sowing is set against the least at which the crop's
seed comes up. The temperature is the sowing's own ` + "`soil_temperature`" + ` when it was measured, else the
site's ` + "`climate`" + `: its monthly normals stand for the middle of each month, and a day between two is worked out on
the straight line from one to the other. Without either nothing is reported.

Seed in cold soil rots or is eaten before it comes up. Wait for the first day that the normals reach the
least, warm the bed, or sow in trays and plant out.`,
	Example: `load("crops", "okra")
normals = climate(soil_temperature = {"apr": degf(48), "may": degf(56), "jun": degf(66)})
here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14", climate = normals)
farm("Ferry Bank", year = 2027, site = here)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
sow(row(bench, at = 4 * ft), okra, fill = True, on = "2027-05-03")
`,
	Source: "the crop's own least temperature, by the source that `haulm doc` names for it",
}

// coldSlack is how far a temperature may miss the least unseen, K: less than a thermometer shows.
const coldSlack = 0.05

// soils sets the soil's temperature at every direct sowing against the crop's least.
func (p *pass) soils() {
	var normals *farm.Climate
	if p.farm.Site != nil {
		normals = p.farm.Site.Climate
	}
	for _, pl := range p.facts.Plantings {
		d := pl.Decl
		if d == nil || !d.Direct || d.Crop == nil || !d.Crop.SoilMin.Known() {
			continue
		}
		least := d.Crop.SoilMin.Low
		if d.SoilTemperature.Given {
			if have := d.SoilTemperature.Value.SI; have < least-coldSlack {
				p.tooCold(pl, have, least, normals)
			}
			continue
		}
		if have, ok := soilOn(normals, pl.Plant); ok && d.On.Given && have < least-coldSlack {
			p.tooCold(pl, have, least, normals)
		}
	}
}

// soilOn gives the soil's normal temperature on a day, K; false where the climate does not say.
func soilOn(c *farm.Climate, d season.Date) (float64, bool) {
	if c == nil || len(c.SoilTemperature.Value) != 12 {
		return 0, false
	}
	var n season.Normals
	for i, t := range c.SoilTemperature.Value {
		n[i] = t.SI
	}
	t := n.On(d)
	return t, !math.IsNaN(t)
}

// warmFrom gives the first day from a day on, within a year, that the normals reach a temperature.
func warmFrom(c *farm.Climate, d season.Date, least float64) (season.Date, bool) {
	for end := d.Add(366); d < end; d++ {
		if t, ok := soilOn(c, d); ok && t >= least {
			return d, true
		}
	}
	return season.None, false
}

func (p *pass) tooCold(pl *derive.Planting, have, least float64, normals *farm.Climate) {
	d := pl.Decl
	temp := func(k float64) string { return p.units.Short(quantity.Of(k, quantity.Temperature)) }
	f := diag.Diagnostic{
		Rule: soilTooColdToSprout,
		Values: []diag.Value{
			{Name: "soil", Text: temp(have)},
			{Name: "least", Text: temp(least)},
		},
		Help: fmt.Sprintf("%s: seed needs %s to come up (%s)", d.Crop.Title(), temp(least), credit(&d.Crop.SoilMin)),
	}
	if days, ok := d.Crop.DaysToEmerge(quantity.Of(have, quantity.Temperature).Celsius()); ok {
		f.Help += fmt.Sprintf("; by the trials that `haulm doc` shows it takes about %.0f days at %s", days, temp(have))
	}
	if d.SoilTemperature.Given {
		f.Message = fmt.Sprintf("%s is sown into soil of %s; its seed needs %s to come up", where(pl), temp(have), temp(least))
		f.Primary = diag.Label{Span: d.SoilTemperature.Span, Text: "too cold"}
	} else {
		f.Message = fmt.Sprintf("%s is sown on %s into soil of about %s; its seed needs %s to come up",
			where(pl), p.day(pl.Plant), temp(have), temp(least))
		f.Primary = diag.Label{Span: d.On.Span, Text: "soil at about " + temp(have)}
		f.Related = labels(diag.Label{Span: normals.SoilTemperature.Span, Text: "soil temperatures by month"}, d.On.Span)
	}
	if warm, ok := warmFrom(normals, pl.Plant, least); ok && !d.SoilTemperature.Given && d.On.Given {
		f.Message += fmt.Sprintf(". Wait until %s", p.day(warm))
		f.Fixes = change(p, &d.Decl, &d.On, "on", dateText(warm), "Wait until "+p.day(warm))
	}
	p.report(&d.Decl, where(pl), f)
}
