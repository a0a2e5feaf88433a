package check

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/season"
)

// recordedGround begins the examples of this file: a row of peppers of 24 plants.
const recordedGround = `load("crops", "bell_pepper")
farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
peppers = plant(row(bench, at = 4 * ft), bell_pepper, count = 24, spacing = 18 * inch, on = "2027-05-15")
`

var recordOfNothing = &diag.Rule{
	Code: "record-of-nothing", Severity: diag.Error,
	Summary: "a record names a place or a job that the plan does not have",
	Explain: `What happened is written down for something in the plan: a planting, a row, a plot or a crop, and a job by
its name. Where the plan has nothing of that name, or several plantings of it where plants are counted, the record
stands for nothing, and neither dates nor harvest move.

Names are those of ` + "`haulm show plantings`" + ` and ` + "`haulm show labor --by job`" + `: "Lower bench/3/okra" is the okra in row 3 of
Lower bench, "Lower bench/3/okra/2" the second that goes in there.`,
	Example: recordedGround + `harvested("Lower bench/2/bell pepper", mass = 20 * lb, on = "2027-08-02")
`,
	Source: "Haulm's own language",
}

var moreLostThanPlanted = &diag.Rule{
	Code: "more-lost-than-planted", Severity: diag.Error,
	Summary: "more plants are recorded as lost than stood there",
	Explain: `The plants that stand are those planned, or those counted since, less those lost. When more are lost than stood on
that day, one of the numbers is wrong: a loss written down twice, trays counted for plants, or a count that was
made after the loss. Until it is mended, the planting counts as lost as a whole from that day on.`,
	Example: recordedGround + `lost(peppers, 30, on = "2027-06-03")
`,
	Source: "arithmetic",
}

var recordOutOfOrder = &diag.Rule{
	Code: "record-out-of-order", Severity: diag.Error,
	Summary: "something is recorded before what must come first",
	Explain: `Nothing is harvested, lost or cleared before it was planted, and no transplant goes out before it was sown. One of
the two days is wrong: the day is set against the recorded planting day where there is one, else the planned one. Where
the planting really was earlier than planned, record it with ` + "`done(\"planting\", ...)`" + `.`,
	Example: recordedGround + `harvested(peppers, mass = 20 * lb, on = "2027-05-02")
`,
	Source: "common practice",
}

var recordedAhead = &diag.Rule{
	Code: "recorded-ahead", Severity: diag.Error,
	Summary: "something is recorded for a day that is still to come",
	Explain: `With ` + "`--today`" + ` the plan knows which day it is, and a record of a later day cannot be: the year or the month is
usually a slip. What is to be done belongs in the plan itself. Without ` + "`--today`" + ` nothing is known of the day, and all that
is recorded counts as having happened.`,
	Example: recordedGround + `done("planting", peppers, on = "2028-05-15")
`,
	Source: "the calendar",
}

var hoursWithoutWork = &diag.Rule{
	Code: "hours-without-work", Severity: diag.Warning,
	Summary: "hours are recorded for work that the plan does not have there",
	Explain: `The hours count, but there are no planned ones to set them against, and no rate comes of them. The wrong crop or
place is the usual reason. Where the work really was extra, give the plan a ` + "`task`" + ` of that name.`,
	Example: recordedGround + `done("stringing", peppers, on = "2027-06-20", took = 2 * hours)
`,
	Source: "Haulm's own language",
}

// records judges what is written down of what happened.
func (p *pass) records() {
	r := p.facts.Record
	if r == nil {
		return
	}
	for i := range r.Strays {
		p.stray(&r.Strays[i])
	}
	for _, to := range r.Plantings {
		p.lostPlants(to)
		p.recordOrder(to)
	}
	today := p.farm.Today
	for _, d := range p.farm.Records {
		if today.Given && d.On.Given && d.On.Value > today.Value {
			p.report(&d.Decl, d.On.Value.String(), diag.Diagnostic{
				Rule: recordedAhead, Message: fmt.Sprintf("%s is recorded for %s, and today is %s", recordWords(d), p.day(d.On.Value), p.day(today.Value)),
				Primary: diag.Label{Span: d.On.Span, Text: "still to come"},
			})
		}
		_, known := r.Of(d)
		if known && d.Kind == farm.Done && d.Took.Given && d.Took.Value.SI > 0 && !r.HasWork(d) {
			p.report(&d.Decl, d.What.Value, diag.Diagnostic{
				Rule:    hoursWithoutWork,
				Message: fmt.Sprintf("the plan has no %s there for the %s that are recorded; give it a task of that name if it was extra", d.What.Value, hours(d.Took.Value.SI)),
				Primary: diag.Label{Span: d.What.Span, Text: "not in the plan"},
				Related: labels(diag.Label{Span: d.Took.Span, Text: "recorded"}, d.What.Span),
			})
		}
	}
}

