package eval

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"

	"go.starlark.net/starlark"
	star "go.starlark.net/syntax"
)

// call is one call of a built-in with its arguments checked. Declarations read it by parameter name.
type call struct {
	ev       *evaluator
	of       *Builtin
	span     source.Span
	callee   source.Span    // the function's name in the call
	syntax   *star.CallExpr // never nil: empty when the call cannot be told
	module   *module
	slots    []slot
	ok       bool // every required argument was given and sound
	receiver any  // what a method was called on
	args     starlark.Tuple
	kwargs   []starlark.Tuple
	swap     bool // two arguments that stand in each other's place are reported
}

// slot is one argument after checking.
type slot struct {
	state state
	span  source.Span
	value starlark.Value      // handles, lists
	q     quantity.Quantity   // quantities
	high  quantity.Quantity   // the upper end of a pair
	num   float64             // numbers, flags (0, 1), days, dates
	text  string              // text, choices
	many  []quantity.Quantity // months
}

type state uint8

const (
	absent state = iota
	given
	bad // given, but unusable; the finding is made
)

// wrap makes the Starlark function of a built-in.
func (ev *evaluator) wrap(b *Builtin, receiver any) *starlark.Builtin {
	return starlark.NewBuiltin(b.Name,
		func(_ *starlark.Thread, _ *starlark.Builtin, args starlark.Tuple, kwargs []starlark.Tuple) (starlark.Value, error) {
			if err := ev.charge(cellsPerDeclaration); err != nil {
				return nil, err
			}
			c := ev.newCall(b, receiver)
			c.bind(args, kwargs)
			if !c.ok {
				ev.noFarm = ev.noFarm || b.Name == "farm"
				return poison{}, nil
			}
			v := b.build(c)
			if ev.years.trace != nil {
				c.note(v)
			}
			return v, nil
		})
}

var noSyntax = &star.CallExpr{}

// newCall clears the one call that the run keeps for reuse: built-ins never call one another.
func (ev *evaluator) newCall(b *Builtin, receiver any) *call {
	slots := ev.call.slots
	if cap(slots) < len(b.Params) {
		slots = make([]slot, len(b.Params))
	}
	slots = slots[:len(b.Params)]
	clear(slots)
	ev.call = call{ev: ev, of: b, receiver: receiver, slots: slots}
	return &ev.call
}

// bind matches the arguments with the parameters and checks each against its type and limits.
func (c *call) bind(args starlark.Tuple, kwargs []starlark.Tuple) {
	span, syn, m := c.ev.callSite()
	c.span, c.callee, c.ok, c.module, c.syntax = span, span, true, m, noSyntax
	c.args, c.kwargs = args, kwargs
	sites := argumentSites{m: m, whole: span}
	if syn != nil && m.ready.isPlanCall(syn) {
		c.callee, c.syntax = m.ready.span(syn.Fn), syn
		sites.args = syn.Args
	}
	for i, v := range args {
		at := sites.positional()
		switch {
		case i >= len(c.of.Params):
			c.ok = false
			c.ev.report(c.finding(unknownArgument, at, "%s takes at most %s", c.of.Name, countOfArguments(len(c.of.Params))).
				help("%s", c.of.outline()))
		case i >= c.of.Free:
			p := &c.of.Params[i]
			c.ev.report(c.finding(unnamedArgument, at, "this argument of %s needs its name: %s", c.of.Name, c.freeWords()).
				help("if %s is what it is meant for, write %s = ...", p.Name, p.Name).
				fix(false, "Name it "+p.Name, insertBefore(at, p.Name+" = ")))
			fallthrough
		default:
			c.check(i, v, at)
		}
	}
	for _, kv := range kwargs {
		name := string(kv[0].(starlark.String))
		at, nameAt := sites.named(name)
		i := c.of.index(name)
		switch {
		case i < 0:
			c.unknown(name, at, nameAt)
		case c.slots[i].state != absent:
			c.ev.report(c.finding(duplicateArgument, at, "%s is given twice in one call; the second is left out", name).
				related(c.slots[i].span, "given first").help("keep the one you mean"))
		default:
			c.check(i, kv[1], at)
		}
	}
	c.inOrder()
	c.missing()
}

// inOrder reports a last day that lies before the first.
func (c *call) inOrder() {
	i := c.of.index("until")
	if i < 0 || c.slots[i].state != given {
		return
	}
	first, last := c.of.index("on"), &c.slots[i]
	if first < 0 || c.slots[first].state != given || last.num >= c.slots[first].num {
		return
	}
	last.state = bad
	day := func(s *slot) string { return season.Date(s.num).Long(c.season()) }
	c.ev.report(c.finding(outOfRange, last.span, "until of %s is %s, which is before on, %s", c.of.Name, day(last), day(&c.slots[first])).
		related(c.slots[first].span, "the first day").help("give a later day, or leave until out"))
}

