package quantity

import (
	"math"
	"strings"
)

// hugeSI is the SI amount from which unit conversions might overflow.
const hugeSI = 1e200

// Temperatures have one decimal, as fine as a thermometer reads, however hot.
const (
	degreeDigits   = 8
	degreeDecimals = 1
)

// Format writes a quantity as a grower of the system would: "2 ft 6 in", "640 sq ft",
// "0.45 gpm per 100 ft", "28 °F", "3 weeks", "3.25 lb" (as a scale shows it, not in pounds and ounces). It
// rounds to what can be measured in the field, three or four digits. A dimension without common units
// comes in SI base units, such as "12.5 m^2 kg/s". NaN is "unknown"; the infinities are "infinite" and
// "minus infinite". Parse reads all but these back.
func (s System) Format(q Quantity) string { return s.print(q, pick) }

// Short writes spacings and gaps: a length up to 4 ft or 1.2 m stays in one unit, "30 in", "76 cm".
// Anything else comes as Format writes it.
func (s System) Short(q Quantity) string { return s.print(q, pickShort) }

// Spread writes a volume for each area, given in m (m3 on each m2), by the acre or the hectare: "50 gal per
// acre". Such a rate has the dimension of a length, which Format would write in inches.
func (s System) Spread(v float64) string {
	name := "acre"
	if s == Metric {
		name = "ha"
	}
	u, _ := UnitNamed(name)
	return s.Format(Of(v*u.SI, Volume)) + " per " + u.Symbol
}

// picker chooses among the forms of a dimension the one for an SI amount, at least 0.
type picker func(fs []form, v float64) *form

func (s System) print(q Quantity, choose picker) string {
	switch {
	case math.IsNaN(q.SI):
		return "unknown"
	case math.IsInf(q.SI, 1):
		return "infinite"
	case math.IsInf(q.SI, -1):
		return "minus infinite"
	}
	v, negative := math.Abs(q.SI), q.SI < 0
	var text string
	var said float64
	fs := s.formsOf(q.Dim)
	switch {
	case v < hugeSI && q.Dim == Temperature:
		reading := s.reading(q)
		negative = reading < 0
		text, said = s.writeDegrees(math.Abs(reading), "")
	case v < hugeSI && q.Dim == Interval:
		text, said = s.writeDegrees(v/s.degree(), " difference")
	case v < hugeSI && len(fs) > 0:
		text, said = writeIn(fs, v, choose)
	default:
		text, said = writeBase(v, q.Dim)
	}
	if negative && said > 0 {
		return "-" + text
	}
	return text
}

// writeIn writes v of SI units, at least 0, and gives the amount that the text says. Rounding may carry
// an amount into the next form (23.999 in is 2 ft), so the form is chosen again for what the text says
// until it stays.
func writeIn(fs []form, v float64, choose picker) (text string, said float64) {
	f := choose(fs, v)
	for range fs {
		text, said = f.write(v)
		next := choose(fs, said)
		if next == f {
			break
		}
		f, v = next, said
	}
	return text, said
}

// writeBase writes an amount in SI base units: "12.5 m^2 kg/s", "5 per s".
func writeBase(v float64, d Dimension) (text string, said float64) {
	text, said = baseNumber(v)
	if d == Ratio {
		return text, said
	}
	base := d.BaseUnits()
	if under, ok := strings.CutPrefix(base, "1/"); ok {
		return text + " per " + under, said
	}
	return text + " " + base, said
}

func (s System) writeDegrees(n float64, tail string) (text string, said float64) {
	text, said = number(n, degreeDigits, degreeDecimals)
	if s == Metric {
		return text + " °C" + tail, said
	}
	return text + " °F" + tail, said
}
