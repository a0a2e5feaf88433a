package quantity

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Parse reads everything that Format and Short print, and what people write beside it: "30 in",
// "1 1/2 ft", "2 ft 6 in", "2'6\"", "0.45 gpm per 100 ft", "10 L/h", "-2 °C", "17,424 sq ft". Units may be
// given by name, symbol or spelled out, in either number and any case. A number alone is a plain ratio.
// The error says which part was not understood and offers the nearest unit.
func Parse(text string) (Quantity, error) {
	p := parser{text: text, tokens: scan(text)}
	q, err := p.quantity()
	if err != nil {
		return Quantity{}, err
	}
	if math.IsInf(q.SI, 0) || math.IsNaN(q.SI) {
		return Quantity{}, fmt.Errorf("%q is too large, or divides by nothing", text)
	}
	return q, nil
}

// example ends the messages for text in which nothing can be recognised.
const example = `write a number and a unit, such as "30 in" or "2 ft 6 in"`

// measure is a unit, or a base unit of an axis without one, as Parse multiplies it.
type measure struct {
	si  float64
	dim Dimension
}

// measureCalled gives what a spelling, in lower case, measures.
func measureCalled(spelling string) (measure, bool) {
	if u, ok := units().spelled[spelling]; ok {
		return measure{u.SI, u.Dim}, true
	}
	for axis, text := range axisText {
		if strings.ToLower(text) == spelling {
			var d Dimension
			d[axis] = 1
			return measure{1, d}, true
		}
	}
	return measure{}, false
}

type parser struct {
	text   string
	tokens []token
	at     int
}

func (p *parser) next() token { return p.tokens[p.at] }

func (p *parser) take(kind tokenKind) bool {
	if p.next().kind != kind {
		return false
	}
	p.at++
	return true
}

// takeWords steps over these words when they come next.
func (p *parser) takeWords(words ...string) bool {
	for i, w := range words {
		if t := p.tokens[min(p.at+i, len(p.tokens)-1)]; t.kind != wordToken || t.text != w {
			return false
		}
	}
	p.at += len(words)
	return true
}

// rest is the text from the next token on.
func (p *parser) rest() string { return strings.TrimSpace(p.text[p.next().start:]) }

func (p *parser) quantity() (Quantity, error) {
	if p.next().kind == endToken {
		return Quantity{}, fmt.Errorf("there is nothing to read: %s", example)
	}
	sign := 1.0
	if p.take(minusToken) {
		sign = -1
	}
	n, ok := p.number()
	if !ok {
		return Quantity{}, fmt.Errorf("%q does not begin with a number: %s", strings.TrimSpace(p.text), example)
	}
	q, isDegrees := p.degrees(sign * n)
	if !isDegrees {
		var err error
		if q, err = p.compound(n); err != nil {
			return Quantity{}, err
		}
		if q, err = p.rates(q); err != nil {
			return Quantity{}, err
		}
		q = q.Scale(sign)
	}
	switch t := p.next(); {
	case t.kind == endToken:
		return q, nil
	case isDegrees && (t.kind == slashToken || t.text == "per"):
		return Quantity{}, fmt.Errorf("%q follows a temperature; only a difference has a rate, such as \"10 K per day\"", t.text)
	}
	return Quantity{}, p.misread()
}

// number reads "30", "2.5", "1/4" or "1 1/2".
func (p *parser) number() (float64, bool) {
	if p.next().kind != numberToken {
		return 0, false
	}
	if n, ok := p.fraction(); ok {
		return n, true
	}
	whole, err := strconv.ParseFloat(p.next().text, 64)
	if err != nil && !errors.Is(err, strconv.ErrRange) {
		return 0, false
	}
	p.at++
	if !strings.ContainsAny(p.tokens[p.at-1].text, ".eE") {
		if part, ok := p.fraction(); ok {
			whole += part
		}
	}
	return whole, true
}

// fraction reads a whole number over a whole number.
func (p *parser) fraction() (float64, bool) {
	t := p.next()
	if t.kind != numberToken {
		return 0, false
	}
	over, under, ok := strings.Cut(t.text, "/")
	length := 1
	if !ok {
		if p.at+2 >= len(p.tokens) || p.tokens[p.at+1].kind != slashToken || p.tokens[p.at+2].kind != numberToken {
			return 0, false
		}
		under, length = p.tokens[p.at+2].text, 3
	}
	a, errA := strconv.ParseUint(over, 10, 64)
	b, errB := strconv.ParseUint(under, 10, 64)
	if errA != nil || errB != nil || b == 0 {
		return 0, false
	}
	p.at += length
	return float64(a) / float64(b), true
}

// degrees reads what follows the number of a temperature, "°F", of a difference of two, "°F difference", or of
// warmth summed up, "°F days".
func (p *parser) degrees(n float64) (Quantity, bool) {
	start := p.at
	marked := p.takeWords("°") || p.takeWords("degrees") || p.takeWords("degree") || p.takeWords("deg")
	fahrenheit := p.takeWords("f") || p.takeWords("fahrenheit") || !marked && p.takeWords("degf")
	celsius := !fahrenheit && (p.takeWords("c") || p.takeWords("celsius") || !marked && p.takeWords("degc"))
	difference := p.takeWords("difference")
	summed := p.takeWords("days") || p.takeWords("day")
	const day = 86400
	switch {
	case fahrenheit && summed:
		return Of(n*degreeFahrenheit*day, DegreeDays), true
	case celsius && summed:
		return Of(n*day, DegreeDays), true
	case fahrenheit && difference:
		return Of(n*degreeFahrenheit, Interval), true
	case celsius && difference:
		return Of(n, Interval), true
	case fahrenheit:
		return Fahrenheit(n), true
	case celsius:
		return Celsius(n), true
	}
	p.at = start
	return Quantity{}, false
}

