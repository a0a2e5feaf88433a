package check

import (
	"cmp"
	"fmt"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/stdlib/season"
)

var successionGap = &diag.Rule{
	Code:     "succession-gap",
	Severity: diag.Note,
	Summary:  "a succession has more than a week between one planting's last harvest and the next one's first",
	Explain: `Plantings that bear one name in ` + "`succession`" + ` are meant to follow one another so that there is always
something to pick. They are put in the order of their first harvests; reported is each that is ready more
than 7 days after the last harvest of all before it.

Move the later planting earlier (or pick the earlier one longer). Growth is slower in the cool ends of the
season, so plantings there must lie closer together than their harvests do.`,
	Example: `farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
lettuce = crop("lettuce", family = "Asteraceae", spacing = 12 * inch, row_spacing = 18 * inch,
               days_to_maturity = 30, harvest_window = 10)
plant(row(bench, at = 4 * ft), lettuce, fill = True, on = "2027-05-01", succession = "heads")
plant(row(bench, at = 8 * ft), lettuce, fill = True, on = "2027-06-15", succession = "heads")
`,
	Source: "common practice",
}

// gapDays is how long a succession may have nothing to pick.
const gapDays = 7

// successions puts the plantings of each succession in order and looks between them.
func (p *pass) successions() {
	var all []*derive.Planting
	for _, pl := range p.facts.Plantings {
		if pl.Decl != nil && pl.Decl.Succession.Given && pl.FirstHarvest.IsSet() {
			all = append(all, pl)
		}
	}
	slices.SortStableFunc(all, func(a, b *derive.Planting) int {
		return cmp.Or(
			cmp.Compare(a.Decl.Succession.Value, b.Decl.Succession.Value),
			cmp.Compare(a.FirstHarvest, b.FirstHarvest),
			cmp.Compare(a.Decl.Order, b.Decl.Order),
		)
	})
	var before *derive.Planting // of the same succession, the one picked longest
	for _, pl := range all {
		if before != nil && before.Decl.Succession.Value != pl.Decl.Succession.Value {
			before = nil
		}
		if before != nil && before.LastHarvest.IsSet() && pl.FirstHarvest.DaysSince(before.LastHarvest) > gapDays {
			p.gap(before, pl)
		}
		if before == nil || pl.LastHarvest.IsSet() && pl.LastHarvest >= before.LastHarvest {
			before = pl
		}
	}
}

func (p *pass) gap(before, next *derive.Planting) {
	d := next.Decl
	gap := next.FirstHarvest.DaysSince(before.LastHarvest) - 1
	f := diag.Diagnostic{
		Rule: successionGap,
		Message: fmt.Sprintf("%q has nothing to pick for %s: %s is picked until %s, %s from %s",
			d.Succession.Value, days(gap), where(before), p.day(before.LastHarvest), where(next), p.day(next.FirstHarvest)),
		Primary: diag.Label{Span: d.Succession.Span, Text: "ready on " + p.day(next.FirstHarvest)},
		Related: labels(diag.Label{Span: before.Decl.Succession.Span, Text: "picked until " + p.day(before.LastHarvest)}, d.Succession.Span),
		Values:  []diag.Value{{Name: "gap", Text: days(gap)}},
	}
	if d.On.Given {
		f.Primary.Span = d.On.Span
	}
	if to, ok := p.sooner(next, gap); ok {
		f.Message += fmt.Sprintf(". %s it on %s to close the gap", putIn(next), p.day(to))
		f.Fixes = change(p, &d.Decl, &d.On, "on", dateText(to), putIn(next)+" it on "+p.day(to))
	}
	p.report(&d.Decl, where(next), f)
}

// sooner moves a planting's day forward by the gap, or as far as frost allows when that is enough.
func (p *pass) sooner(pl *derive.Planting, gap int) (season.Date, bool) {
	if !pl.Plant.IsSet() || !pl.Decl.On.Given {
		return season.None, false
	}
	to := pl.Plant.Add(-gap)
	seasons := p.facts.Seasons
	if !seasons.Known() || pl.Decl.Crop == nil {
		return to, true
	}
	early, ok := earliest(pl, seasons.Of(pl.Plant))
	if !ok || to >= early {
		return to, true
	}
	return early, early <= pl.Plant.Add(-gap+gapDays-1)
}
