package eval

import (
	"cmp"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"

	"go.starlark.net/starlark"
	star "go.starlark.net/syntax"
)

// wrong reports a value of the wrong sort, with what it was meant to be or else what belongs there.
func (c *call) wrong(p *Param, s *slot, v starlark.Value) {
	s.state = bad
	if c.swapped(p, v) {
		return
	}
	f := c.finding(wrongType, s.span, "%s of %s is %s; %s belongs here", p.Name, c.of.Name, describe(v), p.Type)
	w := &meant{c: c, p: p, at: s.span, s: s, f: f}
	if !w.guess(v) {
		f.help("%s", c.ev.howTo(p))
	}
	c.ev.report(f)
}

// meant is the search for what a value of the wrong sort was meant to be.
type meant struct {
	c  *call
	p  *Param
	at source.Span
	s  *slot
	f  *found
}

// write offers a value in the place of one that stands in the call. What a helper or a loop hands on is
// left: another time it may be something else.
func (w *meant) write(safe bool, text string) {
	if isLiteral(w.at) {
		w.put(safe, text)
	}
}

// put offers a text in the place of the argument's, whatever that is.
func (w *meant) put(safe bool, text string) {
	w.f.fix(safe, "Write "+text, diag.Edit{Span: w.at, Text: text})
}

// guess adds help, and a fix where the text of the argument allows it; false when nothing is known.
func (w *meant) guess(v starlark.Value) bool {
	switch v := v.(type) {
	case starlark.String:
		return w.text(string(v))
	case starlark.Int, starlark.Float:
		return w.number(v)
	case *starlark.List:
		return w.list(v)
	case *handleValue:
		return w.handle(v)
	}
	return false
}

// text guesses what a text in quotes was meant to be.
func (w *meant) text(text string) bool {
	switch w.p.Type.Kind {
	case KindQuantity:
		if n, err := strconv.ParseFloat(strings.TrimSpace(text), 64); err == nil && isFinite(n) {
			w.f.help("%s is written without quotes and with its unit", w.p.Type.Noun())
			for _, form := range w.c.ev.unitForms(trimNumber(n), w.p.Type, w.p.Limits) {
				w.write(false, form)
			}
			return true
		}
		q, err := quantity.Parse(text)
		form := w.c.ev.units.Expr(q)
		if err != nil || q.Dim != w.p.Type.Dim || form == "" {
			return false
		}
		w.f.help("a quantity is written without quotes")
		w.write(true, form)
	case KindNumber, KindWhole, KindDays:
		number := strings.TrimSpace(text)
		if w.p.Type.Kind == KindNumber { // a latitude, perhaps
			number = strings.TrimRight(number, " °NESW")
		}
		n, err := strconv.ParseFloat(number, 64)
		if err != nil || !isFinite(n) {
			return false
		}
		if strings.HasSuffix(text, "S") || strings.HasSuffix(text, "W") {
			n = -n
		}
		w.f.help("a number is written without quotes")
		w.write(true, trimNumber(n))
	case KindFlag:
		word := languageWord(strings.TrimSpace(text))
		if word == "" || word == "None" {
			return false
		}
		w.f.help("%s is written without quotes", word)
		w.write(true, word)
	case KindCrops:
		if !isLiteral(w.at) {
			return false
		}
		w.f.help("a list stands in [ ], even of one")
		w.write(true, "["+w.at.Text()+"]")
	case KindHandle:
		return w.thingNamed(text)
	default:
		return false
	}
	return true
}

// thingNamed finds the crop or the declared thing that a text names.
func (w *meant) thingNamed(text string) bool {
	if w.c.module == nil {
		return false
	}
	ready := w.c.module.ready
	if crop, ok := crops.Named(text); ok && w.p.Type.Handle == "crop" {
		w.f.help("load(%q, %q) and write %s without quotes", cropModule, crop.Ident, crop.Ident)
		if !isLiteral(w.at) {
			return true
		}
		edits := []diag.Edit{{Span: w.at, Text: crop.Ident}}
		if !ready.binds[crop.Ident] {
			load, _ := loadEdit(ready, cropModule, crop.Ident)
			edits = append(edits, load)
		}
		w.f.fix(true, "Write "+crop.Ident, edits...)
		return true
	}
	if _, ok := ready.first[text]; ok {
		w.f.help("names that the plan gives are written without quotes")
		w.write(false, text)
		return true
	}
	name := ready.nameOf(w.p.Type.Handle, text)
	for _, kind := range w.p.Type.Or {
		name = cmp.Or(name, ready.nameOf(kind, text))
	}
	if name == "" {
		return false
	}
	w.f.help("%s is what the plan calls %q: write it without quotes", name, text)
	w.write(true, name)
	return true
}

