package eval

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"

	"go.starlark.net/starlark"
)

// longestName is how many letters a text may have: every table, message and card shows it.
const longestName = 500

// check puts a value into the slot of parameter i, or a finding into the result.
func (c *call) check(i int, v starlark.Value, at source.Span) {
	p, s := &c.of.Params[i], &c.slots[i]
	s.span, s.state, s.value = at, given, v
	if bad, ok := v.(poison); ok {
		s.state = c.poisoned(bad.fault, p, at)
		return
	}
	if _, ok := v.(starlark.NoneType); ok && !p.Required {
		s.state = absent // None stands for not given, so that helpers can pass arguments on
		return
	}
	if p.Type.Range {
		c.checkRange(p, s, v)
		return
	}
	c.checkOne(p, s, v)
}

func (c *call) poisoned(f *fault, p *Param, at source.Span) state {
	if f != nil && !f.reported {
		f.reported = true
		c.ev.report(c.finding(f.rule, at, "%s of %s: %s", p.Name, c.of.Name, f.text).help("%s", f.help))
	}
	return bad
}

func (c *call) checkOne(p *Param, s *slot, v starlark.Value) {
	switch p.Type.Kind {
	case KindText, KindChoice:
		c.checkText(p, s, v)
	case KindNumber, KindWhole:
		c.checkNumber(p, s, v)
	case KindFlag:
		b, ok := v.(starlark.Bool)
		if !ok {
			c.wrong(p, s, v)
		} else if b {
			s.num = 1
		}
	case KindDate:
		c.checkDate(p, s, v)
	case KindQuantity:
		s.q = c.checkQuantity(p, s, v)
	case KindDays:
		c.checkDays(p, s, v)
	case KindHandle:
		c.checkHandle(p, s, v)
	case KindMonths:
		c.checkMonths(p, s, v)
	case KindCrops:
		if _, ok := v.(starlark.Iterable); !ok {
			c.wrong(p, s, v)
		}
	}
}

// checkHandle takes a handle, and where the parameter says so a name or a list of handles.
func (c *call) checkHandle(p *Param, s *slot, v starlark.Value) {
	if t, ok := v.(starlark.String); ok && p.Type.Named {
		if s.text = string(t); strings.TrimSpace(s.text) == "" {
			s.state = bad
			c.ev.report(c.finding(wrongType, s.span, "%s of %s is empty; give it a few letters", p.Name, c.of.Name))
		}
		return
	}
	if list, ok := v.(*starlark.List); ok && p.Type.Several && list.Len() > 0 {
		for i := 0; i < list.Len() && s.state == given; i++ {
			if bad, ok := list.Index(i).(poison); ok {
				s.state = c.poisoned(bad.fault, p, s.span)
				return
			}
			c.checkHandle(p, s, list.Index(i))
		}
		return
	}
	h, ok := v.(*handleValue)
	if !ok || !p.Type.Takes(h.kind.Name) {
		c.wrong(p, s, v)
		return
	}
	if d, ok := h.of.(interface{ MarkUsed() }); ok {
		d.MarkUsed()
	}
}

func (c *call) checkText(p *Param, s *slot, v starlark.Value) {
	t, ok := v.(starlark.String)
	if !ok {
		c.wrong(p, s, v)
		return
	}
	s.text = string(t)
	if p.Type.Kind == KindText {
		switch n := utf8.RuneCountInString(s.text); {
		case strings.TrimSpace(s.text) == "":
			s.state = bad
			c.ev.report(c.finding(wrongType, s.span, "%s of %s is empty; give it a few letters", p.Name, c.of.Name))
		case n > longestName:
			s.state = bad
			c.ev.report(c.finding(outOfRange, s.span, "%s of %s has %d letters; at most %d fit where it is shown", p.Name, c.of.Name, n, longestName))
		case p.Type.Family:
			c.checkFamily(p, s)
		}
		return
	}
	for _, word := range p.Type.Choices {
		if s.text == word {
			return
		}
	}
	s.state = bad
	f := c.finding(unknownChoice, s.span, "%s of %s is %q; choose %s", p.Name, c.of.Name, s.text, p.Type)
	if near := Nearest(s.text, p.Type.Choices); near != "" && isLiteral(s.span) {
		f.fix(sameButCapitals(strings.TrimSpace(s.text), []string{near}) != "", "Write "+near,
			diag.Edit{Span: s.span, Text: `"` + near + `"`})
	}
	c.ev.report(f)
}

