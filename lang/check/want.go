package check

import (
	"fmt"
	"math"
	"strconv"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/stdlib/quantity"
)

// wantedGround begins the examples of this file: a row of peppers.
const wantedGround = `load("crops", "broccoli", "okra")
farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
sow(row(bench, at = 4 * ft), okra, fill = True, spacing = 15 * inch, on = "2027-05-22")
plant(row(bench, at = 8 * ft), broccoli, fill = True, spacing = 18 * inch, on = "2027-04-12")
`

var lessThanWanted = &diag.Rule{
	Code: "less-than-wanted", Severity: diag.Warning,
	Summary: "a crop gives less in some weeks than is wanted",
	Explain: `What ` + "`want`" + ` asks of a crop in a week is set against what its plantings give in that week: the crop's yield on the
length of its rows, less losses, in equal parts over the days of harvest. A week with less than nine tenths of what is
wanted is told.

Plant more, plant again for the weeks that come short, give your own yield with ` + "`yield_per_length`" + `, or want less.`,
	Example: wantedGround + `want(okra, mass = 40 * lb)
`,
	Source: "arithmetic; yields as the crop table states them",
}

var moreThanWanted = &diag.Rule{
	Code: "more-than-wanted", Severity: diag.Note,
	Summary: "a crop gives much more in some weeks than is wanted",
	Explain: `What the plantings of a crop give in a week is half as much again as ` + "`want`" + ` asks for, or more: it has to be stored, put
up, given away or turned in. Yields are rough, so that less than that is not told.

Plant less, or spread the plantings out.`,
	Example: wantedGround + `want(okra, mass = 2 * lb)
`,
	Source: "arithmetic; yields as the crop table states them",
}

var unlikeSaleUnits = &diag.Rule{
	Code: "unlike-sale-units", Severity: diag.Warning,
	Summary: "a want or a price counts a crop in a unit that its harvest cannot be told in",
	Explain: `A harvest of heads cannot be set against pounds, nor one of pounds against bunches, until the mass of one is
known, and so neither the amount nor its value.

Without it the one cannot be told in the other. Say it on the crop: ` + "`broccoli.variety(\"Main\", unit_mass = 1.5 * lb)`" + `, or count in the unit that ` + "`haulm show harvest`" + ` names.`,
	Example: wantedGround + `want(broccoli, mass = 20 * lb)
`,
	Source: "what the reckoning needs",
}

// wants holds the harvest against what is asked for. It costs nothing for plans that ask for nothing and price nothing.
func (p *pass) wants() {
	if len(p.farm.Wants) == 0 && len(p.farm.Prices) == 0 {
		return
	}
	h := p.facts.Harvest()
	for _, w := range h.Wants {
		if w.Unknown != "" {
			p.report(&w.Decl.Decl, w.Decl.Crop.Title(), diag.Diagnostic{
				Rule: unlikeSaleUnits, Message: fmt.Sprintf("what is wanted of %s cannot be set against its harvest: %s", w.Decl.Crop.Title(), w.Unknown),
				Primary: diag.Label{Span: w.Decl.Call, Text: "not checked"},
			})
			continue
		}
		p.tooLittle(w)
		p.tooMuch(w)
	}
	p.prices(h)
}

// wanted prints an amount of a want with its unit.
func wanted(v float64, u derive.SaleUnit) string {
	text := strconv.FormatFloat(v, 'f', 0, 64)
	if v < 100 {
		text = strconv.FormatFloat(v, 'g', 3, 64)
	}
	known, ok := quantity.UnitNamed(u.Name)
	switch {
	case ok && known.Dim == quantity.Mass || u.Name == "dozen":
		return text + " " + u.Name
	case u.Name == "each":
		return text
	case v == 1:
		return text + " " + u.Name
	case u.Name == "bunch" || u.Name == "box":
		return text + " " + u.Name + "es"
	}
	return text + " " + u.Name + "s"
}

