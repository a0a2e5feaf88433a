package quantity

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// form is one way of writing amounts of a dimension: "2 ft 6 in" from two feet up, "0.45 gpm per 100 ft".
type form struct {
	from   float64 // SI amount from which it is used
	unit   Unit    // the zero Unit for a bare number
	per    Unit    // what it is a rate over; the zero Unit when it is no rate
	perN   float64 // how many of per: 100 in "per 100 ft"
	digits int     // significant digits, when there is no rest
	rest   Unit    // smaller unit that takes what is left over, "in" of "2 ft 6 in"
	step   float64 // in rest, to which the amount is rounded
	whole  float64 // used for whole amounts up to this many, and for nothing else
	short  float64 // SI amount up to which Short keeps to it
	zero   bool    // the form of nothing
}

// si gives the SI amount of one of what the form counts.
func (f *form) si() float64 {
	one := 1.0
	if f.unit.Name != "" {
		one = f.unit.SI
	}
	if f.per.Name != "" {
		one /= f.perN * f.per.SI
	}
	return one
}

//go:embed forms.csv
var formsCSV string

type formKey struct {
	system System
	dim    Dimension
}

// forms reads the embedded table once; that it reads is tested, so failing here cannot happen.
var forms = sync.OnceValue(func() map[formKey][]form {
	all := map[formKey][]form{}
	for i, r := range mustRows(formsCSV) {
		system := System(slices.Index(systemNames[:], r[0]))
		dim, ok := dimensionNamed(r[1])
		f, err := readForm(r[2:])
		if err != nil || !ok {
			panic(fmt.Sprintf("forms.csv: row %d: %s: %v", i+2, r[1], err))
		}
		for _, s := range []System{US, Metric} {
			if s == system || system == Both {
				key := formKey{s, dim}
				all[key] = append(all[key], f)
			}
		}
	}
	return all
})

func readForm(r []string) (form, error) {
	f := form{zero: r[8] == "zero"}
	var err error
	amount := func(text string) float64 {
		if text == "" || err != nil {
			return 0
		}
		var n float64
		n, err = strconv.ParseFloat(text, 64)
		return n
	}
	unit := func(name string) Unit {
		u, ok := UnitNamed(name)
		if !ok && name != "" && err == nil {
			err = fmt.Errorf("no unit is called %q", name)
		}
		return u
	}
	f.unit = unit(r[1])
	if n, name, ok := strings.Cut(r[2], " "); ok {
		f.perN, f.per = amount(n), unit(name)
	}
	f.digits = int(amount(r[3]))
	f.rest, f.step = unit(r[4]), amount(r[5])
	f.from, f.short = amount(r[0])*f.si(), amount(r[7])*f.si()
	f.whole = amount(r[6])
	return f, err
}

// formsOf gives the ways of writing a dimension, smallest amounts first; none for an unusual dimension.
func (s System) formsOf(d Dimension) []form {
	if s != Metric {
		s = US
	}
	return forms()[formKey{s, d}]
}

// pick gives the form for the amount v of SI units, at least 0.
func pick(fs []form, v float64) *form {
	best := &fs[0]
	for i := range fs {
		f := &fs[i]
		switch {
		case v == 0 && f.zero:
			return f
		case f.whole > 0:
			n := v / f.si()
			if near(n, math.Round(n)) && n > 0.5 && n < f.whole+0.5 {
				return f
			}
		case v >= f.from*(1-slack):
			best = f
		}
	}
	return best
}

// pickShort gives the form that Short uses.
func pickShort(fs []form, v float64) *form {
	for i := range fs {
		if f := &fs[i]; v >= f.from*(1-slack) && v <= f.short*(1+slack) && v > 0 {
			return f
		}
	}
	return pick(fs, v)
}

// write gives the text of the amount v of SI units, at least 0, and the amount that the text says.
func (f *form) write(v float64) (text string, said float64) {
	if f.rest.Name != "" {
		return f.writeCompound(v)
	}
	text, n := number(v/f.si(), f.digits, printDecimals)
	if f.unit.Name != "" {
		text = attach(text, f.unit.printed(n))
	}
	if f.per.Name != "" {
		text += " per " + perText(f.perN, f.per)
	}
	return text, n * f.si()
}

func perText(n float64, u Unit) string {
	if n == 1 {
		return u.Symbol
	}
	return fmt.Sprintf("%g %s", n, u.printed(n))
}

// restDigits shows the smaller unit of a compound in full: it holds steps of a tenth up to hundreds.
const restDigits = 4

// writeCompound rounds in steps of the smaller unit before it splits the amount, so that twelve inches
// are carried into a foot.
func (f *form) writeCompound(v float64) (text string, said float64) {
	stepsPerUnit := math.Round(f.unit.SI / (f.rest.SI * f.step))
	steps := math.Round(v / (f.rest.SI * f.step) * hair)
	whole := math.Floor(steps / stepsPerUnit)
	left := (steps - whole*stepsPerUnit) * f.step
	said = whole*f.unit.SI + left*f.rest.SI
	var parts []string
	if whole > 0 || left == 0 {
		parts = append(parts, attach(strconv.FormatFloat(whole, 'f', -1, 64), f.unit.printed(whole)))
	}
	if left > 0 {
		n, _ := number(left, restDigits, printDecimals)
		parts = append(parts, attach(n, f.rest.printed(left)))
	}
	return strings.Join(parts, " "), said
}

func attach(number, unit string) string { return number + " " + unit }

// printed gives the unit's symbol after n of it: "0.5 acre", "1 acre", but "0 acres", "1.5 acres".
func (u Unit) printed(n float64) string {
	if n > 1 || n == 0 {
		return u.Plural
	}
	return u.Symbol
}
