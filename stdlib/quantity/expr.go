package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// exprDigits is how many significant digits plan text carries; beyond exprDecimals it takes what
// subtraction leaves over for nothing.
const (
	exprDigits   = 6
	exprDecimals = 9
)

// Expr writes a quantity as plan text: "14 * inch", "6.5 * ft", "0.45 * gpm / (100 * ft)", "degf(28)",
// "2 * weeks". The text is worth the quantity to six significant digits or nine decimals, so a caller that must stay on
// one side of a bound rounds to that side first. A dimension without common units is built from m, kg
// and seconds. What no plan can write (money, an angle) gives "".
func (s System) Expr(q Quantity) string {
	fs := s.formsOf(q.Dim)
	v := math.Abs(q.SI)
	call := "degf"
	if s == Metric {
		call = "degc"
	}
	switch {
	case q.Dim == Temperature:
		return call + "(" + exprNumber(s.reading(q)) + ")"
	case q.Dim == Interval:
		return fmt.Sprintf("%s(%s) - %s(0)", call, exprNumber(q.SI/s.degree()), call)
	case len(fs) > 0 && v < hugeSI:
		return exprForm(fs, v).expr(q.SI)
	}
	return exprBase(q)
}

// Exact writes a quantity as plan text that is worth it: as Expr does, with more digits where those of Expr do not
// come to the same but for the last bits of a float64.
func (s System) Exact(q Quantity) string {
	fs := s.formsOf(q.Dim)
	v := math.Abs(q.SI)
	if q.Dim == Temperature || q.Dim == Interval {
		call, value, tail := "degf", s.reading(q), ""
		if q.Dim == Interval {
			value = q.SI / s.degree()
		}
		if s == Metric {
			call = "degc"
		}
		if q.Dim == Interval {
			tail = " - " + call + "(0)"
		}
		return call + "(" + exactNumber(value, lastBits*max(v, math.Abs(value))) + ")" + tail
	}
	if len(fs) > 0 && v < hugeSI {
		f := exprForm(fs, v)
		n := q.SI / f.si()
		return f.after(exactNumber(n, lastBits*math.Abs(n)))
	}
	text := exprBase(q)
	if text == "" {
		return ""
	}
	_, units, _ := strings.Cut(text, " ")
	return strings.TrimSpace(exactNumber(q.SI, lastBits*v) + " " + units)
}

// lastBits is what the last bits of a float64 come to after a few operations, as a share of it.
const lastBits = 1e-14

// exactNumber writes a finite number with as few digits as come within a tolerance of it.
func exactNumber(x, tolerance float64) string {
	for digits := 1; digits <= 15; digits++ {
		text := strconv.FormatFloat(x, 'g', digits, 64)
		if y, err := strconv.ParseFloat(text, 64); err == nil && math.Abs(y-x) <= tolerance {
			return plainDigits(y)
		}
	}
	return plainDigits(x)
}

// plainDigits writes a number without an exponent where it is not too long for that.
func plainDigits(x float64) string {
	if v := math.Abs(x); v != 0 && (v < 1e-6 || v >= 1e15) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// expr writes v of SI units as plan text.
func (f *form) expr(v float64) string {
	return f.after(exprNumber(v / f.si()))
}

// after writes the form's units after a number.
func (f *form) after(text string) string {
	if f.unit.Name != "" {
		text += " * " + f.unit.Name
	}
	switch {
	case f.per.Name == "":
		return text
	case f.perN == 1:
		return text + " / " + f.per.Name
	}
	return text + fmt.Sprintf(" / (%g * %s)", f.perN, f.per.Name)
}

// exprForm chooses the unit: the one that Short prints, unless a larger one comes to a whole number, or
// the usual one needs more than two decimals and a smaller one fewer digits.
func exprForm(fs []form, v float64) *form {
	const fewDecimals = 2
	usual := 0
	for i, f := 0, pickShort(fs, v); i < len(fs); i++ {
		if &fs[i] == f {
			usual = i
		}
	}
	for i := len(fs) - 1; i > usual; i-- {
		if n := v / fs[i].si(); near(n, math.Round(n)) && n > 1.5 {
			return &fs[i]
		}
	}
	if decimals, _ := digitsIn(v / fs[usual].si()); decimals <= fewDecimals {
		return &fs[usual]
	}
	best := usual
	_, least := digitsIn(v / fs[usual].si())
	for i := usual - 1; i >= 0; i-- {
		if _, digits := digitsIn(v / fs[i].si()); digits < least {
			best, least = i, digits
		}
	}
	return &fs[best]
}

// digitsIn counts the decimals and all the digits that plan text would need for x, at least 0.
func digitsIn(x float64) (decimals, digits int) {
	text, _ := number(x, exprDigits, exprDecimals)
	_, after, _ := strings.Cut(text, ".")
	return len(after), len(strings.TrimLeft(strings.Replace(text, ".", "", 1), "0"))
}

// exprNumber writes a number as Starlark reads it, float("inf") and float("nan") too.
func exprNumber(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return `float("` + strings.ToLower(strconv.FormatFloat(x, 'g', -1, 64)) + `")`
	}
	text, said := number(math.Abs(x), exprDigits, exprDecimals)
	if x < 0 && said > 0 {
		return "-" + text
	}
	return text
}

// exprBase writes a quantity in the plan's names for SI base units, "" where it has none.
func exprBase(q Quantity) string {
	names := [axisCount]string{AxisLength: "m", AxisMass: "kg", AxisTime: "seconds"}
	text := exprNumber(q.SI)
	if x := math.Abs(q.SI); 0 < x && x < 1e-3 {
		text = strconv.FormatFloat(q.SI, 'g', exprDigits, 64)
	}
	for axis, e := range q.Dim {
		if e != 0 && names[axis] == "" {
			return ""
		}
		text += strings.Repeat(" * "+names[axis], max(int(e), 0))
		text += strings.Repeat(" / "+names[axis], max(-int(e), 0))
	}
	return text
}
