package eval

import (
	"path"

	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"

	"go.starlark.net/starlark"
)

// Call is one call of a built-in as a run understood it.
type Call struct {
	Of      *Builtin
	On      any         // what a method was called on: a *farm.Crop
	At      source.Span // the call
	Dir     string      // folder in the plan that paths among the arguments start from
	Earlier bool        // it stands in the plan of an earlier year
	Args    []Arg       // those given, in the order of the parameters
	Gave    []any       // what it declared: *farm.Plot, ...; each of the rows that rows(...) gives
}

// Arg is one argument of a Call. Which of its values is set follows from the parameter's Kind.
type Arg struct {
	Param     *Param
	Text      string
	Number    float64 // numbers, whole numbers, days; 1 for True
	Date      season.Date
	From      *Frost              // that the date was reckoned from; nil for none
	Low, High quantity.Quantity   // both ends of a Pair, else the same twice
	Pair      bool                // it was given as (low, high)
	Months    []quantity.Quantity // January first; NaN where not given
	Things    []any               // what handles stand for; of KindCrops names too, as strings
	Listed    bool                // the handles were given in a list
	Written   string              // the text that gave it, as it stands in the plan
}

// Frost is one of the average frosts of a site.
type Frost struct {
	Site  *farm.Site
	First bool // the first one of fall, not the last one of spring
}

// Arg gives the argument of a parameter, nil when it was not given.
func (c *Call) Arg(name string) *Arg {
	for i := range c.Args {
		if c.Args[i].Param.Name == name {
			return &c.Args[i]
		}
	}
	return nil
}

// note keeps a call whose arguments were sound, and what it gave.
func (c *call) note(v starlark.Value) {
	if _, ok := v.(poison); ok {
		return
	}
	n := Call{Of: c.of, On: c.receiver, At: c.span, Earlier: len(c.ev.years.reading) > 1, Gave: things(v)}
	if c.module != nil {
		n.Dir = path.Dir(c.module.path)
	}
	for i := range c.slots {
		if c.slots[i].state == given {
			n.Args = append(n.Args, c.slots[i].noted(&c.of.Params[i]))
		}
	}
	*c.ev.years.trace = append(*c.ev.years.trace, n)
}

// noted is what a slot holds after checking.
func (s *slot) noted(p *Param) Arg {
	a := Arg{
		Param: p, Text: s.text, Number: s.num, Low: s.q, High: s.q, Months: s.many, Things: things(s.value), Written: s.span.Text(),
	}
	switch p.Type.Kind {
	case KindDate:
		a.Date = season.Date(s.num)
		if d, ok := s.value.(dateValue); ok {
			a.From = d.from
		}
	case KindHandle:
		_, a.Listed = s.value.(*starlark.List)
	}
	if p.Type.Range {
		a.High = s.high
		_, isText := s.value.(starlark.String)
		_, isPair := s.value.(starlark.Indexable)
		a.Pair = isPair && !isText
	}
	return a
}

// things are what a handle or the handles of a list stand for; names in the list as strings.
func things(v starlark.Value) []any {
	switch v := v.(type) {
	case *handleValue:
		return []any{v.of}
	case starlark.String:
		return nil
	case starlark.Iterable:
		var all []any
		iter := v.Iterate()
		defer iter.Done()
		for x := starlark.Value(nil); iter.Next(&x); {
			switch x := x.(type) {
			case *handleValue:
				all = append(all, x.of)
			case starlark.String:
				all = append(all, string(x))
			}
		}
		return all
	}
	return nil
}
