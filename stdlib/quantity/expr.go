package quantity

import (
	"fmt"
	"math"
	"strings"
)

// exprDigits is how many significant digits plan text carries; callers that need a bound kept round in
// the safe direction first.
const exprDigits = 6

// Expr writes a quantity as plan text: "14 * inch", "6.5 * ft", "0.45 * gpm / (100 * ft)", "degf(28)",
// "2 * weeks". The text is worth the quantity to six significant digits; no whole unit is rounded away. A
// dimension without common units is built from m, kg and seconds. What no plan can write (money, an
// angle) gives "".
func (s System) Expr(q Quantity) string {
	if q.Dim[AxisMoney] != 0 || q.Dim[AxisAngle] != 0 {
		return ""
	}
	sign, v := "", math.Abs(q.SI)
	if q.SI < 0 {
		sign = "-"
	}
	switch {
	case q.Dim == Temperature:
		return s.exprTemperature(q)
	case q.Dim == Interval:
		f := s.degreeCall()
		return fmt.Sprintf("%s(%s) - %s(0)", f, exprNumber(sign, s.degrees(v)), f)
	case q.Dim[AxisLevel] != 0 || q.Dim[AxisInterval] != 0:
		return ""
	}
	fs := s.formsOf(q.Dim)
	if len(fs) == 0 || v >= hugeSI || math.IsNaN(v) {
		return exprBase(exprNumber(sign, v), q.Dim)
	}
	f := s.exprForm(fs, v, q.Dim)
	text := exprNumber(sign, v/f.si())
	if f.unit.Name != "" {
		text += " * " + f.unit.Name
	}
	switch {
	case f.per.Name == "":
	case f.perN == 1:
		text += " / " + f.per.Name
	default:
		text += fmt.Sprintf(" / (%g * %s)", f.perN, f.per.Name)
	}
	return text
}

// exprForm chooses the unit: the printed one, unless a larger one gives a whole number above one or
// another gives fewer decimals.
func (s System) exprForm(fs []form, v float64, d Dimension) *form {
	usual := pick(fs, v)
	if d == Length {
		usual = s.lengthForm(fs, v, usual)
	}
	for i := len(fs) - 1; i >= 0 && &fs[i] != usual; i-- {
		n := v / fs[i].si()
		if n > 1.5 && near(n, math.Round(n)) && n < 1000 {
			return &fs[i]
		}
	}
	best, least := usual, decimals(v/usual.si())
	if least <= 2 {
		return best
	}
	for i := range fs {
		if n := decimals(v / fs[i].si()); n < least {
			best, least = &fs[i], n
		}
	}
	return best
}

// lengthForm keeps to inches and centimeters as Short does.
func (s System) lengthForm(fs []form, v float64, usual *form) *form {
	small := &fs[0]
	limit, _ := UnitNamed("ft")
	most := limit.SI * shortFeet
	if s == Metric {
		small, most = &fs[1], shortMeters
	}
	if v >= small.from*(1-slack) && v <= most*(1+slack) {
		return small
	}
	return usual
}

func decimals(x float64) int {
	text, _ := number(x, exprDigits)
	_, after, _ := strings.Cut(text, ".")
	return len(after)
}

func exprNumber(sign string, x float64) string {
	switch {
	case math.IsNaN(x):
		return `float("nan")`
	case math.IsInf(x, 0):
		return `float("` + sign + `inf")`
	}
	text, said := number(x, exprDigits)
	if said == 0 && x != 0 {
		text = fmt.Sprintf("%.5e", x)
	}
	if said == 0 && x == 0 {
		sign = ""
	}
	return sign + text
}

func exprBase(text string, d Dimension) string {
	for i, e := range d {
		op, name := " * ", [...]string{AxisLength: "m", AxisMass: "kg", AxisTime: "seconds"}
		if e < 0 {
			op = " / "
		}
		for range max(int(e), -int(e)) {
			text += op + name[i]
		}
	}
	return text
}

func (s System) exprTemperature(q Quantity) string {
	t := q.Fahrenheit()
	if s == Metric {
		t = q.Celsius()
	}
	sign := ""
	if t < 0 {
		sign = "-"
	}
	return s.degreeCall() + "(" + exprNumber(sign, math.Abs(t)) + ")"
}

func (s System) degreeCall() string {
	if s == Metric {
		return "degc"
	}
	return "degf"
}
