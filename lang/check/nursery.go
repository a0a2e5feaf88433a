package check

import (
	"fmt"
	"math"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// raisedGround begins the examples: a plot, a tray and a row.
const raisedGround = `load("crops", "bell_pepper")
farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
first = row(bench, at = 20 * ft)
plugs = tray(72)
`

var benchFull = &diag.Rule{
	Code: "bench-full", Severity: diag.Warning,
	Summary: "more trays and pots stand in the nursery than its bench or its heat mats hold",
	Explain: `For every day between the first sowing and the last planting out the trays and pots on the bench are added up:
trays from sowing to stepping up, pots from then on, both until they go outdoors to harden off. The fullest day of a week
is set against ` + "`nursery(bench = ...)`" + `. Trays on heat mats, until their seed is up, are set against ` + "`mat_places`" + ` likewise.

Sow in trays of more cells, step up into smaller pots or fewer of them, put a sowing off, or add bench. Trays stacked
for the few days until their seed sprouts take less room than is counted here.`,
	Example: raisedGround + `nursery(bench = 1 * sqft)
plant(first, bell_pepper, fill = True, spacing = 18 * inch, on = "2027-05-15", tray = plugs)
`,
	Source: "arithmetic",
}

var seedTooLate = &diag.Rule{
	Code: "seed-too-late", Severity: diag.Warning,
	Summary: "seed is sown so late that its seedlings are too small on planting day",
	Explain: `The days from ` + "`sown_on`" + ` to planting day are set against the least that the crop spends in the tray. A seedling that
goes out before it holds its root ball together falls apart in the hand and stands still for weeks.

Sow by the day named, or plant later. Without ` + "`sown_on`" + ` Haulm counts the middle of the crop's weeks back by itself.`,
	Example: raisedGround + `plant(first, bell_pepper, fill = True, spacing = 18 * inch, on = "2027-05-15", sown_on = "2027-04-20", tray = plugs)
`,
	Source: "the crop's own weeks in the tray, by the source that `haulm doc` names for it",
}

var transplantOvergrown = &diag.Rule{
	Code: "transplant-overgrown", Severity: diag.Warning,
	Summary: "seedlings stay in the tray longer than the crop bears",
	Explain: `The days from ` + "`sown_on`" + ` to planting day are set against the most that the crop spends in the tray; two weeks more
where it is stepped up into a pot. Past that the roots have filled the cell, the plant hardens, and some crops bolt or
button instead of growing on.

Sow later, plant earlier, or step up into a pot with ` + "`plant(..., pot = ...)`" + `.`,
	Example: raisedGround + `plant(first, bell_pepper, fill = True, spacing = 18 * inch, on = "2027-05-15", sown_on = "2027-02-01", tray = plugs)
`,
	Source: "the crop's own weeks in the tray, by the source that `haulm doc` names for it; two weeks for a pot: memory of general extension practice",
}

var matTooCold = &diag.Rule{
	Code: "mat-too-cold", Severity: diag.Warning,
	Summary: "seed sprouts in a mix colder than it comes up in",
	Explain: `The temperature of the potting mix, that of the heat mat or of the house, whichever the tray stands on, is set against
the least at which the crop's seed comes up. Colder, it rots or comes up over weeks, no two plants of a size.

Turn the mat up, put the trays on one, or warm the house until the seed is up; once it is, most seedlings want it cooler.`,
	Example: raisedGround + `nursery(bench = 40 * sqft, temperature = degf(52))
plant(first, bell_pepper, fill = True, spacing = 18 * inch, on = "2027-05-15", tray = plugs)
`,
	Source: "the crop's own least temperature, by the source that `haulm doc` names for it",
}

// potDays is how much longer a seedling keeps in a pot than in a cell, days (memory of general extension practice:
// tomatoes 5 to 6 weeks in cells, 5 to 8 with a step up).
const potDays = 14

// nurseries holds the raising of plants against the crops and the nursery.
func (p *pass) nurseries() {
	for _, pl := range p.facts.Plantings {
		if d := pl.Decl; d != nil && !d.Direct && d.SownOn.Given && d.On.Given && d.Crop != nil && d.Crop.TrayWeeks.Known() {
			p.inTray(pl)
		}
	}
	if p.farm.Nursery == nil || len(p.farm.Trays) == 0 {
		return
	}
	n := p.facts.Nursery()
	for _, s := range n.Starts {
		p.matCold(n, s)
	}
	p.benchRoom(n)
	p.matRoom(n)
}

// inTray sets a sowing day of the plan against the crop's days in the tray.
func (p *pass) inTray(pl *derive.Planting) {
	d := pl.Decl
	weeks := &d.Crop.TrayWeeks
	stay := d.On.Value.DaysSince(d.SownOn.Value)
	least, most := int(math.Floor(weeks.Low*7)), int(math.Ceil(weeks.High*7))
	if d.Pot != nil {
		most += potDays
	}
	sow := func(n int) season.Date { return d.On.Value.Add(-n) }
	f := diag.Diagnostic{
		Related: labels(diag.Label{Span: d.On.Span, Text: "goes into the row"}, d.SownOn.Span),
		Values:  []diag.Value{{Name: "in the tray", Text: days(stay)}, {Name: "least", Text: days(least)}, {Name: "most", Text: days(most)}},
		Help:    fmt.Sprintf("%s: %s to %s in the tray (%s)", d.Crop.Title(), days(least), days(int(math.Ceil(weeks.High*7))), credit(weeks)),
	}
	switch {
	case stay <= 0 || stay > 365: // sown-after-planting and date-outside-season say so
		return
	case stay < least:
		by := sow(least)
		f.Rule = seedTooLate
		f.Message = fmt.Sprintf("%s is sown on %s, %s before it goes out; it needs %s in the tray. Sow it by %s", where(pl), p.day(d.SownOn.Value), days(stay), days(least), p.day(by))
		f.Primary = diag.Label{Span: d.SownOn.Span, Text: days(least-stay) + " too late"}
		f.Fixes = change(p, &d.Decl, &d.SownOn, "sown_on", dateText(by), "Sow it on "+p.day(by))
	case stay > most:
		from := sow(most)
		f.Rule = transplantOvergrown
		f.Message = fmt.Sprintf("%s is sown on %s, %s before it goes out; it bears %s in the tray. Sow it from %s on", where(pl), p.day(d.SownOn.Value), days(stay), days(most), p.day(from))
		f.Primary = diag.Label{Span: d.SownOn.Span, Text: days(stay-most) + " too early"}
		f.Fixes = change(p, &d.Decl, &d.SownOn, "sown_on", dateText(from), "Sow it on "+p.day(from))
		if d.Pot == nil {
			f.Help += "; stepped up into a pot it keeps two weeks longer"
		}
	default:
		return
	}
	p.report(&d.Decl, where(pl), f)
}

func (p *pass) matCold(n *derive.Nursery, s *derive.Start) {
	least := &s.Planting.Decl.Crop.SoilMin
	if math.IsNaN(s.Temperature) || !least.Known() || s.Temperature >= least.Low-coldSlack {
		return
	}
	temp := func(k float64) string { return p.units.Short(quantity.Of(k, quantity.Temperature)) }
	at, stands, name, warm := &n.Decl.Temperature, "in the house", "temperature", "Warm the house to "
	if s.OnMat {
		at, stands, name, warm = &n.Decl.MatTemperature, "on the mat", "mat_temperature", "Set the mat to "
	}
	need := p.roundTemperature(least.Low)
	p.report(&s.Planting.Decl.Decl, cropName(s.Planting), diag.Diagnostic{
		Rule: matTooCold,
		Message: fmt.Sprintf("%s sprouts %s at %s; its seed needs %s to come up. %s%s or more", cropName(s.Planting), stands,
			temp(s.Temperature), temp(least.Low), warm, temp(need)),
		Primary: diag.Label{Span: at.Span, Text: "too cold for " + cropName(s.Planting)},
		Related: labels(diag.Label{Span: s.Planting.Decl.CropSpan, Text: "sown for here"}, at.Span),
		Values:  []diag.Value{{Name: "mix", Text: temp(s.Temperature)}, {Name: "least", Text: temp(least.Low)}},
		Help:    fmt.Sprintf("least for %s: %s", s.Planting.Decl.Crop.Title(), credit(least)),
		Fixes:   change(p, &n.Decl.Decl, at, name, p.temperatureExpr(need), warm+temp(need)),
	})
}

// roundTemperature brings a temperature up to a whole degree of the farm's scale.
func (p *pass) roundTemperature(k float64) float64 {
	c := quantity.Of(k, quantity.Temperature).Celsius()
	if p.units == quantity.Metric {
		return quantity.Celsius(math.Ceil(c - 1e-6)).SI
	}
	return quantity.Fahrenheit(math.Ceil(c*1.8 + 32 - 1e-6)).SI
}

// temperatureExpr is a temperature as a plan writes it.
func (p *pass) temperatureExpr(k float64) string {
	c := quantity.Of(k, quantity.Temperature).Celsius()
	if p.units == quantity.Metric {
		return fmt.Sprintf("degc(%.0f)", c)
	}
	return fmt.Sprintf("degf(%.0f)", c*1.8+32)
}

// fullest gives the week with most of something, and how many weeks have more than there is.
func fullest(n *derive.Nursery, there float64, of func(*derive.NurseryWeek) float64) (week *derive.NurseryWeek, over int) {
	for _, w := range n.Weeks {
		if v := of(w); v > there*(1+1e-9)+1e-9 {
			over++
			if week == nil || v > of(week)+1e-9 {
				week = w
			}
		}
	}
	return week, over
}

func (p *pass) benchRoom(n *derive.Nursery) {
	bench := n.Decl.Bench
	w, over := fullest(n, bench.Value.SI, func(w *derive.NurseryWeek) float64 { return w.Bench })
	if w == nil {
		return
	}
	area := func(v float64) string { return p.units.Format(quantity.Of(v, quantity.Area)) }
	need := math.Ceil(w.Bench/p.areaStep()-1e-6) * p.areaStep()
	p.report(&n.Decl.Decl, "the bench", diag.Diagnostic{
		Rule: benchFull,
		Message: fmt.Sprintf("in the week of %s, trays and pots take %s of bench; the nursery has %s. Add %s, or put off %s", p.day(w.Monday),
			area(need), area(bench.Value.SI), area(need-bench.Value.SI), lastStart(w)),
		Primary: diag.Label{Span: bench.Span, Text: "short by " + area(need-bench.Value.SI)},
		Values:  []diag.Value{{Name: "needed", Text: area(need)}, {Name: "there is", Text: area(bench.Value.SI)}},
		Help:    count(over, "1 week is too full", "%d weeks are too full") + "; `haulm show nursery --by week` lists them",
		Fixes:   change(p, &n.Decl.Decl, &bench, "bench", p.areaExpr(need), "Make the bench "+area(need)),
	})
}

// areaStep is what benches are measured to, m2; areaExpr is an area as a plan writes it.
func (p *pass) areaStep() float64 {
	if p.units == quantity.Metric {
		return 0.1
	}
	return 0.3048 * 0.3048
}

func (p *pass) areaExpr(v float64) string {
	if p.units == quantity.Metric {
		return fmt.Sprintf("%.1f * sqm", v)
	}
	return fmt.Sprintf("%.0f * sqft", v/p.areaStep())
}

// lastStart names what is sown last of what stands in the nursery in a week.
func lastStart(w *derive.NurseryWeek) string {
	last := w.Batches[0].Starts[0].Planting
	for _, b := range w.Batches {
		if p := b.Starts[0].Planting; p.Sow > last.Sow {
			last = p
		}
	}
	return fmt.Sprintf("the sowing of %s for %s", cropName(last), rowName(last.Row))
}

func (p *pass) matRoom(n *derive.Nursery) {
	places := n.Decl.MatPlaces
	w, over := fullest(n, float64(places.Value), func(w *derive.NurseryWeek) float64 { return float64(w.Mats) })
	if w == nil || !places.Given {
		return
	}
	p.report(&n.Decl.Decl, "the mats", diag.Diagnostic{
		Rule: benchFull,
		Message: fmt.Sprintf("in the week of %s, %d trays stand on heat mats; the mats have %d places. Add mats, or sow a part of them some days later",
			p.day(w.Monday), w.Mats, places.Value),
		Primary: diag.Label{Span: places.Span, Text: "short by " + count(w.Mats-places.Value, "1 place", "%d places")},
		Values:  []diag.Value{{Name: "needed", Text: fmt.Sprint(w.Mats)}, {Name: "there are", Text: fmt.Sprint(places.Value)}},
		Help:    count(over, "1 week is too full", "%d weeks are too full") + "; `haulm show nursery --by week` lists them",
	})
}
