package feature

import (
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/source"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// counts says how many plants plantings come to, when the text does not say it itself.
func (h *hinter) counts(things []Thing) Hint {
	plants, rows := 0, map[*derive.Row]bool{}
	var one *derive.Planting
	for _, t := range things {
		if p := t.Planting; p != nil && p.Placed() {
			plants += p.Plants
			rows[p.Row] = true
			one = p
		}
	}
	hint := Hint{Kind: HintCounts}
	switch {
	case one == nil:
		return hint
	case len(things) > 1 || things[0].Through:
		hint.Tip = h.doc.manyText(things)
		hint.Label = counted(plants, "plant")
		if len(rows) > 1 {
			hint.Label += " in " + counted(len(rows), "row")
		}
		return hint
	}
	var words []string
	if d := one.Decl; !d.Count.Given || one.Plants != d.Count.Value {
		words = append(words, counted(plants, "plant"))
	}
	if !one.Decl.Spacing.Given {
		words = append(words, h.doc.units().Short(quantity.Meters(one.Spacing))+" apart")
	}
	hint.Label = strings.Join(words, ", ")
	hint.Tip = whyOf(one.Why(), "Plants", "Spacing in the line")
	return hint
}

// whyOf lists the reckonings of some titles.
func whyOf(why []derive.Reckoning, titles ...string) string {
	return whyText(slices.DeleteFunc(why, func(r derive.Reckoning) bool { return !slices.Contains(titles, r.Title) }))
}

// feetLeft says how much of rows nothing is planted in; of a planting's row at the one declared last,
// unless the row stands in the same statement.
func (h *hinter) feetLeft(things []Thing, facts *pastPart) Hint {
	var rows []*derive.Row
	for _, t := range things {
		if t.Row != nil {
			rows = append(rows, t.Row)
		}
	}
	if p := things[0].Planting; len(things) == 1 && p != nil && p.Placed() && isLast(p) && !holds(facts.span, p.Row.Decl.Call) {
		rows = append(rows, p.Row)
	}
	free := 0.0
	for _, r := range rows {
		free += r.FreeLength
	}
	hint := Hint{Kind: HintFeetLeft}
	if free < leastLeft {
		return hint
	}
	hint.Label = h.doc.length(free) + " left"
	if len(rows) == 1 {
		hint.Tip = whyOf(rows[0].Why(), "Free")
		return hint
	}
	hint.Label += " in " + counted(len(rows), "row")
	lines := make([]string, len(rows))
	for i, r := range rows {
		lines[i] = "- " + h.doc.line(Thing{Row: r})
	}
	hint.Tip = strings.Join(shortened(lines), "\n")
	return hint
}

// leastLeft is the length, in meters, below which a row counts as full: nothing grows in it.
const leastLeft = 0.01

func isLast(p *derive.Planting) bool {
	return !slices.ContainsFunc(p.Row.Plantings, func(q *derive.Planting) bool { return q.Decl.Order > p.Decl.Order })
}

func holds(outer, inner source.Span) bool {
	return inner.IsValid() && outer.IsValid() && inner.File == outer.File && !inner.Start.Before(outer.Start) &&
		!outer.End.Before(inner.End)
}

// dates says when plantings are sown and harvested, as far as it is known and the text does not say it.
func (h *hinter) dates(things []Thing) Hint {
	sow, first, last := season.None, season.None, season.None
	var all []*derive.Planting
	for _, t := range things {
		p := t.Planting
		if p == nil {
			continue
		}
		if all = append(all, p); len(all) == 1 && !p.Decl.Direct && !p.Decl.SownOn.Given {
			sow = p.Sow
		} else if p.Sow != sow {
			sow = season.None
		}
		first, last = earliest(first, p.FirstHarvest), latest(last, p.LastHarvest)
	}
	hint := Hint{Kind: HintDates, Label: h.harvest(first, last)}
	if sow.IsSet() {
		text := "sow " + h.doc.day(sow)
		if hint.Label != "" {
			text = shortest(text+", "+hint.Label, hint.Label)
		}
		hint.Label = text
	}
	switch {
	case hint.Label == "":
	case len(all) == 1:
		hint.Tip = whyOf(all[0].Why(), "Sow", "First harvest", "Last harvest")
	default:
		var lines []string
		for _, p := range all {
			lines = append(lines, "- "+p.Decl.Crop.Title()+", "+rowOf(p.Row)+": "+h.harvest(p.FirstHarvest, p.LastHarvest))
		}
		hint.Tip = strings.Join(shortened(lines), "\n")
	}
	return hint
}

func (h *hinter) harvest(first, last season.Date) string {
	switch {
	case !first.IsSet():
		return ""
	case !last.IsSet():
		return "harvest from " + h.doc.day(first)
	case first == last:
		return "harvest " + h.doc.day(first)
	}
	return "harvest " + h.doc.day(first) + " to " + h.doc.day(last)
}

// day is a date in as few letters as tell it: "Apr 24", with the year when it is not the season's.
func (d *Doc) day(date season.Date) string {
	text := date.Month().String()[:3] + " " + strconv.Itoa(date.Day())
	if y := date.Year(); y != d.year() {
		text += " " + strconv.Itoa(y)
	}
	return text
}

func earliest(a, b season.Date) season.Date {
	if !a.IsSet() || b.IsSet() && b < a {
		return b
	}
	return a
}

func latest(a, b season.Date) season.Date {
	if !a.IsSet() || b.IsSet() && b > a {
		return b
	}
	return a
}