// recordWords say what a record is of.
func recordWords(d *farm.Record) string {
	switch d.Kind {
	case farm.Lost:
		return "a loss of plants"
	case farm.Harvested:
		return "a harvest"
	}
	return d.What.Value
}

func (p *pass) stray(s *derive.Stray) {
	d := s.Decl
	at, label := d.WhereSpan, "not in the plan"
	subject := d.Where.Value
	if s.Job {
		at, subject = d.What.Span, d.What.Value
	}
	if s.Many {
		label = "which one?"
	}
	finding := diag.Diagnostic{Rule: recordOfNothing, Message: s.Why, Primary: diag.Label{Span: at, Text: label}}
	if s.Job && s.Near == "" {
		finding.Help = "`haulm show labor --by job` names the jobs; work of your own is a task of the plan"
	}
	if s.Near != "" {
		finding.Help = fmt.Sprintf("did you mean %q?", s.Near)
		if isQuoted(at, d.What.Value) {
			finding.Fixes = []diag.Fix{{Title: fmt.Sprintf("Write %q", s.Near), Edits: []diag.Edit{{Span: at, Text: fmt.Sprintf("%q", s.Near)}}}}
		}
	}
	p.report(&d.Decl, subject, finding)
}

// isQuoted tells whether a text stands in the plan just as it is, in quotes.
func isQuoted(at source.Span, text string) bool {
	whole := at.Text()
	return len(whole) == len(text)+2 && whole[1:len(whole)-1] == text
}

// lostPlants reports the first loss of more plants than stood.
func (p *pass) lostPlants(to *derive.PlantingRecord) {
	if !to.Planting.Placed() {
		return
	}
	n, from := to.Planting.Plants, to.Planting.Decl.Call
	why := fmt.Sprintf("%d planned", n)
	for _, d := range to.Counts {
		if d.Kind != farm.Lost {
			n, from, why = d.Plants.Value, d.Plants.Span, fmt.Sprintf("%d counted", d.Plants.Value)
			continue
		}
		if d.Plants.Value > n {
			p.report(&d.Decl, where(to.Planting), diag.Diagnostic{
				Rule:    moreLostThanPlanted,
				Message: fmt.Sprintf("%s of %s are lost, and only %d stood there. Mend one of the numbers", plants(d.Plants.Value), where(to.Planting), n),
				Primary: diag.Label{Span: d.Plants.Span, Text: "lost"},
				Related: []diag.Label{{Span: from, Text: why}},
				Values:  []diag.Value{{Name: "lost", Text: fmt.Sprint(d.Plants.Value)}, {Name: "stood", Text: fmt.Sprint(n)}},
			})
			return
		}
		n -= d.Plants.Value
	}
}

// recordOrder reports what is recorded of a planting before it was planted, and planting before sowing.
func (p *pass) recordOrder(to *derive.PlantingRecord) {
	pl := to.Planting
	if !pl.Plant.IsSet() {
		return
	}
	planted := diag.Label{Span: pl.Decl.On.Span, Text: "planned for " + p.day(pl.Plant)}
	if to.Planted != nil {
		planted = diag.Label{Span: to.Planted.On.Span, Text: "recorded for " + p.day(pl.Plant)}
	}
	early := func(d *farm.Record, what string, first season.Date, related diag.Label, before string) {
		if d == nil || !d.On.Given || d.On.Value >= first {
			return
		}
		p.report(&d.Decl, where(pl), diag.Diagnostic{
			Rule: recordOutOfOrder,
			Message: fmt.Sprintf("%s %s on %s, %s before it was %s on %s. One of the two days is wrong",
				where(pl), what, p.day(d.On.Value), days(first.DaysSince(d.On.Value)), before, p.day(first)),
			Primary: diag.Label{Span: d.On.Span, Text: days(first.DaysSince(d.On.Value)) + " too soon"},
			Related: labels(related, d.On.Span),
		})
	}
	verb := "planted"
	if pl.Decl.Direct {
		verb = "sown"
	}
	if len(to.Picked) > 0 {
		early(to.Picked[0].Decl, "is harvested", pl.Plant, planted, verb)
	}
	early(to.Cleared, "is cleared", pl.Plant, planted, verb)
	if to.Sown != nil {
		early(to.Planted, "is planted", pl.Sow, diag.Label{Span: to.Sown.On.Span, Text: "recorded for " + p.day(pl.Sow)}, "sown")
	}
	for _, d := range to.Counts {
		if d.Kind == farm.Lost {
			early(d, "loses plants", pl.Plant, planted, verb)
		}
	}
}