func countOfArguments(n int) string {
	if n == 1 {
		return "1 argument"
	}
	return fmt.Sprintf("%d arguments", n)
}

func (c *call) missing() {
	var names, docs []string
	for i := range c.of.Params {
		p := &c.of.Params[i]
		if !p.Required {
			continue
		}
		switch c.slots[i].state {
		case absent:
			names = append(names, p.Name)
			docs = append(docs, fmt.Sprintf("%s: %s, %s", p.Name, p.Type, p.Doc))
			c.ok = false
		case bad:
			c.ok = false
		}
	}
	if len(names) > 0 {
		c.ev.report(c.finding(missingArgument, c.callee, "%s needs %s", c.of.Name, list(names, "and")).
			label("add "+names[0]+" = ...").help("%s", strings.Join(docs[:min(2, len(docs))], "; ")))
	}
}

// unknown reports an argument that the built-in does not take, with the one that was meant.
func (c *call) unknown(name string, at, nameAt source.Span) {
	f := c.finding(unknownArgument, nameAt, "%s takes no argument called %s", c.of.Name, name)
	if near := c.paramMeant(name); near != "" {
		if s, _ := c.slot(near); s.state == absent {
			s.state = bad // given, though not by its name: it is not missing
		}
		f.label("did you mean "+near+"?").fix(strings.EqualFold(near, name), "Write "+near, diag.Edit{Span: nameAt, Text: near})
	} else {
		f.help("%s", c.of.outline())
	}
	c.ev.report(f)
}

// paramMeant gives the parameter, of those not given, that goes by another word or is nearly called so.
func (c *call) paramMeant(name string) string {
	var free []string
	for i := range c.of.Params {
		p := &c.of.Params[i]
		if c.slots[i].state != absent || argumentNamed(c.syntax.Args, p.Name) != nil {
			continue
		}
		if sameButCapitals(name, p.Also) != "" {
			return p.Name
		}
		free = append(free, p.Name)
	}
	return Nearest(name, free)
}

func (c *call) freeWords() string {
	switch c.of.Free {
	case 0:
		return "all of them do"
	case 1:
		return "only the first may go without"
	}
	return fmt.Sprintf("only the first %d may go without", c.of.Free)
}

// finding begins a finding about this call, with the helpers that led to it.
func (c *call) finding(rule *diag.Rule, at source.Span, format string, args ...any) *found {
	return finding(rule, at, format, args...).chain(c.ev.callers())
}

func insertBefore(at source.Span, text string) diag.Edit {
	return diag.Edit{Span: source.Span{File: at.File, Start: at.Start, End: at.Start}, Text: text}
}

func (b *Builtin) index(name string) int {
	for i := range b.Params {
		if b.Params[i].Name == name {
			return i
		}
	}
	return -1
}

// argumentSites hands out the spans of a call's arguments in the order Starlark passes them.
type argumentSites struct {
	m     *module
	whole source.Span
	args  []star.Expr
	next  int
}

// positional is the span of the next argument without a name; of *args, the whole of it.
func (s *argumentSites) positional() source.Span {
	for s.next < len(s.args) {
		x := s.args[s.next]
		if _, ok := namedArgument(x); ok {
			s.next++
			continue
		}
		if u, ok := x.(*star.UnaryExpr); ok && u.Op == star.STAR {
			return s.m.ready.span(x)
		}
		s.next++
		return s.m.ready.span(x)
	}
	return s.whole
}

// named gives the spans of a named argument's value and of its name; of **kwargs, the whole of it twice.
func (s *argumentSites) named(name string) (value, nameAt source.Span) {
	value, nameAt = s.whole, s.whole
	for _, x := range s.args {
		if b, ok := namedArgument(x); ok {
			if id := b.X.(*star.Ident); id.Name == name {
				return s.m.ready.span(b.Y), s.m.ready.span(id)
			}
		} else if u, ok := x.(*star.UnaryExpr); ok && u.Op == star.STARSTAR {
			value = s.m.ready.span(x)
			nameAt = value
		}
	}
	return value, nameAt
}

// isPlanCall tells a call that stands in the plan from one of our own operators.
func (p *prepared) isPlanCall(x *star.CallExpr) bool {
	id, ok := x.Fn.(*star.Ident)
	return !ok || !strings.HasPrefix(id.Name, seedMark)
}

