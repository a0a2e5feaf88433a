package feature

import (
	"strconv"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// amount is a value that can be reckoned from the text alone: a number, a quantity or a date.
type amount struct {
	q    quantity.Quantity
	date season.Date // season.None for numbers and quantities
}

func plainNumber(v float64) amount {
	return amount{q: quantity.Of(v, quantity.Ratio), date: season.None}
}

// amount reckons what stands between two byte offsets of a file: "30 * ft", "here.last_frost + 2 *
// weeks"; false when that takes more than the text and the last evaluation.
func (n *names) amount(f *source.File, start, end int) (amount, bool) {
	return n.reckon(f, syntax.Tokens(f, start, end), maxHops)
}

func (n *names) reckon(f *source.File, tokens []syntax.Token, hops int) (amount, bool) {
	r := &reckoner{names: n, file: f, hops: hops}
	for _, t := range tokens {
		if t.Kind != syntax.Comment {
			r.tokens = append(r.tokens, t)
		}
	}
	a, ok := r.sum()
	return a, ok && r.at == len(r.tokens)
}

// reckoner reads an expression from its tokens.
type reckoner struct {
	names  *names
	file   *source.File
	tokens []syntax.Token
	at     int
	hops   int
}

func (r *reckoner) next() string {
	if r.at >= len(r.tokens) {
		return ""
	}
	return r.file.Text[r.tokens[r.at].Start:r.tokens[r.at].End]
}

func (r *reckoner) sum() (amount, bool) {
	a, ok := r.product()
	for ok {
		op := r.next()
		if op != "+" && op != "-" {
			break
		}
		r.at++
		var b amount
		if b, ok = r.product(); ok {
			a, ok = a.plus(b, op)
		}
	}
	return a, ok
}

func (r *reckoner) product() (amount, bool) {
	a, ok := r.factor()
	for ok {
		op := r.next()
		if op != "*" && op != "/" {
			break
		}
		r.at++
		var b amount
		if b, ok = r.factor(); ok {
			a, ok = a.times(b, op)
		}
	}
	return a, ok
}

func (r *reckoner) factor() (amount, bool) {
	text := r.next()
	if text == "" || r.hops <= 0 {
		return amount{}, false
	}
	t := r.tokens[r.at]
	r.at++
	switch {
	case text == "-":
		a, ok := r.factor()
		a.q.SI = -a.q.SI
		return a, ok && !a.date.IsSet()
	case text == "(":
		a, ok := r.sum()
		ok = ok && r.next() == ")"
		r.at++
		return a, ok
	case t.Kind == syntax.Number:
		v, err := strconv.ParseFloat(text, 64)
		return plainNumber(v), err == nil
	case t.Kind == syntax.Text:
		d, err := season.Parse(unquoted(text))
		return amount{date: d}, err == nil
	case t.Kind == syntax.Word:
		return r.word(text)
	}
	return amount{}, false
}

func (r *reckoner) word(text string) (amount, bool) {
	b := r.names.named(text)
	switch {
	case r.next() == "." && r.at+1 < len(r.tokens):
		r.at++
		attr := r.next()
		r.at++
		return r.names.frost(text, attr)
	case b != nil:
		if b.kind != assigned || b.each {
			return amount{}, false
		}
		line := int(b.file.Point(b.at).Line)
		return r.names.reckon(b.file, statementFrom(partAt(b.file, line, line+1), b.value), r.hops-1)
	case r.next() == "(" && (text == "date" || text == "degf" || text == "degc"):
		r.at++
		a, ok := r.sum()
		ok = ok && r.next() == ")"
		r.at++
		switch text {
		case "degf":
			a.q = quantity.Fahrenheit(a.q.SI)
		case "degc":
			a.q = quantity.Celsius(a.q.SI)
		}
		return a, ok && a.date.IsSet() == (text == "date")
	}
	u, ok := quantity.UnitNamed(text)
	return amount{q: u.Of(1), date: season.None}, ok
}

// statementFrom gives the tokens from a byte offset of a part to the end of the statement there.
func statementFrom(p *Part, offset int) []syntax.Token {
	var list []syntax.Token
	depth := 0
	for _, t := range p.code() {
		if t.Start < offset {
			continue
		}
		if t.First && depth == 0 && len(list) > 0 {
			break
		}
		switch t.Kind {
		case syntax.Opener:
			depth++
		case syntax.Closer:
			depth--
		}
		list = append(list, t)
	}
	return list
}

// frost reads a date of a site as it was last evaluated: here.last_frost.
func (n *names) frost(name, attr string) (amount, bool) {
	for _, t := range n.things(name) {
		if s, ok := t.Of.(*farm.Site); ok {
			switch attr {
			case "last_frost":
				return amount{date: s.LastFrost.Value}, s.LastFrost.Given
			case "first_frost":
				return amount{date: s.FirstFrost.Value}, s.FirstFrost.Given
			}
		}
	}
	return amount{}, false
}

func (a amount) plus(b amount, op string) (amount, bool) {
	sign := 1.0
	if op == "-" {
		sign = -1
	}
	switch {
	case a.date.IsSet() && b.date.IsSet():
		return amount{q: quantity.Days(float64(a.date.DaysSince(b.date))), date: season.None}, op == "-"
	case a.date.IsSet() && b.q.Dim == quantity.Time:
		return amount{date: a.date.Add(int(sign * b.q.SI / 86400))}, true
	case b.date.IsSet() && a.q.Dim == quantity.Time:
		return b.plus(a, op)
	case a.date.IsSet() || b.date.IsSet():
		return amount{}, false
	}
	q, err := a.q.Add(b.q)
	if op == "-" {
		q, err = a.q.Sub(b.q)
	}
	return amount{q: q, date: season.None}, err == nil
}

func (a amount) times(b amount, op string) (amount, bool) {
	if a.date.IsSet() || b.date.IsSet() {
		return amount{}, false
	}
	q, err := a.q.Mul(b.q)
	if op == "/" {
		q, err = a.q.Div(b.q)
	}
	return amount{q: q, date: season.None}, err == nil
}

// things gives what the value of a name declared when the plan was last evaluated.
func (n *names) things(name string) []Thing {
	m := n.meaning(name)
	if m.from == nil {
		return nil
	}
	return n.thingsOf(m.from, m.kind)
}

// thingsOf gives what the call that a binding's value is declared, of the kind only.
func (n *names) thingsOf(b *binding, kind string) []Thing {
	if n.doc.Plan == nil || b.value == 0 && b.kind != assigned || !b.call {
		return nil
	}
	call := callFrom(b.file, b.value)
	if call == nil {
		return nil
	}
	span := call.Span
	if b.file == n.doc.File {
		span, _ = n.doc.Evaluated(span)
	}
	var found []Thing
	for _, t := range n.doc.Plan.Things(span) {
		if t.kind() == kind {
			found = append(found, t)
		}
	}
	return found
}

// kind of the thing, as the language has it.
func (t Thing) kind() string {
	switch t.Of.(type) {
	case *farm.Farm:
		return "farm"
	case *farm.Row:
		return kindRow
	case *farm.Crop:
		return kindCrop
	case *farm.Planting:
		return "planting"
	}
	return t.Decl.Kind
}

// isFresh tells whether the call that a value comes from reads as it did when it was last evaluated.
func (n *names) isFresh(b *binding) bool {
	if b == nil || b.file.Path != n.doc.File.Path || !b.call {
		return true
	}
	call := callFrom(b.file, b.value)
	if call == nil {
		return true
	}
	fresh := false
	if b.file == n.doc.File {
		_, fresh = n.doc.Evaluated(call.Span)
	} else {
		_, fresh = n.doc.Now(call.Span)
	}
	return fresh
}

// units of the farm; US before any is known.
func (d *Doc) units() quantity.System {
	if d.Plan == nil || d.Plan.Farm == nil {
		return quantity.US
	}
	return d.Plan.Farm.Units
}

// year of the season, 0 before any is known.
func (d *Doc) year() int {
	if d.Plan == nil || d.Plan.Farm == nil {
		return 0
	}
	return d.Plan.Farm.Year.Value
}

// freeOn gives the length of a row that no planting owns on a day, or ever when the day is not known.
func freeOn(r *derive.Row, on season.Date) float64 {
	if !on.IsSet() {
		return r.FreeLength
	}
	taken := 0.0
	for _, p := range r.Plantings {
		if !p.Placed() || p.Plant.IsSet() && p.Plant > on || p.Clear.IsSet() && p.Clear <= on {
			continue
		}
		taken += max(min(p.Owns.To, r.Length)-max(p.Owns.From, 0), 0)
	}
	return max(r.Length-taken, 0)
}