// checkFamily brings a family to its current name.
func (c *call) checkFamily(p *Param, s *slot) {
	family, ok := crops.Family(s.text)
	if ok {
		s.text = family
		return
	}
	s.state = bad
	f := c.finding(unknownChoice, s.span, "%s of %s is %q, which is no botanical family", p.Name, c.of.Name, s.text)
	c.ev.report(c.familyMeant(f, s.span, s.text))
}

// familyMeant offers the family that a word is nearly the name of, else lists those of the table's crops.
func (c *call) familyMeant(f *found, at source.Span, word string) *found {
	near := Nearest(word, crops.Families())
	if crop, ok := crops.Named(word); ok {
		near = crop.Family
	}
	if near == "" {
		return f.help("families of vegetables are %s", list(tableFamilies(), "and"))
	}
	f.help("did you mean %q?", near)
	if strings.Trim(at.Text(), `"'`) == word {
		near = strconv.Quote(near)
		f.fix(false, "Write "+near, diag.Edit{Span: at, Text: near})
	}
	return f
}

// tableFamilies are the families of the table's crops.
func tableFamilies() []string {
	var families []string
	for _, crop := range crops.All() {
		families = append(families, crop.Family)
	}
	slices.Sort(families)
	return slices.Compact(families)
}

func (c *call) checkNumber(p *Param, s *slot, v starlark.Value) {
	n, ok := starlark.AsFloat(v)
	if q, isQ := v.(quantityValue); isQ {
		s.state = bad
		f := c.finding(wrongDimension, s.span, "%s of %s is %s; it takes a number without a unit", p.Name, c.of.Name, q.Dim.Noun())
		if number, unit, ok := strings.Cut(s.span.Text(), "*"); ok && isName(strings.TrimSpace(unit)) {
			number = strings.TrimSpace(number)
			if _, err := strconv.ParseFloat(number, 64); err == nil {
				f.fix(false, "Write "+number, diag.Edit{Span: s.span, Text: number})
			}
		}
		if other := c.takes(q.Dim); other != "" {
			f.help("if %s is what it is meant for, write %s = ...", other, other)
		}
		c.ev.report(f)
		return
	}
	if !ok || p.Type.Kind == KindWhole && n != math.Trunc(n) {
		c.wrong(p, s, v)
		return
	}
	s.num = n
	c.limits(p, s, n)
}

func (c *call) checkDays(p *Param, s *slot, v starlark.Value) {
	if q, ok := v.(quantityValue); ok {
		if q.Dim != quantity.Time {
			c.dimension(p, s, q, Type{Dim: quantity.Time})
			return
		}
		s.num = math.Round(q.SI / 86400)
	} else {
		n, ok := starlark.AsFloat(v)
		if !ok || n != math.Trunc(n) {
			c.wrong(p, s, v)
			return
		}
		s.num = n
	}
	c.limits(p, s, s.num)
	s.q = quantity.Of(s.num, quantity.Ratio)
}

// limits holds a number against the parameter's bounds.
func (c *call) limits(p *Param, s *slot, n float64) bool {
	l := p.Limits
	if l.hold(n) {
		return true
	}
	s.state = bad
	c.ev.report(c.finding(outOfRange, s.span, "%s of %s is %s; it can be %s", p.Name, c.of.Name,
		p.show(n, c.ev.units), p.LimitsText(c.ev.units)).
		value(p.Name, p.show(n, c.ev.units)))
	return false
}

func dateOf(v starlark.Value, ev *evaluator) (dateValue, bool) {
	switch v := v.(type) {
	case dateValue:
		return v, true
	case starlark.String:
		if d, err := season.Parse(string(v)); err == nil {
			return dateValue{Date: d, ev: ev}, true
		}
	}
	return dateValue{}, false
}