// nameOf finds the name that a plain statement gives to the thing of a kind that is called a text:
// bench for bench = plot("Lower bench", ...). It gives "" where two are called so.
func (p *prepared) nameOf(kind, text string) string {
	name := ""
	for _, s := range p.stmts {
		assign, ok := s.(*star.AssignStmt)
		if !ok {
			continue
		}
		id, ok := assign.LHS.(*star.Ident)
		call, isCall := assign.RHS.(*star.CallExpr)
		if !ok || !isCall || len(call.Args) == 0 {
			continue
		}
		if fn, ok := call.Fn.(*star.Ident); !ok || fn.Name != kind {
			continue
		}
		title := call.Args[0]
		if named := argumentNamed(call.Args, "name"); named != nil {
			title = named.Y
		}
		if lit, ok := title.(*star.Literal); ok && lit.Value == text {
			if name != "" {
				return ""
			}
			name = id.Name
		}
	}
	return name
}

// difference is what 10-10-10 is without its quotes.
var difference = regexp.MustCompile(`^\d+(-\d+)+$`)

// number guesses what a bare number was meant to be.
func (w *meant) number(v starlark.Value) bool {
	n, _ := starlark.AsFloat(v)
	switch w.p.Type.Kind {
	case KindFlag:
		if n != 0 && n != 1 {
			return false
		}
		word := map[bool]string{true: "True", false: "False"}[n == 1]
		w.f.help("a switch is True or False")
		w.write(true, word)
	case KindDate:
		if !w.date(w.at.Text()) {
			return false
		}
		what := "a division"
		if isLiteral(w.at) {
			what = "a number"
		}
		w.f.Message = fmt.Sprintf("%s of %s: %s is %s; a date stands in quotes", w.p.Name, w.c.of.Name, w.at.Text(), what)
	case KindText:
		if difference.MatchString(w.at.Text()) {
			w.f.Message = fmt.Sprintf("%s of %s: %s is a subtraction; text stands in quotes", w.p.Name, w.c.of.Name, w.at.Text())
			w.put(true, strconv.Quote(w.at.Text()))
			return true
		}
		if isLiteral(w.at) {
			w.f.help("text stands in quotes")
			w.write(false, strconv.Quote(w.at.Text()))
			return true
		}
		return false
	default:
		return false
	}
	return true
}

// date reads the text of an argument as a date in another form, with the season's year if it has none.
func (w *meant) date(text string) bool {
	written, ok := syntax.ReadDate(text, w.c.ev.units == quantity.Metric)
	if !ok {
		return false
	}
	iso := written.ISO(w.c.season())
	if iso == "" && written.Year != 0 {
		return false // a day that the calendar does not have
	}
	if iso == "" {
		w.f.help("write the year first, then month and day: \"2027-04-24\"")
		return true
	}
	other, _ := syntax.ReadDate(text, w.c.ev.units != quantity.Metric)
	turned := other.ISO(w.c.season())
	if written.Sure || turned == iso {
		turned = ""
	}
	if turned == "" {
		w.f.help("a date is written in quotes, year-month-day: %q", iso)
	} else {
		w.f.help("a date is written in quotes, year-month-day: %q or %q", iso, turned)
	}
	if day, err := season.Parse(iso); err == nil && written.Sure {
		w.s.state, w.s.num = given, float64(day)
	}
	if plain := strings.Trim(w.at.Text(), `"'`); plain == text {
		w.put(written.Sure && written.Year != 0, strconv.Quote(iso))
		if turned != "" {
			w.put(false, strconv.Quote(turned))
		}
	}
	return true
}

// season is the year of the farm, also where farm(...) follows only later in the file; 0 if it is not known.
func (c *call) season() int {
	if c.ev.farm.Year.Given {
		return c.ev.farm.Year.Value
	}
	if c.module != nil {
		return c.module.ready.year
	}
	return 0
}

// list guesses what was meant by several things where one belongs.
func (w *meant) list(v *starlark.List) bool {
	kind := w.p.Type.Handle
	if w.p.Type.Kind != KindHandle || v.Len() == 0 {
		return false
	}
	for i := range v.Len() {
		if h, ok := v.Index(i).(*handleValue); !ok || h.kind.Name != kind {
			return false
		}
	}
	things := strings.ReplaceAll(kind, "_", " ")
	if v.Len() > 1 {
		things += "s"
	}
	w.f.Message = fmt.Sprintf("%s of %s is a list of %d %s; one belongs here", w.p.Name, w.c.of.Name, v.Len(), things)
	name := w.at.Text()
	switch {
	case !isName(name) && v.Len() == 1:
		w.f.help("take the [ ] away")
		return true
	case !isName(name):
		w.f.help("take one of them, or go through all in a loop")
		return true
	}
	w.f.help("write %s[0] for the first of them, or go through all: for each in %s: %s(each, ...)", name, name, w.c.of.Name)
	w.put(false, name+"[0]")
	return true
}

