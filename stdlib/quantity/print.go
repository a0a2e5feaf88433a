package quantity

import (
	"math"
	"strings"
)

// Lengths up to which Short keeps to inches and to centimeters: spacings and gaps are spoken of so.
const (
	shortFeet   = 4
	shortMeters = 1.2
)

// hugeSI is the SI amount from which unit conversions might overflow.
const hugeSI = 1e200

// Format writes a quantity as a grower of the system would: "2 ft 6 in", "640 sq ft",
// "0.45 gpm per 100 ft", "28 °F", "3 weeks", "3.25 lb" (as a scale shows it, not in pounds and ounces).
// It rounds to what can be measured in the field, three or four digits. A dimension without common units comes in
// SI base units, such as "12.5 m^2 kg/s". NaN is "unknown"; the infinities are "infinite" and
// "minus infinite". Parse reads all but these back.
func (s System) Format(q Quantity) string {
	return s.print(q, false)
}

// Short writes spacings and gaps: a length up to 4 ft or 1.2 m stays in one unit, "30 in", "76 cm".
// Anything else comes as Format writes it.
func (s System) Short(q Quantity) string {
	return s.print(q, true)
}

func (s System) print(q Quantity, short bool) string {
	switch {
	case math.IsNaN(q.SI):
		return "unknown"
	case math.IsInf(q.SI, 1):
		return "infinite"
	case math.IsInf(q.SI, -1):
		return "minus infinite"
	case q.Dim == Temperature && math.Abs(q.SI) < hugeSI:
		return s.printTemperature(q)
	}
	v, dim, tail := math.Abs(q.SI), q.Dim, ""
	var text string
	var said float64
	if dim == Interval && v < hugeSI {
		text, said = number(s.degrees(v), 3)
		text, tail = text+" "+s.degreeSymbol(), " difference"
	} else {
		text, said = s.printAmount(v, dim, short)
	}
	if q.SI < 0 && said > 0 {
		text = "-" + text
	}
	return text + tail
}

// printAmount writes v of SI units, at least 0. Rounding may carry an amount into the next form (23.999
// in is 2 ft), so the form is chosen again for what the text says until it stays.
func (s System) printAmount(v float64, d Dimension, short bool) (text string, said float64) {
	fs := s.formsOf(d)
	if len(fs) == 0 || v >= hugeSI {
		return baseAmount(v, d)
	}
	if short && d == Length {
		if text, said, ok := s.printShort(v); ok {
			return text, said
		}
	}
	f := pick(fs, v)
	for range fs {
		text, said = f.write(v)
		next := pick(fs, said)
		if next == f {
			break
		}
		f, v = next, said
	}
	return text, said
}

func (s System) printShort(v float64) (text string, said float64, ok bool) {
	fs := s.formsOf(Length)
	f, limit := &fs[0], Quantity{}
	if s == Metric {
		f, limit = &fs[1], Meters(shortMeters)
	} else {
		foot, _ := UnitNamed("ft")
		limit = foot.Of(shortFeet)
	}
	if v < f.from*(1-slack) || v > 2*limit.SI {
		return "", 0, false
	}
	text, said = f.write(v)
	return text, said, said <= limit.SI*(1+slack)
}

// baseAmount writes an amount in SI base units: "12.5 m^2 kg/s", "5 per s".
func baseAmount(v float64, d Dimension) (text string, said float64) {
	text, said = baseNumber(v)
	if d == Ratio {
		return text, said
	}
	base := d.baseText()
	if rest, ok := strings.CutPrefix(base, "1/"); ok {
		return text + " per " + rest, said
	}
	return text + " " + base, said
}

func (s System) printTemperature(q Quantity) string {
	t := q.Fahrenheit()
	if s == Metric {
		t = q.Celsius()
	}
	text, said := number(math.Abs(math.Round(t*10)/10), 4)
	if t < 0 && said > 0 {
		text = "-" + text
	}
	return text + " " + s.degreeSymbol()
}

func (s System) degrees(kelvin float64) float64 {
	if s == Metric {
		return kelvin
	}
	return kelvin / kelvinPerF
}

func (s System) degreeSymbol() string {
	if s == Metric {
		return "°C"
	}
	return "°F"
}