// slot finds the argument of a parameter by name; the registry's test holds that the name exists.
func (c *call) slot(name string) (*slot, *Param) {
	i := c.of.index(name)
	return &c.slots[i], &c.of.Params[i]
}

func (c *call) isGiven(name string) bool {
	s, _ := c.slot(name)
	return s.state == given
}

func fieldOf[T any](c *call, s *slot, v T) farm.Field[T] {
	if s.state == absent {
		return farm.Field[T]{Value: v, Span: c.span}
	}
	return farm.Field[T]{Value: v, Span: s.span, Given: s.state == given}
}

func fallback[T any](p *Param) T {
	v, _ := p.fallback.(T)
	return v
}

func (c *call) quantity(name string) farm.Amount {
	s, p := c.slot(name)
	if s.state != given {
		return fieldOf(c, s, fallback[quantity.Quantity](p))
	}
	return fieldOf(c, s, s.q)
}

func (c *call) number(name string) farm.Number {
	s, p := c.slot(name)
	if s.state != given {
		return fieldOf(c, s, fallback[float64](p))
	}
	return fieldOf(c, s, s.num)
}

func (c *call) whole(name string) farm.Count {
	s, p := c.slot(name)
	if s.state != given {
		return fieldOf(c, s, fallback[int](p))
	}
	return fieldOf(c, s, int(s.num))
}

func (c *call) flag(name string) farm.Flag {
	s, p := c.slot(name)
	if s.state != given {
		return fieldOf(c, s, fallback[bool](p))
	}
	return fieldOf(c, s, s.num != 0)
}

func (c *call) text(name string) farm.Text {
	s, p := c.slot(name)
	if s.state != given {
		return fieldOf(c, s, fallback[string](p))
	}
	return fieldOf(c, s, s.text)
}

// handle gives what a handle argument stands for, nil when it was not given.
func handleArg[T any](c *call, name string) T {
	s, _ := c.slot(name)
	var none T
	if s.state != given {
		return none
	}
	if h, ok := s.value.(*handleValue); ok { // else it is a name
		v, _ := h.of.(T)
		return v
	}
	return none
}

// handleList gives what an argument of one handle or several stands for.
func handleList[T any](c *call, name string) []T {
	s, _ := c.slot(name)
	list, ok := s.value.(*starlark.List)
	if s.state != given || !ok {
		if v, ok := s.value.(*handleValue); ok && s.state == given {
			if of, ok := v.of.(T); ok {
				return []T{of}
			}
		}
		return nil
	}
	var all []T
	for i := range list.Len() {
		if h, ok := list.Index(i).(*handleValue); ok {
			if of, ok := h.of.(T); ok {
				all = append(all, of)
			}
		}
	}
	return all
}

func (c *call) spanOf(name string) source.Span {
	s, _ := c.slot(name)
	if s.state == absent {
		return c.span
	}
	return s.span
}

// date gives a date argument, season.None when it was not given.
func (c *call) date(name string) farm.DateArg {
	s, _ := c.slot(name)
	if s.state != given {
		return fieldOf(c, s, season.None)
	}
	return fieldOf(c, s, season.Date(s.num))
}

func (c *call) months(name string) farm.Months {
	s, _ := c.slot(name)
	return fieldOf(c, s, s.many)
}

// days gives a number of days.
func (c *call) days(name string) farm.Count {
	s, _ := c.slot(name)
	return fieldOf(c, s, int(s.num))
}

// daysOr gives a number of days, the parameter's default when none was given.
func (c *call) daysOr(name string) farm.Count {
	if c.isGiven(name) {
		return c.days(name)
	}
	s, p := c.slot(name)
	return fieldOf(c, s, fallback[int](p))
}

// decl starts a declaration.
func (c *call) decl() farm.Decl {
	c.ev.order++
	return farm.Decl{Kind: c.of.Name, Call: c.span, Chain: c.ev.callers(), Order: c.ev.order}
}

func isFinite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func describe(v starlark.Value) string {
	switch v := v.(type) {
	case starlark.String:
		if len(v) > 40 {
			return "a text"
		}
		return "the text " + strconv.Quote(string(v))
	case starlark.Int, starlark.Float:
		return "the number " + v.String()
	case starlark.Bool:
		return v.String()
	case starlark.NoneType:
		return "None"
	case quantityValue:
		return v.Dim.Noun()
	case *starlark.Builtin, *starlark.Function:
		return "a function that is not called"
	}
	return article(v.Type())
}