// tooLittle reports the weeks of a want that come short.
func (p *pass) tooLittle(w *derive.WantHarvest) {
	weeks, worst, asked, given := 0, -1, 0.0, 0.0
	for i, week := range w.Weeks {
		if !week.Short() {
			continue
		}
		weeks++
		asked, given = asked+week.Wanted, given+week.Given
		if worst < 0 || week.Wanted-week.Given > w.Weeks[worst].Wanted-w.Weeks[worst].Given {
			worst = i
		}
	}
	if weeks == 0 {
		return
	}
	week := w.Weeks[worst]
	help := "nothing is ready in these weeks: plant earlier, or want it later"
	if given > 0 {
		help = fmt.Sprintf("%s times as much would cover these weeks; so would plantings in turn", strconv.FormatFloat(math.Ceil(asked/given*10)/10, 'f', -1, 64))
	}
	p.report(&w.Decl.Decl, w.Decl.Crop.Title(), diag.Diagnostic{
		Rule: lessThanWanted,
		Message: fmt.Sprintf("%s falls short in %d of %s, most in that of %s: %s of %s", w.Decl.Crop.Title(), weeks, count(len(w.Weeks), "1 week", "%d weeks"),
			p.day(week.Monday), wanted(week.Given, w.Unit), wanted(week.Wanted, w.Unit)),
		Primary: diag.Label{Span: p.amountSpan(w), Text: "wanted in a week"},
		Values:  []diag.Value{{Name: "wanted", Text: wanted(week.Wanted, w.Unit)}, {Name: "harvested", Text: wanted(week.Given, w.Unit)}},
		Help:    help,
	})
}

// tooMuch reports the weeks that give far more than is wanted.
func (p *pass) tooMuch(w *derive.WantHarvest) {
	weeks, worst, sum := 0, -1, 0.0
	for i, week := range w.Weeks {
		if !week.Over() {
			continue
		}
		weeks++
		sum += week.Given - week.Wanted
		if worst < 0 || week.Given-week.Wanted > w.Weeks[worst].Given-w.Weeks[worst].Wanted {
			worst = i
		}
	}
	if weeks == 0 {
		return
	}
	week := w.Weeks[worst]
	p.report(&w.Decl.Decl, w.Decl.Crop.Title(), diag.Diagnostic{
		Rule: moreThanWanted,
		Message: fmt.Sprintf("%s gives more than is wanted in %d of %s, most in that of %s: %s for %s", w.Decl.Crop.Title(), weeks, count(len(w.Weeks), "1 week", "%d weeks"),
			p.day(week.Monday), wanted(week.Given, w.Unit), wanted(week.Wanted, w.Unit)),
		Primary: diag.Label{Span: p.amountSpan(w), Text: "wanted in a week"},
		Values:  []diag.Value{{Name: "wanted", Text: wanted(week.Wanted, w.Unit)}, {Name: "harvested", Text: wanted(week.Given, w.Unit)}},
		Help:    wanted(sum, w.Unit) + " are left over in all; plant less, or in turn",
	})
}

// amountSpan is the text that says how much is wanted.
func (p *pass) amountSpan(w *derive.WantHarvest) source.Span {
	if w.Decl.Mass.Given {
		return w.Decl.Mass.Span
	}
	return w.Decl.Count.Span
}

// prices reports a price in a unit that none of its crop's harvests can be told in.
func (p *pass) prices(h *derive.Harvest) {
	for _, d := range p.farm.Prices {
		if d == nil || d.Crop == nil || !d.Per.Given {
			continue
		}
		unit, serves := "", false
		for _, c := range h.Crops {
			if c.Crop.Name != d.Crop.Name || d.Crop.Variety != "" && d.Crop.Variety != c.Crop.Variety || c.Amount == 0 {
				continue
			}
			unit, serves = c.Unit.Name, serves || c.Sells(d)
		}
		if unit != "" && !serves {
			p.report(&d.Decl, d.Crop.Title(), diag.Diagnostic{
				Rule: unlikeSaleUnits,
				Message: fmt.Sprintf("the price of %s is by the %s, its harvest is counted by the %s, and the mass of one is not known; give it with variety(..., unit_mass = ...)",
					d.Crop.Title(), d.Per.Value, unit),
				Primary: diag.Label{Span: d.Per.Span, Text: "harvested by the " + unit},
			})
		}
	}
}