// compound reads the unit of the number n just read and any smaller amounts after it, "ft 6 in".
func (p *parser) compound(n float64) (Quantity, error) {
	if k := p.next(); k.kind == endToken || k.kind == slashToken || k.kind == wordToken && k.text == "per" {
		return Of(n, Ratio), nil
	}
	m, err := p.product()
	if err != nil {
		return Quantity{}, err
	}
	sum := Of(n*m.si, m.dim)
	for p.next().kind == numberToken {
		part := p.next()
		n, ok := p.number()
		if !ok {
			return Quantity{}, p.misread()
		}
		next, err := p.product()
		if err != nil {
			return Quantity{}, err
		}
		said := strings.TrimSpace(p.text[part.start:p.tokens[p.at-1].end])
		if next.dim != m.dim {
			return Quantity{}, fmt.Errorf("%q in %q is %s, not %s", said, p.text, next.dim.Noun(), m.dim.Noun())
		}
		if next.si >= m.si {
			return Quantity{}, fmt.Errorf("%q in %q: write the larger unit first, as in \"2 ft 6 in\"", said, p.text)
		}
		sum.SI += n * next.si
		m = next
	}
	return sum, nil
}

// rates reads "per 100 ft", "/h" and so on after an amount.
func (p *parser) rates(q Quantity) (Quantity, error) {
	for p.take(slashToken) || p.takeWords("per") {
		n := 1.0
		if p.next().kind == numberToken {
			var ok bool
			if n, ok = p.number(); !ok {
				return Quantity{}, p.misread()
			}
		}
		m, err := p.product()
		if err != nil {
			return Quantity{}, err
		}
		if q, err = q.Div(Of(n*m.si, m.dim)); err != nil {
			return Quantity{}, err
		}
	}
	return q, nil
}

// product reads one unit or several after each other, each perhaps raised: "sq ft", "m^2 kg".
func (p *parser) product() (measure, error) {
	product, err := p.unit()
	if err != nil {
		return measure{}, err
	}
	for p.next().kind == wordToken && p.next().text != "per" {
		m, err := p.unit()
		if err != nil {
			return measure{}, err
		}
		if product.dim, err = p.times(product.dim, m.dim); err != nil {
			return measure{}, err
		}
		product.si *= m.si
	}
	return product, nil
}

func (p *parser) times(a, b Dimension) (Dimension, error) {
	d, ok := a.plus(b, 1)
	if !ok {
		return d, fmt.Errorf("%q multiplies more units than anything measured has", p.text)
	}
	return d, nil
}

// unit reads one unit, the longest spelling that fits, and its power.
func (p *parser) unit() (measure, error) {
	base, ok := p.spelled()
	if !ok {
		return measure{}, p.misread()
	}
	m := base
	if t := p.next(); p.take(powerToken) {
		power, err := strconv.Atoi(t.text)
		if err != nil || power < 1 || power > maxExponent {
			return measure{}, fmt.Errorf("%q in %q is not a power of a unit", p.text[t.start:t.end], p.text)
		}
		for range power - 1 {
			if m.dim, err = p.times(m.dim, base.dim); err != nil {
				return measure{}, err
			}
			m.si *= base.si
		}
	}
	return m, nil
}

// longestSpelling is the most words that one unit is spelled with, as in "sq ft".
const longestSpelling = 2

func (p *parser) spelled() (measure, bool) {
	for n := longestSpelling; n > 0; n-- {
		words := p.words(n)
		if m, ok := measureCalled(strings.Join(words, " ")); ok && len(words) == n {
			p.at += n
			return m, true
		}
	}
	return measure{}, false
}

// words gives the next n words, fewer where something else comes first.
func (p *parser) words(n int) []string {
	var words []string
	for _, t := range p.tokens[p.at:] {
		if t.kind != wordToken || len(words) == n {
			break
		}
		words = append(words, t.text)
	}
	return words
}

// misread says what is wrong at the next token.
func (p *parser) misread() error {
	t := p.next()
	switch t.kind {
	case endToken:
		return fmt.Errorf("%q ends where a unit belongs, such as \"in\" or \"ft\"", strings.TrimSpace(p.text))
	case wordToken:
		for n := longestSpelling; n > 0; n-- {
			words := p.words(n)
			if near := nearestSpelling(strings.Join(words, " ")); len(words) == n && near != "" {
				return fmt.Errorf("%q is not a unit; did you mean %q?", p.text[t.start:p.tokens[p.at+n-1].end], near)
			}
		}
		return fmt.Errorf("%q is not a unit: write one such as \"in\", \"ft\", \"lb\" or \"gpm\"", p.text[t.start:t.end])
	}
	return fmt.Errorf("%q in %q was not understood: %s", p.rest(), p.text, example)
}
