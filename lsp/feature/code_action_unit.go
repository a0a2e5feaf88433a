package feature

import (
	"math"
	"strconv"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"
)

// units offers to write the quantity at the place in other units: 18 * inch as 1.5 * ft or 45.72 * cm.
func (a *actor) units() {
	u := &converter{actor: a, code: a.part.code(), offset: a.doc.File.Offset(a.in.Start)}
	u.names = a.doc.namesAt(a.part, u.offset)
	if u.degrees() {
		return
	}
	for i := range u.code {
		if u.code[i].Start > u.offset {
			return
		}
		if i+2 < len(u.code) && u.offset <= u.code[i+2].End && u.text(i+1) == "*" && u.text(i-1) != "/" {
			u.product(i)
		}
	}
}

type converter struct {
	actor  *actor
	code   []syntax.Token
	offset int
	names  *names
}

func (u *converter) text(i int) string {
	if i < 0 || i >= len(u.code) {
		return ""
	}
	return u.actor.part.text(u.code[i])
}

// unit gives the unit that token i is.
func (u *converter) unit(i int) (quantity.Unit, bool) {
	if u.names.named(u.text(i)) != nil {
		return quantity.Unit{}, false
	}
	return quantity.UnitNamed(u.text(i))
}

// product offers other units for number * unit, or unit * number, at token i.
func (u *converter) product(i int) {
	number, unit := i, i+2
	if u.code[i].Kind != syntax.Number {
		number, unit = i+2, i
	}
	n, err := strconv.ParseFloat(u.text(number), 64)
	from, ok := u.unit(unit)
	if err != nil || !ok || u.code[number].Kind != syntax.Number || n == 0 {
		return
	}
	if u.rate(i, from) {
		return
	}
	offered := map[string]bool{from.Name: true}
	for _, to := range quantity.UnitsOf(from.Dim) {
		if v := n * from.SI / to.SI; to.System == from.System && isEven(v) {
			u.offer(i, i+3, to, v, offered)
		}
	}
	if to, ok := usualUnit(counterpart(from.System), from.Of(n)); ok {
		u.offer(i, i+3, to, n*from.SI/to.SI, offered)
	}
}

func (u *converter) offer(from, to int, unit quantity.Unit, v float64, offered map[string]bool) {
	if !offered[unit.Name] {
		offered[unit.Name] = true
		u.write(from, to, decimal(v)+" * "+unit.Name)
	}
}

// write offers to put a text in place of the tokens from one to before another.
func (u *converter) write(from, to int, text string) {
	span := u.actor.doc.between(u.code[from].Start, u.code[to-1].End)
	u.actor.add(Action{Title: "Write it as " + text, Kind: ActionRewrite, Edits: []diag.Edit{{Span: span, Text: text}}})
}

// rate offers the other system's way to write a quantity by another, such as 0.3 * gpm / (100 * ft); false
// when the product at token i is none.
func (u *converter) rate(i int, unit quantity.Unit) bool {
	if u.text(i+3) != "/" {
		return false
	}
	to := i + 5
	if u.text(i+4) == "(" {
		to = closingOf(u.code, i+4) + 1
	}
	if to > len(u.code) || to <= i+4 {
		return false
	}
	value, ok := u.names.amount(u.actor.doc.File, u.code[i].Start, u.code[to-1].End)
	if !ok || value.date.IsSet() || isOneOf(u.text(to), []string{"/", "*"}) {
		return false
	}
	if text := counterpart(unit.System).Expr(value.q); text != "" {
		u.write(i, to, text)
	}
	return true
}

// degrees offers the other scale for degf(28) or degc(-2).
func (u *converter) degrees() bool {
	for i := range u.code {
		name, open := u.text(i), i+1
		if name != "degf" && name != "degc" || u.text(open) != "(" || u.names.named(name) != nil {
			continue
		}
		end := closingOf(u.code, open)
		if end == 0 || u.offset < u.code[i].Start || u.code[end].End < u.offset {
			continue
		}
		value, ok := u.names.amount(u.actor.doc.File, u.code[open+1].Start, u.code[end-1].End)
		if !ok || value.date.IsSet() || value.q.Dim != quantity.Ratio {
			return true
		}
		if v := value.q.SI; name == "degf" {
			u.write(i, end+1, "degc("+within((v-32)*5/9, 5e-4)+")")
		} else {
			u.write(i, end+1, "degf("+within(v*9/5+32, 1e-3)+")")
		}
		return true
	}
	return false
}

// counterpart is the system to convert to.
func counterpart(s quantity.System) quantity.System {
	if s == quantity.Metric {
		return quantity.US
	}
	return quantity.Metric
}

// usualUnit gives the unit in which a plan of a system would write a quantity.
func usualUnit(s quantity.System, q quantity.Quantity) (quantity.Unit, bool) {
	text := s.Expr(q)
	for i := len(text) - 1; i >= 0; i-- {
		if !isNameByte(text[i]) {
			return quantity.UnitNamed(text[i+1:])
		}
	}
	return quantity.Unit{}, false
}

// isEven tells whether a number has at most two decimals and a handy size.
func isEven(v float64) bool {
	return v >= 0.1 && v < 1000 && math.Abs(v*100-math.Round(v*100)) < 1e-9*v*100
}

// decimal writes a number in as few digits as give it exactly or, when that takes more than seven, to within
// half a millionth: so that what was converted and back reads as before.
func decimal(v float64) string {
	if text := within(v, 1e-12*math.Abs(v)); len(strings.TrimLeft(strings.ReplaceAll(text, ".", ""), "-0")) <= 7 {
		return text
	}
	return within(v, 5e-7*math.Abs(v))
}

// within writes a number in as few digits as come within so much of it.
func within(v, off float64) string {
	for digits := 1; ; digits++ {
		near, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', digits, 64), 64)
		if err != nil || digits >= 17 || math.Abs(near-v) <= off {
			return strconv.FormatFloat(near+0, 'f', -1, 64)
		}
	}
}
