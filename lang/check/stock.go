package check

import (
	"fmt"
	"slices"
	"strconv"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

var notInStockInTime = &diag.Rule{
	Code: "not-in-stock-in-time", Severity: diag.Warning,
	Summary: "something on order comes after it is used",
	Explain: `What the plan uses of a thing bought, day by day, is set against what ` + "`stock`" + ` says is there and what comes with its
day. The first use that what has come by then does not cover is told.

Order earlier, buy what is missing near by, or move what it is for.`,
	Example: `load("crops", "radish")
farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
quick = radish.variety("Quick", pack_seeds = 1000)
sow(row(bench, at = 4 * ft), quick, fill = True, spacing = 1 * inch, on = "2027-04-12")
stock(quick, count = 5000, on = "2027-04-20")
`,
	Source: "the order of days",
}

// stocks holds what is on order against the days on which it is used. It costs nothing where nothing is.
func (p *pass) stocks() {
	if !slices.ContainsFunc(p.farm.Stocks, func(s *farm.Stock) bool { return s != nil && s.On.Given }) {
		return
	}
	for _, w := range p.facts.Shopping().Wares {
		late := w.Late
		if late == nil {
			continue
		}
		missing := p.units.Format(late.Missing)
		if late.Missing.Dim == quantity.Ratio {
			missing = strconv.FormatFloat(late.Missing.SI, 'f', 0, 64)
		}
		place := late.Use.Where.Title()
		if place != "" {
			place = ": " + place
		}
		p.report(&late.Decl.Decl, w.Ware.Name, diag.Diagnostic{
			Rule: notInStockInTime,
			Message: fmt.Sprintf("%s: %s missing on %s (%s%s); the order comes on %s. Have it there by then, or move what it is for",
				w.Ware.Name, missing, p.day(late.Use.By), late.Use.For, place, p.day(late.Decl.On.Value)),
			Primary: diag.Label{Span: late.Decl.On.Span, Text: days(late.Decl.On.Value.DaysSince(late.Use.By)) + " late"},
			Values:  []diag.Value{{Name: "missing", Text: missing}},
		})
	}
}