// checkDate takes a date in another form for what it surely is, so that the plan goes on with it.
func (c *call) checkDate(p *Param, s *slot, v starlark.Value) {
	if d, ok := dateOf(v, c.ev); ok {
		s.num = float64(d.Date)
		return
	}
	t, isText := v.(starlark.String)
	if !isText {
		c.wrong(p, s, v)
		return
	}
	s.state = bad
	_, err := season.Parse(string(t))
	f := c.finding(badDate, s.span, "%s of %s: %s", p.Name, c.of.Name, err)
	w := &meant{c: c, p: p, at: s.span, s: s, f: f}
	if w.date(string(t)) && len(f.Fixes) > 0 {
		f.Message = fmt.Sprintf("%s of %s: %q is not how a date is written", p.Name, c.of.Name, string(t))
	}
	c.ev.report(f)
}

// checkQuantity gives the quantity, or reports why the value is none.
func (c *call) checkQuantity(p *Param, s *slot, v starlark.Value) quantity.Quantity {
	if q, ok := v.(quantityValue); ok {
		if slices.Contains(p.Type.Dims, q.Dim) {
			return q.Quantity
		}
		if q.Dim != p.Type.Dim {
			c.dimension(p, s, q, p.Type)
			return quantity.Quantity{}
		}
		if !c.limits(p, s, q.SI) {
			return quantity.Quantity{}
		}
		return q.Quantity
	}
	n, ok := starlark.AsFloat(v)
	if !ok {
		c.wrong(p, s, v)
		return quantity.Quantity{}
	}
	if n == 0 && p.Type.Dim != quantity.Temperature {
		c.limits(p, s, 0)
		return quantity.Of(0, p.Type.Dim)
	}
	s.state = bad
	c.ev.report(c.bareNumber(p, s, n))
	return quantity.Quantity{}
}

func (c *call) dimension(p *Param, s *slot, q quantityValue, want Type) {
	s.state = bad
	what, help := q.Dim.Noun()+", "+c.ev.units.Format(q.Quantity), c.ev.unitHelp("", want, Limits{})
	if !q.Dim.Named() {
		what = "no measure that there is (" + q.Dim.Noun() + ")"
		if strings.Contains(s.span.Text(), "/") {
			help += "; put what stands below the / in parentheses"
		}
	}
	if other := c.takes(q.Dim); other != "" {
		help += fmt.Sprintf("; if %s is what it is meant for, write %s = ...", other, other)
	}
	c.ev.report(c.finding(wrongDimension, s.span, "%s of %s is %s; %s belongs here", p.Name, c.of.Name, what, p.Type).
		help("%s", help))
}

// takes names the one parameter, not given yet, that a quantity of this dimension would fit; "" when none or several would.
func (c *call) takes(d quantity.Dimension) string {
	name := ""
	for i := range c.of.Params {
		p := &c.of.Params[i]
		if p.Type.Kind != KindQuantity || p.Type.Dim != d && !slices.Contains(p.Type.Dims, d) || p.Type.Spread || c.slots[i].state != absent {
			continue
		}
		if name != "" {
			return ""
		}
		name = p.Name
	}
	return name
}

// bareNumber reports a number without its unit and offers the likely ones.
func (c *call) bareNumber(p *Param, s *slot, n float64) *found {
	text := trimNumber(n)
	help := c.ev.unitHelp(text, p.Type, p.Limits)
	if pieces := c.of.Param("count"); pieces != nil && p.Name == "amount" && n == math.Trunc(n) {
		help += "; pieces are given as count = " + text
	}
	f := c.finding(bareNumber, s.span, "%s of %s is the bare number %s; %s belongs here", p.Name, c.of.Name, text, p.Type).
		label("which unit?").help("%s", help)
	whole := s.span.Text()
	if _, err := strconv.ParseFloat(whole, 64); err != nil {
		return f // worked out, or handed on by a helper: the unit belongs where it came from
	}
	for _, form := range c.ev.unitForms(whole, p.Type, p.Limits) {
		f.fix(false, "Write "+form, diag.Edit{Span: s.span, Text: form})
	}
	return f
}

