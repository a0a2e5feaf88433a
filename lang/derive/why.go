package derive

import (
	"fmt"
	"strconv"

	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Names of where a number comes from, beside the crop table's own sources.
const (
	thisPlan       = "this plan"
	commonPractice = "common practice"
	recorded       = "recorded"
)

// Why gives the reckonings of the planting: spacing, number, place, and its days from sowing to
// clearing, how it is raised, its water, then its harvest, in that order. What is not known says what it would need.
func (p *Planting) Why() []Reckoning {
	out := []Reckoning{p.whySpacing()}
	if p.Placed() {
		out = append(out, p.whyNumber(), p.whyPlace())
	}
	out = append(out, p.whySow(), p.whyFirstHarvest(), p.whyLastHarvest(), p.whyClear())
	out = append(out, p.Record.Why()...)
	out = append(out, p.whyRaised()...)
	if p.Water != nil {
		out = append(out, p.Water.Why()...)
	}
	if facts := p.Row.Plot.facts; facts != nil {
		out = append(out, facts.Harvest().Plantings[p.Number-1].Why()...)
		if facts.Fed() {
			out = append(out, facts.Feeding().Plantings[p.Number-1].Why()...)
		}
	}
	return out
}

func (p *Planting) whySpacing() Reckoning {
	r := Reckoning{Title: "Spacing in the line", Result: "not known"}
	switch {
	case p.Spacing == 0:
		r.Equation = "the plan gives no spacing that can be used, and the crop table holds none"
	case p.fallback:
		in := &p.Decl.Crop.InRow
		r.Equation = "middle of the crop's range, rounded to what a ruler shows"
		r.Inputs = []Input{p.cropInput("in-row spacing", p.lengths(in), in)}
		r.Result, r.Source = p.short(p.Spacing), commonPractice
	default:
		r.Equation = "as the plan gives it"
		r.Inputs = []Input{p.given("spacing", p.short(p.Spacing), p.Decl.Spacing.Span)}
		r.Result, r.Source = p.short(p.Spacing), thisPlan
	}
	return r
}

func (p *Planting) whyNumber() Reckoning {
	d := p.Decl
	r := Reckoning{Title: "Plants", Source: commonPractice}
	switch {
	case d.Count.Given && d.Count.Value > 0:
		r.Equation = "count × lines"
		r.Inputs = []Input{p.given("count", strconv.Itoa(p.PerLine), d.Count.Span)}
		r.Source = thisPlan
	case d.Length.Given:
		r.Equation = "(whole part of length / spacing, + 1) × lines"
		r.Inputs = []Input{p.given("length", p.long(d.Length.Value.SI), d.Length.Span), p.spacingInput()}
	default:
		r.Equation = "(whole part of room / spacing, + 1) × lines"
		r.Inputs = []Input{
			{Name: "room", Value: p.long(max(p.Room, 0)), Source: p.roomSource(), Span: d.Fill.Span},
			p.spacingInput(),
		}
	}
	lines := p.Row.Decl.Lines
	r.Inputs = append(r.Inputs, Input{Name: "lines", Value: strconv.Itoa(len(p.Row.Lines)), Source: origin(lines.Given), Span: where(lines)})
	if p.shifted != p.PerLine {
		r.Equation += "; lines shifted by half a spacing hold what still fits"
		r.Inputs = append(r.Inputs, Input{Name: "in each shifted line", Value: strconv.Itoa(p.shifted), Source: commonPractice, Span: p.Row.Decl.Staggered.Span})
	}
	r.Result = strconv.Itoa(p.Plants)
	return r
}

func (p *Planting) roomSource() string {
	if p.next-p.Spacing/2 < p.Row.Length {
		return "from the first plant to half a spacing before the next planting's ground"
	}
	return "from the first plant to the row's end"
}

func (p *Planting) whyPlace() Reckoning {
	r := Reckoning{
		Title:    "Place in the row",
		Equation: "first plant at the first free place from the row's head; last = first + (plants in the line - 1) × spacing",
		Inputs:   []Input{p.spacingInput(), {Name: "plants in the line", Value: strconv.Itoa(p.PerLine), Source: "see Plants"}},
		Result: fmt.Sprintf("first plant at %s, last at %s of %s", p.long(p.First), p.long(p.Last),
			p.long(p.Row.Length)),
		Source: commonPractice,
	}
	if p.byHand() {
		r.Equation = "first plant where the plan puts it; last = first + (plants in the line - 1) × spacing"
		r.Inputs = append(r.Inputs, p.given("start", p.long(p.First), p.Decl.Start.Span))
		r.Source = thisPlan
	}
	if p.staggered() {
		r.Equation += ", half a spacing further in shifted lines"
		r.Inputs = append(r.Inputs, p.given("staggered", "yes", p.Row.Decl.Staggered.Span))
	}
	return r
}

func (p *Planting) whySow() Reckoning {
	d := p.Decl
	r := Reckoning{Title: "Sow", Result: p.day(p.Sow)}
	switch {
	case p.direct():
		r.Equation = "sown in the row on its day"
		r.Inputs = []Input{p.onInput()}
		r.Source = r.Inputs[0].Source
	case p.Record != nil && p.Record.Sown != nil:
		r.Equation = "as it is recorded; planned was " + p.day(p.Record.Planned.Sow)
		r.Inputs = []Input{p.happened("tray sowing", p.Sow, p.Record.Sown)}
		r.Source = recorded
	case d.SownOn.Given:
		r.Equation = "as the plan gives it"
		r.Inputs = []Input{p.given("sown_on", p.day(p.Sow), d.SownOn.Span)}
		r.Source = thisPlan
	default:
		r.Equation = "planting day - weeks in the tray (middle of the range)"
		on := p.onInput()
		if p.Record != nil && p.Record.Planted != nil && p.Record.Planned.Plant.IsSet() {
			on = p.given("on, as planned", p.day(p.Record.Planned.Plant), d.On.Span) // a late planting was sown all the same
		}
		r.Inputs = []Input{on, p.cropInput("weeks in the tray", counts(&d.Crop.TrayWeeks), &d.Crop.TrayWeeks)}
		r.Source = commonPractice
	}
	return r
}

func (p *Planting) whyFirstHarvest() Reckoning {
	if first, _ := p.Record.pickedDays(); first.IsSet() {
		return Reckoning{Title: "First harvest", Equation: "as it is recorded; planned was " + p.day(p.Record.Planned.FirstHarvest),
			Inputs: []Input{p.happened("first picked", first, p.Record.Picked[0].Decl)}, Result: p.day(p.FirstHarvest), Source: recorded}
	}
	if p.warm != nil {
		return p.whyRipe()
	}
	d, m := p.Decl, p.maturity()
	r := Reckoning{Title: "First harvest", Inputs: []Input{p.onInput()}, Result: p.day(p.FirstHarvest), Source: commonPractice}
	days := "days from setting out to first harvest"
	if p.direct() {
		days = "days from seed to first harvest"
	}
	r.Equation = "planting day + " + days
	switch {
	case m.given:
		r.Inputs = append(r.Inputs, p.given(days, strconv.Itoa(d.Maturity.Value), d.Maturity.Span))
		r.Source = thisPlan
	case m.from == nil:
		r.Inputs = append(r.Inputs, Input{Name: days, Value: "not known", Source: "the crop table holds none"})
	case m.shift == 0:
		r.Equation += " (middle of the range)"
		r.Inputs = append(r.Inputs, p.cropInput(days, counts(m.from), m.from))
	case p.direct():
		r.Equation = "planting day + days from setting out (middle of the range) + two thirds of the days a transplant spends in the tray"
		r.Inputs = append(r.Inputs, p.cropInput("days from setting out", counts(m.from), m.from),
			p.cropInput("weeks in the tray", counts(&d.Crop.TrayWeeks), &d.Crop.TrayWeeks))
	default:
		r.Equation = "planting day + days from seed (middle of the range) - two thirds of the days in the tray"
		r.Inputs = append(r.Inputs, p.cropInput("days from seed", counts(m.from), m.from),
			Input{Name: "days gained in the tray", Value: strconv.Itoa(-m.shift), Source: "see Sow"})
	}
	if p.hasDegrees() && !m.given {
		r.Inputs = append(r.Inputs, Input{Name: "degree days", Value: "not used", Source: p.whyCool()})
	}
	return r
}

func (p *Planting) whyLastHarvest() Reckoning {
	d := p.Decl
	r := Reckoning{
		Title:    "Last harvest",
		Equation: "first harvest + days of harvest",
		Inputs:   []Input{{Name: "first harvest", Value: p.day(p.FirstHarvest), Source: "see First harvest"}},
		Result:   p.day(p.LastHarvest),
		Source:   commonPractice,
	}
	if d.Harvest.Given {
		r.Inputs = append(r.Inputs, p.given("days of harvest", strconv.Itoa(d.Harvest.Value), d.Harvest.Span))
		r.Source = thisPlan
	} else {
		r.Equation += " (middle of the range)"
		r.Inputs = append(r.Inputs, p.cropInput("days of harvest", counts(&d.Crop.HarvestDays), &d.Crop.HarvestDays))
	}
	if p.frosted {
		r.Equation += ", but no later than the first frost, which kills it"
		r.Inputs = append(r.Inputs, p.frostInput())
	}
	_, last := p.Record.pickedDays()
	switch {
	case last.IsSet() && last == p.LastHarvest:
		return Reckoning{Title: r.Title, Equation: "the last that is recorded; planned was " + p.day(p.Record.Planned.LastHarvest),
			Inputs: []Input{p.happened("last picked", last, p.Record.Picked[len(p.Record.Picked)-1].Decl)}, Result: r.Result, Source: recorded}
	case p.Record != nil && p.Record.Cleared != nil:
		r.Equation += ", but no later than the day before the row is cleared"
		r.Inputs = append(r.Inputs, p.happened("cleared", p.Clear, p.Record.Cleared))
	case d.Until.Given:
		r.Equation += ", but no later than the day before the row is cleared"
		r.Inputs = append(r.Inputs, p.given("until", p.day(p.Clear), d.Until.Span))
	}
	return r
}

// happened is a day that is recorded.
func (p *Planting) happened(name string, day season.Date, by *farm.Record) Input {
	return Input{Name: name, Value: p.day(day), Source: recorded, Span: by.On.Span}
}

// frostInput is the site's first frost, in the year of the planting's season.
func (p *Planting) frostInput() Input {
	in := Input{Name: "first frost", Value: p.day(p.LastHarvest), Source: thisPlan}
	if f := p.Row.Plot.farm; f != nil && f.Site != nil {
		in.Span = f.Site.FirstFrost.Span
	}
	return in
}

func (p *Planting) whyClear() Reckoning {
	r := Reckoning{Title: "Clear", Result: p.day(p.Clear)}
	if p.Record != nil && p.Record.Cleared != nil {
		r.Equation = "as it is recorded; planned was " + p.day(p.Record.Planned.Clear)
		r.Inputs = []Input{p.happened("cleared", p.Clear, p.Record.Cleared)}
		r.Source = recorded
		return r
	}
	if until := p.Decl.Until; until.Given && p.Clear == until.Value {
		r.Equation = "as the plan gives it"
		r.Inputs = []Input{p.given("until", p.day(p.Clear), until.Span)}
		r.Source = thisPlan
		return r
	}
	r.Equation = "the day after the last harvest"
	r.Inputs = []Input{{Name: "last harvest", Value: p.day(p.LastHarvest), Source: "see Last harvest"}}
	r.Source = commonPractice
	return r
}

func (p *Planting) short(v float64) string { return p.Row.Plot.units().Short(quantity.Meters(v)) }
func (p *Planting) long(v float64) string  { return p.Row.Plot.units().Format(quantity.Meters(v)) }

func (p *Planting) day(d season.Date) string {
	if !d.IsSet() {
		return "not known"
	}
	year := 0
	if f := p.Row.Plot.farm; f != nil {
		year = f.Year.Value
	}
	return d.Long(year)
}

func (p *Planting) given(name, value string, span source.Span) Input {
	return Input{Name: name, Value: value, Source: thisPlan, Span: span}
}

func (p *Planting) onInput() Input {
	if p.Record != nil && p.Record.Planted != nil {
		in := p.happened("on", p.Plant, p.Record.Planted)
		if planned := p.Record.Planned.Plant; planned != p.Plant {
			in.Value += ", planned " + p.day(planned)
		}
		return in
	}
	if !p.Plant.IsSet() {
		return Input{Name: "on", Value: "not known", Source: "the plan gives no day", Span: p.Decl.Call}
	}
	return p.given("on", p.day(p.Plant), p.Decl.On.Span)
}

func (p *Planting) spacingInput() Input {
	in := Input{Name: "spacing", Value: p.short(p.Spacing), Source: "see Spacing in the line"}
	if !p.fallback {
		in.Source, in.Span = thisPlan, p.Decl.Spacing.Span
	}
	return in
}

// cropInput is a value of the crop, with the crop's call when the plan made the crop and the value.
func (p *Planting) cropInput(name, value string, r *crops.Range) Input {
	in := Input{Name: name, Value: value}
	switch r.Grade {
	case "":
		in.Value, in.Source = "not known", "the crop table holds none"
	case "plan":
		in.Source, in.Span = thisPlan, p.Decl.Crop.Call
	case "M":
		in.Source = "memory"
	default:
		in.Source = fmt.Sprintf("%s (grade %s)", r.Source, r.Grade)
	}
	return in
}

// lengths prints a range of lengths: "12 in to 18 in".
func (p *Planting) lengths(r *crops.Range) string {
	if r.Low == r.High {
		return p.short(r.Low)
	}
	return p.short(r.Low) + " to " + p.short(r.High)
}

// counts prints a range of plain numbers: "5 to 7".
func counts(r *crops.Range) string {
	low := strconv.FormatFloat(r.Low, 'f', -1, 64)
	if r.Low == r.High {
		return low
	}
	return low + " to " + strconv.FormatFloat(r.High, 'f', -1, 64)
}

func origin(given bool) string {
	if given {
		return thisPlan
	}
	return "when the plan gives none"
}

func where(c farm.Count) source.Span {
	if c.Given {
		return c.Span
	}
	return source.Span{}
}
