package syntax

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"haulm/stdlib/quantity"
)

// term is a number with its unit.
type term struct {
	value, unit string // as a plan writes them; the unit may be missing
	why         lapse
	last        int
}

// lapse is how a term differs from what a plan writes, the first that is worth telling.
type lapse uint8

const (
	none    lapse = iota
	noTimes       // 4 ft
	quoted        // 4', 6"
	inIs          // 24 in, 24 * in
	timesX        // 24 x inch
	mixed         // 4 1/2
)

// amount reads a number with its unit, or several that make one length: 4 ft 6 in.
func (p *paper) amount(i int) (reading, bool) {
	first, ok := p.term(i)
	if !ok {
		return p.area(i)
	}
	terms := []term{first}
	for last := first; last.unit != ""; {
		next := last.last + 1
		if last.why == quoted && p.textAt(next) == "-" {
			next++ // 4'-6"
		}
		t, ok := p.term(next)
		if !ok || !p.goesOn(next) || !isPartOf(t.unit, last.unit) {
			break
		}
		terms, last = append(terms, t), t
	}
	why := none
	for _, t := range terms {
		if why == none {
			why = t.why
		}
	}
	if why == none && len(terms) == 1 {
		return reading{}, false
	}
	r := reading{first: i, last: terms[len(terms)-1].last, safe: why != timesX}
	parts := make([]string, len(terms))
	for n, t := range terms {
		parts[n] = t.String()
	}
	r.text = strings.Join(parts, " + ")
	r.message = p.amountMessage(i, terms, why, r.text)
	if len(terms) > 1 && (p.binds(i-1) || p.binds(r.last+1)) {
		r.text = "(" + r.text + ")"
	}
	return r, true
}

// area reads 24 x 36, two measures at once.
func (p *paper) area(i int) (reading, bool) {
	sign := p.textAt(i + 1)
	if !p.isNumber(i) || !p.goesOn(i+1) || sign != "x" && sign != "X" || !p.isNumber(i+2) {
		return reading{}, false
	}
	return reading{first: i, last: i + 2, message: fmt.Sprintf("plans write * for times, not %s; two measures are two arguments", sign)}, true
}

func (t term) String() string {
	if t.unit == "" {
		return t.value
	}
	return t.value + " * " + t.unit
}

// binds tells whether a sign holds a neighbour tighter than a + would.
func (p *paper) binds(i int) bool {
	return slices.Contains([]string{"*", "/", "//", "%", "-"}, p.textAt(i))
}

func isPartOf(small, large string) bool {
	a, ok := quantity.UnitNamed(small)
	b, also := quantity.UnitNamed(large)
	return ok && also && a.Dim == b.Dim && a.SI < b.SI
}

func (p *paper) amountMessage(i int, terms []term, why lapse, text string) string {
	switch {
	case why == quoted && len(terms) > 1:
		return "feet are written ft and inches inch: " + text
	case why == quoted && terms[0].unit == "ft":
		return "feet are written ft: " + text
	case why == quoted || why == inIs:
		return "inches are written inch: " + text
	case why == mixed:
		return "a fraction is written with a decimal point: " + text
	case why == timesX:
		return "plans write * for times, not " + p.textAt(i+1)
	case len(terms) > 1 && why == none:
		return fmt.Sprintf("a + is missing between %s and %s", terms[0], terms[1])
	case len(terms) > 1:
		return "a measure of several parts is a sum: " + text
	}
	unit := p.unitText(i+1, terms[0].last)
	if unit == "%" {
		return "% is written percent: " + text
	}
	return fmt.Sprintf("a * is missing between %s and %s", terms[0].value, unit)
}

// unitText is a unit as it is written between two tokens.
func (p *paper) unitText(first, last int) string {
	return strings.Join(strings.Fields(p.between(first, last)), " ")
}

// term reads a number, which may have a fraction, and its unit.
func (p *paper) term(i int) (term, bool) {
	if !p.isNumber(i) {
		return term{}, false
	}
	t := term{value: p.textAt(i), last: i}
	if n, ok := p.fraction(i + 1); ok && p.isWhole(i) {
		t.value, t.why, t.last = withFraction(t.value, n.over, n.under), mixed, n.last
	}
	next := t.last + 1
	times := p.textAt(next)
	switch {
	case !p.goesOn(next):
	case times == "'" && p.touches(next):
		return term{t.value, "ft", max(t.why, quoted), next}, true
	case times == `"` && p.touches(next):
		return term{t.value, "inch", max(t.why, quoted), next}, true
	case times == "%" && p.ends(next+1):
		return term{t.value, "percent", max(t.why, noTimes), next}, true
	case times == "*":
		t.unitAfterTimes(p, next+1)
	case times == "x" || times == "X":
		if unit, last, ok := p.unit(next + 1); ok {
			return term{t.value, unit, max(t.why, timesX), last}, true
		}
	default:
		if unit, last, ok := p.unit(next); ok {
			why := noTimes
			if times == "in" {
				why = inIs
			}
			return term{t.value, unit, max(t.why, why), last}, true
		}
	}
	return t, t.unit != "" || t.why != none
}

