package eval

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

// Builtin is one function a plan can call: the one place for its name, parameters and documentation.
type Builtin struct {
	Name    string
	Also    []string // other words that growers try for it
	Group   string   // heading in the reference: "farm", "ground", "planting", "water", "values"
	Summary string   // one line
	Doc     string   // the rest, Markdown
	Example string   // plan text
	Params  []Param
	Free    int    // how many of the first parameters may be given without their names
	Returns string // "a plot"

	build func(*call) starlark.Value
}

// Param is one parameter of a Builtin.
type Param struct {
	Name     string
	Type     Type
	Required bool
	Default  string // as plan text, "" when there is none
	Doc      string
	Limits   Limits
	Also     []string // other words that growers try for it

	fallback any // the default's value: quantity.Quantity, float64, int, bool or string
}

// Limits bound a number or quantity; the zero value bounds nothing.
type Limits struct {
	Set         bool
	Low, High   float64 // in the Type's own base: SI, degrees, plain numbers
	LowExcluded bool
}

// hold tells whether a number lies within the bounds.
func (l Limits) hold(n float64) bool {
	return isFinite(n) && (!l.Set || n <= l.High && (n > l.Low || n == l.Low && !l.LowExcluded))
}

// Kind of a parameter's values.
type Kind uint8

// The kinds of values that parameters take.
const (
	KindText Kind = iota
	KindNumber
	KindWhole
	KindFlag
	KindDate
	KindQuantity
	KindDays   // a whole number of days, or a time
	KindChoice // one of a few words
	KindHandle // what a declaration gave back
	KindMonths // twelve quantities, or a dict from month to quantity
	KindCrops  // a list of crops, crop names or families
)

// Type of a parameter.
type Type struct {
	Kind    Kind
	Dim     quantity.Dimension // of quantities and months
	Range   bool               // a pair (low, high) will do as well
	Handle  string             // "plot"
	Or      []string           // other kinds of handles that will do as well
	Choices []string
	Family  bool                 // a text that names a botanical family
	Spread  bool                 // a volume for each area, which has the dimension of a length
	Usual   string               // the unit that the quantity is mostly given in; "" for no one unit
	Named   bool                 // a text that names the thing will do as well as its handle
	Several bool                 // a list of such handles will do as well
	Dims    []quantity.Dimension // other quantities that will do as well
}

// Takes tells whether a handle of a kind belongs there.
func (t Type) Takes(kind string) bool {
	return t.Kind == KindHandle && (t.Handle == kind || slices.Contains(t.Or, kind))
}

// Noun names the quantity that belongs there: "a length", "a volume for each area".
func (t Type) Noun() string {
	if t.Spread {
		return "a volume for each area"
	}
	return t.Dim.Noun()
}

// String says what belongs there: "a length", "a whole number", "\"us\" or \"metric\"".
func (t Type) String() string {
	text := ""
	switch t.Kind {
	case KindText:
		text = "text"
		if t.Family {
			text = "a botanical family"
		}
	case KindNumber:
		text = "a number"
	case KindWhole:
		text = "a whole number"
	case KindFlag:
		text = "True or False"
	case KindDate:
		text = "a date"
	case KindQuantity:
		text = t.Noun()
		for _, d := range t.Dims {
			text += " or " + d.Noun()
		}
	case KindDays:
		text = "a number of days or a time"
	case KindChoice:
		text = quoteList(t.Choices, "or")
	case KindHandle:
		text = article(t.Handle)
		for _, kind := range t.Or {
			text += " or " + article(kind)
		}
		if t.Named {
			text += " or a name"
		}
		if t.Several {
			text += " or a list of them"
		}
	case KindMonths:
		text = t.Dim.Noun() + " for each month"
	case KindCrops:
		text = "a list of crops or families"
	}
	if t.Range {
		text += " or a pair (low, high)"
	}
	return text
}

// LimitsText says the bounds in the units of the system, "" when there are none.
func (p *Param) LimitsText(units quantity.System) string {
	if !p.Limits.Set {
		return ""
	}
	low, high := p.show(p.roundly(p.Limits.Low, units), units), p.show(p.roundly(p.Limits.High, units), units)
	if p.Limits.Low == 0 {
		low = "0" // of whatever unit; no temperature is bounded by its absolute zero
	}
	if p.Limits.LowExcluded {
		return "more than " + low + ", at most " + high
	}
	return "from " + low + " to " + high
}

// roundly brings a limit of some meters, which is round in meters, to two figures in feet on a farm that
// thinks in feet.
func (p *Param) roundly(v float64, units quantity.System) float64 {
	const foot = 0.3048
	if p.Type.Spread || units == quantity.Metric || p.Type.Dim != quantity.Length || math.Abs(v) < 1 {
		return v
	}
	feet, _ := strconv.ParseFloat(strconv.FormatFloat(v/foot, 'g', 2, 64), 64)
	return feet * foot
}