// unitHelp says how a number gets a unit of a dimension: "write 18 * inch or 18 * ft".
func (ev *evaluator) unitHelp(number string, t Type, within Limits) string {
	if number == "" {
		number = "..."
	}
	forms := ev.unitForms(number, t, within)
	if len(forms) == 0 {
		return "build it from units that give " + t.Noun()
	}
	return "write " + list(forms, "or")
}

// unitForms writes a number with each of the likely units of a dimension, leaving out those that would make
// more or less of it than can be, unless all would.
func (ev *evaluator) unitForms(number string, t Type, within Limits) []string {
	if t.Spread {
		return []string{number + " * gal / acre", number + " * l / ha"}
	}
	switch t.Dim {
	case quantity.Temperature:
		return []string{"degf(" + number + ")", "degc(" + number + ")"}
	case quantity.LineFlow:
		return []string{number + " * gpm / (100 * ft)", number + " * lph / m"}
	case quantity.LineMass:
		return []string{number + " * lb / (100 * ft)", number + " * kg / (100 * m)"}
	case quantity.AreaMass:
		return []string{number + " * lb / acre", number + " * kg / ha"}
	case quantity.LineTime:
		return []string{number + " * minutes / (100 * ft)", number + " * minutes / (100 * m)"}
	case quantity.AreaTime:
		return []string{number + " * hours / acre", number + " * hours / ha"}
	case quantity.MassRate:
		return []string{number + " * lb / hours", number + " * kg / hours"}
	case quantity.PerMass:
		return []string{number + " / oz", number + " / g"}
	}
	var own, other []string
	n, err := strconv.ParseFloat(number, 64)
	units := quantity.UnitsOf(t.Dim)
	fits := func(u quantity.Unit) bool { return err != nil || within.hold(n*u.SI) }
	any := slices.ContainsFunc(units, fits)
	for _, u := range units {
		if any && !fits(u) {
			continue
		}
		form := number + " * " + u.Name
		if u.Name == t.Usual {
			own = slices.Insert(own, 0, form)
		} else if u.System == ev.units || u.System == quantity.Both {
			own = append(own, form)
		} else {
			other = append(other, form)
		}
	}
	forms := append(own, other...)
	return forms[:min(3, len(forms))]
}

// checkRange takes one value or a pair.
func (c *call) checkRange(p *Param, s *slot, v starlark.Value) {
	pair, ok := v.(starlark.Indexable)
	if _, isText := v.(starlark.String); !ok || isText {
		c.checkOne(p, s, v)
		s.high = s.q
		return
	}
	if pair.Len() != 2 {
		c.wrong(p, s, v)
		return
	}
	c.checkOne(p, s, pair.Index(0))
	if s.state != given {
		return
	}
	low := s.q
	c.checkOne(p, s, pair.Index(1))
	s.q, s.high = low, s.q
	if s.state == given && s.high.SI < s.q.SI {
		s.state = bad
		c.ev.report(c.finding(outOfRange, s.span, "%s of %s runs from high to low; write the lower value first", p.Name, c.of.Name))
	}
}

// checkMonths takes a list of twelve, or a dict from the months' names.
func (c *call) checkMonths(p *Param, s *slot, v starlark.Value) {
	s.many = make([]quantity.Quantity, 12)
	for i := range s.many {
		s.many[i] = quantity.Of(math.NaN(), p.Type.Dim)
	}
	switch v := v.(type) {
	case *starlark.Dict:
		for _, kv := range v.Items() {
			name, _ := kv[0].(starlark.String)
			month, err := season.ParseMonth(string(name))
			if err != nil {
				s.state = bad
				c.ev.report(c.finding(wrongType, s.span, "%s of %s: %s is no month", p.Name, c.of.Name, describe(kv[0])).
					help("write months as \"jan\", \"feb\" and so on"))
				return
			}
			s.many[month-1] = c.checkQuantity(p, s, kv[1])
		}
	case *starlark.List:
		if v.Len() != 12 {
			s.state = bad
			c.ev.report(c.finding(wrongType, s.span, "%s of %s lists %d months; a year has 12", p.Name, c.of.Name, v.Len()))
			return
		}
		for i := range s.many {
			s.many[i] = c.checkQuantity(p, s, v.Index(i))
		}
	default:
		c.wrong(p, s, v)
	}
}
