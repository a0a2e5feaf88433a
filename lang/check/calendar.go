package check

import (
	"fmt"
	"strings"
	"time"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/season"
)

var dateOutsideSeason = &diag.Rule{
	Code:     "date-outside-season",
	Severity: diag.Warning,
	Summary:  "a date belongs to another year than the plan",
	Explain: `A plan is for the season of its ` + "`year`" + `. Planting days lie between July of the year before (garlic and
cover crops are set in the fall) and the end of the season: December, or June of the year after where the
first frost falls in the year after the last one, as it does south of the equator. The site's frosts are
those of the season, a history is of years before it, and seed is sown less than a year before it goes out.

The usual cause is last year's plan copied and not changed throughout, or two digits exchanged.`,
	Example: `farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
beet = crop("beet", family = "Amaranthaceae", spacing = 3 * inch, row_spacing = 12 * inch)
sow(row(bench, at = 4 * ft), beet, fill = True, on = "2026-05-24")
`,
	Source: "the order of days; common practice for fall planting",
}

var frostsOutOfOrder = &diag.Rule{
	Code:     "frosts-out-of-order",
	Severity: diag.Error,
	Summary:  "the first frost does not follow the last within a year",
	Explain: `The growing season lies between ` + "`last_frost`" + `, the end of one winter, and ` + "`first_frost`" + `, the beginning of
the next, so the first must come after the last, by less than a year. When the two are exchanged every
planting date is judged against the wrong frost. South of the equator the last frost of 2026 is followed by
the first frost of 2027.`,
	Example: `here = site(latitude = 38.2, last_frost = "2027-10-14", first_frost = "2027-04-24")
farm("Ferry Bank", year = 2027, site = here)
`,
	Source: "the order of days",
}

// calendar sets the plan's dates against its year and one another.
func (p *pass) calendar() {
	p.siteFrosts()
	if !p.farm.Year.Given {
		return
	}
	from, to := p.season()
	for _, d := range p.farm.Plantings {
		if d == nil {
			continue
		}
		if on := &d.On; on.Given && on.Value.IsSet() && (on.Value < from || on.Value > to) {
			p.offSeason(&d.Decl, on, "on", from, to)
		}
		if sown := &d.SownOn; sown.Given && d.On.Given && d.On.Value.DaysSince(sown.Value) > 366 {
			p.report(&d.Decl, "", diag.Diagnostic{
				Rule: dateOutsideSeason,
				Message: fmt.Sprintf("the seed is sown on %s, %s before planting day, %s", p.day(sown.Value),
					days(d.On.Value.DaysSince(sown.Value)), p.day(d.On.Value)),
				Primary: diag.Label{Span: sown.Span, Text: "more than a year before"},
				Related: labels(diag.Label{Span: d.On.Span, Text: "goes into the row"}, sown.Span),
			})
		}
	}
	for _, h := range p.farm.Histories {
		if h != nil && h.Year.Given && h.Year.Value >= p.farm.Year.Value {
			p.report(&h.Decl, "", diag.Diagnostic{
				Rule: dateOutsideSeason,
				Message: fmt.Sprintf("the history of %s is of %d; the plan is for %d, and a history is of years before",
					plotName(h.Plot), h.Year.Value, p.farm.Year.Value),
				Primary: diag.Label{Span: h.Year.Span, Text: "not before the plan's year"},
				Related: labels(diag.Label{Span: p.farm.Year.Span, Text: "the plan's year"}, h.Year.Span),
			})
		}
	}
}

// siteFrosts finds frosts that are exchanged, or of another year.
func (p *pass) siteFrosts() {
	s := p.farm.Site
	if s == nil || !s.LastFrost.Given || !s.FirstFrost.Given {
		return
	}
	last, first := s.LastFrost.Value, s.FirstFrost.Value
	if n := first.DaysSince(last); n <= 0 || n > 366 {
		message := fmt.Sprintf("the first frost of %s comes %s before the last frost of %s; are the two exchanged?",
			p.day(first), days(-n), p.day(last))
		switch {
		case n == 0:
			message = fmt.Sprintf("the first and the last frost both fall on %s", p.day(first))
		case n > 0:
			message = fmt.Sprintf("the first frost of %s comes %s after the last frost of %s, more than a year", p.day(first), days(n), p.day(last))
		}
		p.report(&s.Decl, "", diag.Diagnostic{
			Rule: frostsOutOfOrder, Message: message,
			Primary: diag.Label{Span: s.FirstFrost.Span, Text: "first frost"},
			Related: labels(diag.Label{Span: s.LastFrost.Span, Text: "last frost"}, s.FirstFrost.Span),
			Help:    "the season lies between the last frost of one winter and the first of the next",
		})
		return
	}
	if year := p.farm.Year; year.Given && last.Year() != year.Value && first.Year() != year.Value {
		p.report(&s.Decl, "", diag.Diagnostic{
			Rule:    dateOutsideSeason,
			Message: fmt.Sprintf("the site's frosts are those of %d; the plan is for %d", last.Year(), year.Value),
			Primary: diag.Label{Span: s.LastFrost.Span, Text: "last frost"},
			Related: labels(diag.Label{Span: year.Span, Text: "the plan's year"}, s.LastFrost.Span),
			Help:    "dates such as here.last_frost + 2 * weeks follow the year written here",
		})
	}
}

// season is the first and the last day on which something can be planted for the plan's year.
func (p *pass) season() (from, to season.Date) {
	year := p.farm.Year.Value
	to = season.On(year, time.December, 31)
	if s := p.farm.Site; s != nil && s.FirstFrost.Given && s.LastFrost.Given && s.FirstFrost.Value.Year() > s.LastFrost.Value.Year() {
		to = season.On(year+1, time.June, 30)
	}
	return season.On(year-1, time.July, 1), to
}

// offSeason reports a day of planting outside the season.
func (p *pass) offSeason(d *farm.Decl, f *farm.DateArg, name string, from, to season.Date) {
	moved := season.On(p.farm.Year.Value, f.Value.Month(), f.Value.Day())
	finding := diag.Diagnostic{
		Rule: dateOutsideSeason,
		Message: fmt.Sprintf("%s is outside the season of %d, which takes plantings from %s to %s",
			p.day(f.Value), p.farm.Year.Value, p.day(from), p.day(to)),
		Primary: diag.Label{Span: f.Span, Text: fmt.Sprintf("in %d", f.Value.Year())},
		Related: labels(diag.Label{Span: p.farm.Year.Span, Text: "the plan's year"}, f.Span),
	}
	if strings.Trim(f.Span.Text(), `"'`) == f.Value.String() && moved >= from && moved <= to {
		finding.Fixes = change(p, d, f, name, dateText(moved), "Write "+moved.String())
	}
	p.report(d, "", finding)
}