func (p *Param) show(v float64, units quantity.System) string {
	if p.Type.Spread {
		return units.Spread(v)
	}
	if p.Type.Dim == quantity.Ratio && (p.Type.Kind == KindQuantity || p.Type.Kind == KindMonths) {
		return trimNumber(v*100) + " %"
	}
	if p.Type.Kind == KindQuantity || p.Type.Kind == KindMonths {
		return units.Short(quantity.Of(v, p.Type.Dim))
	}
	return trimNumber(v)
}

// Signature is the call as a reader would see it in a book: "row(plot, at, name = ..., ...)".
func (b *Builtin) Signature() string {
	var parts []string
	for i, p := range b.Params {
		switch {
		case i < b.Free:
			parts = append(parts, p.Name)
		case p.Default != "":
			parts = append(parts, p.Name+" = "+p.Default)
		default:
			parts = append(parts, p.Name+" = ...")
		}
	}
	return b.Name + "(" + strings.Join(parts, ", ") + ")"
}

// outline names what a call takes, the required arguments first, in two lines at most.
func (b *Builtin) outline() string {
	const room = 130
	var must, may []string
	for _, p := range b.Params {
		if p.Required {
			must = append(must, p.Name)
		} else {
			may = append(may, p.Name)
		}
	}
	text := b.Name + " takes " + list(must, "and")
	if len(must) > 0 && len(may) > 0 {
		text += "; also "
	}
	for i, name := range may {
		if len(text)+len(name) > room {
			return fmt.Sprintf("%s and %d more: see `haulm doc %s`", strings.TrimSuffix(text, ", "), len(may)-i, b.Name)
		}
		text += name + ", "
	}
	return strings.TrimSuffix(text, ", ")
}

// Param gives the parameter of a name, nil when there is none.
func (b *Builtin) Param(name string) *Param {
	for i := range b.Params {
		if b.Params[i].Name == name {
			return &b.Params[i]
		}
	}
	return nil
}

// IsMethod tells whether the function is called on a crop rather than by its name alone.
func (b *Builtin) IsMethod() bool { return b.Name == varietyName }

// The constructors below keep the registry short to read.

func param(name string, t Type, doc string) Param { return Param{Name: name, Type: t, Doc: doc} }

func text(name, doc string) Param   { return param(name, Type{Kind: KindText}, doc) }
func number(name, doc string) Param { return param(name, Type{Kind: KindNumber}, doc) }
func whole(name, doc string) Param  { return param(name, Type{Kind: KindWhole}, doc) }
func flag(name, doc string) Param {
	return param(name, Type{Kind: KindFlag}, doc).or("False", false)
}
func date(name, doc string) Param { return param(name, Type{Kind: KindDate}, doc) }
func days(name, doc string) Param {
	return param(name, Type{Kind: KindDays}, doc).between(0, 3660)
}
func handle(name, kind, doc string) Param {
	return param(name, Type{Kind: KindHandle, Handle: kind}, doc)
}
func handleOf(name, doc, kind string, or ...string) Param {
	return param(name, Type{Kind: KindHandle, Handle: kind, Or: or}, doc)
}
func choice(name, doc string, choices ...string) Param {
	return param(name, Type{Kind: KindChoice, Choices: choices}, doc)
}
func measure(name string, dim quantity.Dimension, doc string) Param {
	return param(name, Type{Kind: KindQuantity, Dim: dim}, doc)
}
func spread(name, doc string) Param {
	return param(name, Type{Kind: KindQuantity, Dim: quantity.Length, Spread: true}, doc)
}
func months(name string, dim quantity.Dimension, doc string) Param {
	return param(name, Type{Kind: KindMonths, Dim: dim}, doc+": twelve of them, or by month")
}
func length(name, doc string) Param { return measure(name, quantity.Length, doc) }

func (p Param) required() Param { p.Required = true; return p }

func (p Param) or(text string, v any) Param { p.Default, p.fallback = text, v; return p }

func (p Param) also(words ...string) Param { p.Also = words; return p }

func (p Param) usually(unit string) Param { p.Type.Usual = unit; return p }

func (p Param) orName() Param { p.Type.Named = true; return p }

func (p Param) orList() Param { p.Type.Several = true; return p }

func (p Param) orMeasure(dims ...quantity.Dimension) Param { p.Type.Dims = dims; return p }

func (p Param) orRange() Param { p.Type.Range = true; return p }

func (p Param) between(low, high float64) Param {
	p.Limits = Limits{Set: true, Low: low, High: high}
	return p
}

func (p Param) above(low, high float64) Param {
	p.Limits = Limits{Set: true, Low: low, High: high, LowExcluded: true}
	return p
}
