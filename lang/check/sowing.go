package check

import (
	"fmt"
	"math"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/stdlib/season"
)

var sownAfterPlanting = &diag.Rule{
	Code:     "sown-after-planting",
	Severity: diag.Error,
	Summary:  "seed is sown after the day its plants go into the row",
	Explain: `A transplant is sown weeks before it is planted out; ` + "`sown_on`" + ` after ` + "`on`" + ` cannot be. Usually a year, a
month or the two days have been mixed up.

Sow so many weeks before planting day as the crop spends in the tray (the middle of its range), or leave
` + "`sown_on`" + ` out: Haulm counts those weeks back by itself. Seed that is sown in the row has no other day than
` + "`on`" + `.`,
	Example: `farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
tomato = crop("tomato", family = "Solanaceae", spacing = 2 * ft, row_spacing = 4 * ft, tray_time = 6 * weeks)
plant(row(bench, at = 4 * ft), tomato, fill = True, on = "2027-05-10", sown_on = "2027-06-01")
`,
	Source: "the order of days",
}

// sowings finds plants that would have to be set before they are sown.
func (p *pass) sowings() {
	for _, pl := range p.facts.Plantings {
		d := pl.Decl
		if d == nil || !d.SownOn.Given || !d.On.Given || !d.SownOn.Value.IsSet() || !d.On.Value.IsSet() || d.SownOn.Value <= d.On.Value {
			continue
		}
		late := d.SownOn.Value.DaysSince(d.On.Value)
		f := diag.Diagnostic{
			Rule: sownAfterPlanting,
			Message: fmt.Sprintf("%s is sown on %s, %s after it goes into the row on %s",
				where(pl), p.day(d.SownOn.Value), days(late), p.day(d.On.Value)),
			Primary: diag.Label{Span: d.SownOn.Span, Text: days(late) + " too late"},
			Related: labels(diag.Label{Span: d.On.Span, Text: "goes into the row"}, d.SownOn.Span),
		}
		if sow, ok := sowBy(pl); ok && !d.Direct {
			f.Message += fmt.Sprintf(". Sow it by %s, %s before", p.day(sow), days(d.On.Value.DaysSince(sow)))
			f.Fixes = change(p, &d.Decl, &d.SownOn, "sown_on", dateText(sow), "Sow it on "+p.day(sow))
		}
		f.Fixes = append(f.Fixes, without(p, &d.Decl, &d.SownOn, "Leave sown_on out")...)
		p.report(&d.Decl, where(pl), f)
	}
}

// sowBy counts the middle of the crop's weeks in the tray back from planting day.
func sowBy(pl *derive.Planting) (season.Date, bool) {
	if pl.Decl.Crop == nil || !pl.Decl.Crop.TrayWeeks.Known() {
		return season.None, false
	}
	n := int(math.Round(pl.Decl.Crop.TrayWeeks.Mid() * 7))
	return pl.Decl.On.Value.Add(-n), n > 0
}
