package check

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/solve"
	"haulm/stdlib/season"
)

var plantingsOverlap = &diag.Rule{
	Code:     "plantings-overlap",
	Severity: diag.Error,
	Summary:  "two plantings take the same stretch of a row at the same time",
	Explain: `A planting owns its stretch of the row and half a spacing beyond its first and last plant, so that between
two plantings lies the mean of their spacings. It holds that ground from planting day until it is cleared:
` + "`until`" + `, else the day after its last harvest; without a planting day, all season.

Two crops may share a place in turn: one that is cleared before the other goes in takes nothing from it. A
planting without ` + "`start`" + ` is put where it fits, so leaving ` + "`start`" + ` out often mends this; else move it, shorten
one of the two, or clear the first earlier.`,
	Example: `farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
tomato = crop("tomato", family = "Solanaceae", spacing = 24 * inch, row_spacing = 4 * ft)
first = row(bench, at = 4 * ft)
plant(first, tomato, count = 10)
plant(first, tomato, count = 10, start = 12 * ft)
`,
	Source: "geometry and the order of days",
}

// overlaps walks each row from its head and keeps the plantings whose ground reaches the place.
func (p *pass) overlaps() {
	var open []*derive.Planting
	for _, r := range p.facts.Rows {
		if len(r.Plantings) < 2 {
			continue
		}
		open = open[:0]
		told := map[*derive.Planting]bool{}
		for _, pl := range byPlace(r) {
			if !pl.Placed() {
				continue
			}
			still := open[:0]
			for _, o := range open {
				if o.Owns.To <= pl.Owns.From+slack {
					continue
				}
				still = append(still, o)
				if !o.Overlaps(pl) {
					continue
				}
				late, early := pl, o
				if o.Decl.Order > pl.Decl.Order {
					late, early = o, pl
				}
				if !told[late] {
					told[late] = true
					p.overlap(r, late, early)
				}
			}
			open = append(still, pl)
		}
	}
}

func (p *pass) overlap(r *derive.Row, late, early *derive.Planting) {
	d := late.Decl
	from := max(late.Owns.From, early.Owns.From, 0)
	to := min(late.Owns.To, early.Owns.To, max(r.Length, from))
	both := fmt.Sprintf("%s and %s both", cropName(late), cropName(early))
	if cropName(late) == cropName(early) {
		both = fmt.Sprintf("two plantings of %s", cropName(late))
	}
	f := diag.Diagnostic{
		Rule: plantingsOverlap,
		Message: fmt.Sprintf("%s need %s from %s to %s %s",
			both, rowName(r), p.long(from), p.long(to), p.meanwhile(late, early)),
		Primary: diag.Label{Span: d.Call, Text: p.stands(late)},
		Related: labels(diag.Label{Span: early.Decl.CropSpan, Text: p.stands(early)}, d.CropSpan),
		Values:  []diag.Value{{Name: "shared", Text: p.long(to - from)}},
	}
	if d.Start.Given {
		f.Primary.Span = d.Start.Span
		if at, ok := solve.Start(late, p.units); ok {
			f.Message += fmt.Sprintf(". Start it at %s", p.long(at))
			f.Fixes = change(p, &d.Decl, &d.Start, "start", p.expr(at), "Start it at "+p.long(at))
			f.Fixes = append(f.Fixes, without(p, &d.Decl, &d.Start, "Leave start out: it goes where it fits")...)
		}
	}
	if day, ok := inTurn(r, late, early); ok {
		f.Message += fmt.Sprintf(". On %s %s is out", p.day(day), cropName(early))
		f.Fixes = append(f.Fixes, change(p, &d.Decl, &d.On, "on", dateText(day), putIn(late)+" it on "+p.day(day))...)
	}
	p.report(&d.Decl, where(late), f)
}

// inTurn gives the day that the earlier planting is out, when the later one could then go in and would
// meet no other.
func inTurn(r *derive.Row, late, early *derive.Planting) (season.Date, bool) {
	if !late.Decl.On.Given || !early.Clear.IsSet() || !late.Plant.IsSet() || early.Clear <= late.Plant || early.Plant > late.Plant {
		return season.None, false
	}
	then := *late
	then.Plant = early.Clear
	if then.Clear.IsSet() && !late.Decl.Until.Given {
		then.Clear = then.Clear.Add(early.Clear.DaysSince(late.Plant))
	}
	for _, o := range r.Plantings {
		if o != late && o.Placed() && o.Owns.From < late.Owns.To-slack && o.Owns.To > late.Owns.From+slack && o.Overlaps(&then) {
			return season.None, false
		}
	}
	return early.Clear, true
}

// meanwhile says when both stand in the ground.
func (p *pass) meanwhile(a, b *derive.Planting) string {
	from := max(a.Plant, b.Plant) // None is before all days
	to := season.None
	for _, clear := range []season.Date{a.Clear, b.Clear} {
		if clear.IsSet() && (!to.IsSet() || clear < to) {
			to = clear
		}
	}
	switch {
	case from.IsSet() && to.IsSet():
		return fmt.Sprintf("between %s and %s", p.day(from), p.day(to.Add(-1)))
	case from.IsSet():
		return "from " + p.day(from) + " on"
	case to.IsSet():
		return "until " + p.day(to.Add(-1))
	}
	return "all season"
}