// unitAfterTimes takes a unit that stands where it belongs.
func (t *term) unitAfterTimes(p *paper, i int) {
	if u, ok := quantity.UnitNamed(p.textAt(i)); ok {
		t.unit, t.last = u.Name, i
	} else if p.textAt(i) == "in" {
		t.unit, t.last, t.why = "inch", i, max(t.why, inIs)
	}
}

// unit reads a unit by any of its spellings, of one word or two.
func (p *paper) unit(i int) (name string, last int, ok bool) {
	if !p.goesOn(i) || p.kindAt(i) != word {
		return "", 0, false
	}
	if p.goesOn(i+1) && p.kindAt(i+1) == word {
		if u, ok := quantity.UnitCalled(p.unitText(i, i+1)); ok {
			return u.Name, i + 1, true
		}
	}
	switch s := p.textAt(i); {
	case s == "in" && !p.ends(i+1) && p.kindAt(i+1) != number && p.kindAt(i+1) != sign:
		return "", 0, false // 4 in places
	case IsKeyword(s) && s != "in", p.textAt(i+1) == "(" || p.textAt(i+1) == "=" || p.textAt(i+1) == ".":
		return "", 0, false
	}
	u, ok := quantity.UnitCalled(p.textAt(i))
	return u.Name, i, ok
}

type fraction struct{ over, under, last int }

// fraction reads 1/2, or the one character for it.
func (p *paper) fraction(i int) (fraction, bool) {
	if !p.goesOn(i) {
		return fraction{}, false
	}
	if n, ok := fractions[p.textAt(i)]; ok {
		return fraction{n[0], n[1], i}, true
	}
	if !p.isWhole(i) || p.textAt(i+1) != "/" || !p.isWhole(i+2) || !p.touches(i+1) || !p.touches(i+2) || p.textAt(i+3) == "/" {
		return fraction{}, false
	}
	over, _ := strconv.Atoi(p.textAt(i))
	under, _ := strconv.Atoi(p.textAt(i + 2))
	return fraction{over, under, i + 2}, 0 < over && over < under
}

var fractions = map[string][2]int{
	"½": {1, 2}, "¼": {1, 4}, "¾": {3, 4}, "⅓": {1, 3}, "⅔": {2, 3}, "⅛": {1, 8}, "⅜": {3, 8}, "⅝": {5, 8}, "⅞": {7, 8},
}

// withFraction writes 4 and 1/2 as 4.5, and 4 and 1/3, which no decimal meets, as a sum.
func withFraction(whole string, over, under int) string {
	const digits = 10000
	if over*digits%under != 0 {
		return fmt.Sprintf("(%s + %d/%d)", whole, over, under)
	}
	n, _ := strconv.Atoi(whole)
	return strconv.FormatFloat(float64(n)+float64(over)/float64(under), 'f', -1, 64)
}

// thousands reads 1,050, whose second part no number can begin with.
func (p *paper) thousands(i int) (reading, bool) {
	if !p.isWhole(i) || p.textAt(i+1) != "," || !p.touches(i+1) || !p.touches(i+2) || !p.isNumber(i+2) {
		return reading{}, false
	}
	group := p.textAt(i + 2)
	whole, _, _ := strings.Cut(group, ".")
	if len(whole) != 3 || group[0] != '0' || whole == "000" || len(p.textAt(i)) > 3 {
		return reading{}, false
	}
	text := p.textAt(i) + group
	return reading{first: i, last: i + 2, text: text, message: "a number has no comma between its thousands: " + text}, true
}

// degrees reads a latitude with its side of the equator, and a temperature with its scale.
func (p *paper) degrees(i int) (reading, bool) {
	if !p.isNumber(i) {
		return reading{}, false
	}
	last, signed := i, false
	if s := p.textAt(last + 1); p.goesOn(last+1) && (s == "°" || s == "deg" || s == "degrees") {
		last, signed = last+1, true
	}
	r := reading{first: i, text: p.textAt(i), message: "degrees are plain numbers; south and west are negative"}
	switch s := p.textAt(last + 1); {
	case p.goesOn(last+1) && (s == "N" || s == "E") && p.ends(last+2):
		last++
	case p.goesOn(last+1) && (s == "S" || s == "W") && p.ends(last+2):
		last, r.text = last+1, "-"+r.text
	case p.goesOn(last+1) && signed && (s == "F" || s == "C"):
		last, r.text = last+1, "deg"+strings.ToLower(s)+"("+r.text+")"
		r.message = "a temperature is written " + r.text
	case !signed:
		return reading{}, false
	}
	r.last, r.safe = last, true
	return r, true
}