func isName(text string) bool {
	for i, r := range text {
		if r != '_' && (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (i == 0 || r < '0' || r > '9') {
			return false
		}
	}
	return text != ""
}

// handle guesses what a thing of another kind was meant for.
func (w *meant) handle(v *handleValue) bool {
	switch {
	case w.p.Type.Kind == KindCrops && v.kind.Name == "crop":
		w.f.help("a list stands in [ ], even of one")
		w.put(true, "["+w.at.Text()+"]")
	case w.p.Type.Handle == "row" && len(w.p.Type.Or) == 0 && v.kind.Name == "plot" && isName(w.at.Text()):
		w.f.help("plants stand in a row of the plot: row(%s, at = ...)", w.at.Text())
	case w.p.Type.Kind == KindText && isName(w.at.Text()):
		w.f.help("text stands in quotes: %q", w.at.Text())
	default:
		return false
	}
	return true
}

// isLiteral tells whether an argument is a number or a text that stands in the call.
func isLiteral(at source.Span) bool {
	text := at.Text()
	if text == "" {
		return false
	}
	_, err := strconv.ParseFloat(text, 64)
	return err == nil || (text[0] == '"' || text[0] == '\'') && text[len(text)-1] == text[0]
}

// howTo says how a value of a parameter's type is written.
func (ev *evaluator) howTo(p *Param) string {
	switch p.Type.Kind {
	case KindText:
		if p.Type.Family {
			return `a family stands in quotes: "Solanaceae"`
		}
		return "text stands in quotes"
	case KindChoice:
		return "choose " + quoteList(p.Type.Choices, "or")
	case KindNumber:
		return "write a plain number"
	case KindWhole:
		return "write a whole number"
	case KindFlag:
		return "write True or False"
	case KindDate:
		return `write "2027-04-24", or reckon from a date: here.last_frost + 2 * weeks`
	case KindQuantity:
		return ev.unitHelp("", p.Type, Limits{})
	case KindDays:
		return "write 70, or 10 * weeks"
	case KindMonths:
		return `write {"jan": ..., "feb": ...}, or twelve values in [ ]`
	case KindCrops:
		return `write them in [ ]: ["tomato", "Cucurbitaceae"]`
	}
	if p.Type.Handle == "crop" {
		return `load a crop by its name, load("crops", "tomato"), or make one with crop(...)`
	}
	text := ""
	for _, kind := range append([]string{p.Type.Handle}, p.Type.Or...) {
		if text != "" {
			text += ", "
		}
		call := kind + "(...)"
		if kind == "planting" {
			call = "plant(...) or sow(...)"
		}
		text += fmt.Sprintf("%s is what %s gives", article(strings.ReplaceAll(kind, "_", " ")), call)
	}
	return text
}

// swapped reports, once, two arguments that stand in each other's place. It tells whether the value of
// this one is such an argument.
func (c *call) swapped(p *Param, v starlark.Value) bool {
	h, ok := v.(*handleValue)
	if !ok || p.Type.Kind != KindHandle {
		return false
	}
	for i := range c.of.Params {
		other := &c.of.Params[i]
		if !other.Type.Takes(h.kind.Name) {
			continue
		}
		value, span, ok := c.raw(other)
		theirs, isHandle := value.(*handleValue)
		_, own, found := c.raw(p)
		if !ok || !found || !isHandle || !p.Type.Takes(theirs.kind.Name) {
			continue
		}
		if c.swap {
			return true // said already
		}
		c.swap = true
		c.ev.report(c.finding(wrongType, own, "%s and %s of %s stand in each other's place", p.Name, other.Name, c.of.Name).
			related(span, "this is "+article(strings.ReplaceAll(theirs.kind.Name, "_", " "))).
			fix(len(c.ev.callers()) == 0, "Change them about", diag.Edit{Span: own, Text: span.Text()}, diag.Edit{Span: span, Text: own.Text()}))
		return true
	}
	return false
}

// raw gives the unchecked value of an argument and its place, if it has one of its own.
func (c *call) raw(p *Param) (starlark.Value, source.Span, bool) {
	for _, kv := range c.kwargs {
		if kv[0] == starlark.String(p.Name) {
			at, _ := (&argumentSites{m: c.module, args: c.syntax.Args, whole: c.span}).named(p.Name)
			return kv[1], at, at != c.span
		}
	}
	i := c.of.index(p.Name)
	if i >= len(c.args) || i >= len(c.syntax.Args) {
		return nil, source.Span{}, false
	}
	for _, x := range c.syntax.Args[:i+1] {
		if _, ok := namedArgument(x); ok {
			return nil, source.Span{}, false
		}
		if u, ok := x.(*star.UnaryExpr); ok && (u.Op == star.STAR || u.Op == star.STARSTAR) {
			return nil, source.Span{}, false
		}
	}
	return c.args[i], c.module.ready.span(c.syntax.Args[i]), true
}
