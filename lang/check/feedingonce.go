package check

import (
	"fmt"
	"math"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// atOnce holds the nitrogen of every day against the plan's own limit.
func (p *pass) atOnce(fd *derive.Feeding) {
	if !slices.ContainsFunc(p.farm.Feeds, func(f *farm.Feed) bool { return f.AtOnce.Given }) &&
		!slices.ContainsFunc(p.farm.Needs, func(n *farm.Need) bool { return n.AtOnce.Given }) {
		return
	}
	for _, n := range fd.Plantings {
		last := season.None
		for _, d := range n.Doses {
			limit, said := n.AtOnce(d.Feed)
			if has := n.OnDay(d.Day); d.Day != last && has > limit*(1+1e-6) {
				last = d.Day
				p.tooMuchAtOnce(n, d, has, limit, said)
			}
		}
	}
}

func (p *pass) tooMuchAtOnce(n *derive.PlantingFeeding, d *derive.Dose, has, limit float64, said farm.Amount) {
	days, short := n.Dressings(has, limit, d.Day)
	way := "Split it in " + count(len(days), "1 dressing", "%d dressings") + ", such as on " + p.someDays(days)
	if short || len(days) < 2 {
		way = "Feed less of it, for the season has no room for more dressings"
		if len(days) > 1 {
			way = "The season has room for dressings on " + p.someDays(days) + "; feed less beyond that"
		}
	}
	p.report(&d.Feed.Decl, where(n.Planting), diag.Diagnostic{
		Rule: nutrientOver,
		Message: fmt.Sprintf("%s gets %s of nitrogen on %s; no more than %s is to go on at once. %s", where(n.Planting), p.perArea(has),
			p.day(d.Day), p.units.Format(quantity.Of(limit, quantity.AreaMass)), way),
		Primary: diag.Label{Span: d.Feed.Call, Text: "at once"},
		Related: labels(diag.Label{Span: said.Span, Text: "the limit"}, d.Feed.Call),
		Values:  []diag.Value{{Name: "gets", Text: p.perArea(has)}, {Name: "limit", Text: p.perArea(limit)}},
	})
}

// someDays names days: "Sat May 8, Sat May 29 and Sat Jun 12".
func (p *pass) someDays(days []season.Date) string {
	names := make([]string, len(days))
	for i, d := range days {
		names[i] = p.day(d)
	}
	return some(names)
}

// held tells that a limit of nitrogen in one application keeps a feeding to need from giving all, and when the rest can go
// on; "" where none does.
func (p *pass) held(n *derive.PlantingFeeding) string {
	for _, d := range slices.Backward(n.Doses) {
		limit, _ := n.AtOnce(d.Feed)
		if !d.Feed.ToNeed.Value || math.IsInf(limit, 1) || n.OnDay(d.Day) < limit*(1-1e-6) {
			continue
		}
		days, short := n.Dressings(n.Lacks().N+limit, limit, d.Day)
		if len(days) < 2 {
			return "no more than " + p.perArea(limit) + " of nitrogen goes on at once, and the season has no room for another dressing"
		}
		text := "no more than " + p.perArea(limit) + " of nitrogen goes on at once, so feed again on " + p.someDays(days[1:])
		if short {
			text += ", which is not all of it either"
		}
		return text
	}
	return ""
}
