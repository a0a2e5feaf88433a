package check

import (
	"fmt"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/source"
)

var feedsOtherRows = &diag.Rule{
	Code: "feeds-other-rows", Severity: diag.Warning,
	Summary: "what is fed through the water reaches rows that it is not for, or none",
	Explain: `What is injected into a zone goes to every row on its valve. Reported is a feeding through the water that is meant for
only some of them: those get less than the tables say, and the others get the rest. Reported too are rows without a valve.

Feed all rows of the zone, give the row a zone of its own, shut the other rows' tapes while you inject, or spread it by hand.`,
	Example: `load("crops", "bell_pepper")
farm("Ferry Bank", year = 2027)
spring = water_source("well", flow = 8 * gpm, pressure = 30 * psi, backflow = "reduced pressure zone")
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
peppers = zone("peppers", source = spring, tape = tape, regulator = 10 * psi, fertigated = True)
beds = rows(bench, count = 2, first = 4 * ft, apart = 5 * ft, zone = peppers)
for bed in beds:
    plant(bed, bell_pepper, fill = True, spacing = 18 * inch, on = "2027-05-15")
nitrate = fertilizer("sodium nitrate")
feed(beds[0], nitrate, amount = 1 * lb, on = "2027-06-20", placement = "through the water", solution = 5 * gal, injection = 6 * gph)
`,
	Source: "water goes where it is piped",
}

func (p *pass) otherRows(in *derive.Injection) {
	if in.Zone == nil {
		p.report(&in.Feed.Decl, rowName(in.Rows[0]), diag.Diagnostic{
			Rule:    feedsOtherRows,
			Message: fmt.Sprintf("%s has no zone that %s could be fed through. Give it one, or spread it by hand", rowName(in.Rows[0]), in.Product.Name.Value),
			Primary: diag.Label{Span: in.Feed.Placement.Span, Text: "no valve"},
		})
		return
	}
	others := in.Others()
	if len(others) == 0 {
		return
	}
	var names []string
	onePlot := !slices.ContainsFunc(others, func(r *derive.Row) bool { return r.Plot != others[0].Plot })
	for _, r := range others {
		if onePlot {
			names = append(names, rowHere(r))
		} else {
			names = append(names, rowName(r))
		}
	}
	where := some(names)
	if onePlot {
		where += " of " + plotName(others[0].Plot.Decl)
	}
	p.report(&in.Feed.Decl, zoneName(in.Zone), diag.Diagnostic{
		Rule: feedsOtherRows,
		Message: fmt.Sprintf("%s goes to all of %s, also to %s that it is not for. Feed all of its rows, or shut the tapes of those while you inject",
			in.Product.Name.Value, zoneName(in.Zone), where),
		Primary: diag.Label{Span: in.Feed.Placement.Span, Text: fmt.Sprintf("%d of %d rows are meant", len(in.Rows), len(in.Rows)+len(others))},
		Related: labels(diag.Label{Span: in.Zone.Decl.Call, Text: "this zone"}, in.Feed.Placement.Span),
	})
}

// fedThrough tells whether fertilizer goes through a zone, by its own word or by a feeding, and where the plan says so.
func (p *pass) fedThrough(z *derive.ZoneWater) (at source.Span, fed bool) {
	if z.Decl.Fertigated.Value {
		return z.Decl.Fertigated.Span, true
	}
	if len(p.farm.Feeds) > 0 {
		for _, in := range p.facts.Feeding().Injected {
			if in.Zone == z {
				return in.Feed.Placement.Span, true
			}
		}
	}
	return source.Span{}, false
}
