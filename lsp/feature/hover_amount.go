package feature

import (
	"fmt"

	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// amount tells about the number or the unit at the place by the whole product it stands in: "30 ft =
// 9.14 m".
func (h *hoverer) amount() (string, source.Span) {
	from, to := h.product()
	if a, ok := h.names.amount(h.doc.File, h.code[from].Start, h.code[to-1].End); ok && (a.date.IsSet() || a.q.Dim != quantity.Ratio) && to-from > 1 {
		text := h.doc.amountText(a)
		if day, ok := h.day(); ok {
			text += ": " + h.doc.amountText(day)
		}
		return text, h.doc.between(h.code[from].Start, h.code[to-1].End)
	}
	if u, ok := quantity.UnitNamed(h.part.text(h.in)); ok && h.names.named(u.Name) == nil {
		return unitText(u), h.doc.between(h.in.Start, h.in.End)
	}
	return "", source.Span{}
}

// day is the date that the argument around the place comes to; false when it is none.
func (h *hoverer) day() (amount, bool) {
	call := h.part.Call(h.offset)
	if call == nil || call.Arg >= len(call.Args) {
		return amount{}, false
	}
	v := call.Args[call.Arg].Value
	a, ok := h.names.amount(h.doc.File, h.doc.File.Offset(v.Start), h.doc.File.Offset(v.End))
	return a, ok && a.date.IsSet()
}

// product gives the tokens of the product around the place: numbers, units and brackets joined by * and /.
func (h *hoverer) product() (from, to int) {
	part := func(i int) bool {
		if i < 0 || i >= len(h.code) {
			return false
		}
		text := h.part.text(h.code[i])
		_, unit := quantity.UnitNamed(text)
		return h.code[i].Kind == syntax.Number || unit && h.names.named(text) == nil
	}
	sign := func(i int) bool { return h.token(i) == "*" || h.token(i) == "/" }
	from, to = h.at, h.at+1
	for {
		switch {
		case sign(from-1) && part(from-2):
			from -= 2
		case sign(from-1) && h.token(from-2) == ")" && opening(h.code, from-2) > 0 && !isName(h.part, h.code[opening(h.code, from-2)-1]):
			from = opening(h.code, from-2)
		case sign(to) && part(to+1):
			to += 2
		case sign(to) && h.token(to+1) == "(" && closingOf(h.code, to+1) > 0:
			to = closingOf(h.code, to+1) + 1
		case h.token(from-1) == "(" && h.token(to) == ")" && from >= 2 && sign(from-2):
			from, to = from-1, to+1
		default:
			return from, to
		}
	}
}

// closingOf gives the token of the bracket that closes token i, 0 for none.
func closingOf(code []syntax.Token, i int) int {
	depth := 0
	for ; i < len(code); i++ {
		switch code[i].Kind {
		case syntax.Opener:
			depth++
		case syntax.Closer:
			if depth--; depth == 0 {
				return i
			}
		}
	}
	return 0
}

// amountText writes a value: a quantity in both systems, a date with its weekday and how far it is from
// the nearer frost.
func (d *Doc) amountText(a amount) string {
	if !a.date.IsSet() {
		if a.q.Dim == quantity.Ratio {
			return d.units().Short(a.q)
		}
		return inBothSystems(a.q)
	}
	text := a.date.Long(d.year())
	if d.Plan == nil || d.Plan.Farm == nil || d.Plan.Farm.Site == nil {
		return text
	}
	s := d.Plan.Farm.Site
	since := season.None
	what := "the last frost"
	if s.LastFrost.Given {
		since = s.LastFrost.Value
	}
	if first := s.FirstFrost; first.Given && (!since.IsSet() || apart(a.date, first.Value) < apart(a.date, since)) {
		since, what = first.Value, "the first frost"
	}
	if since.IsSet() {
		text += ", " + fromDay(a.date.DaysSince(since), what)
	}
	return text
}

func apart(a, b season.Date) int { return max(a.DaysSince(b), b.DaysSince(a)) }

// fromDay says how far a day is from another: "2 weeks after the last frost".
func fromDay(days int, what string) string {
	side := "after"
	if days < 0 {
		days, side = -days, "before"
	}
	switch {
	case days == 0:
		return "on " + what
	case days%7 == 0:
		return fmt.Sprintf("%s %s %s", counted(days/7, "week"), side, what)
	}
	return fmt.Sprintf("%s %s %s", counted(days, "day"), side, what)
}
