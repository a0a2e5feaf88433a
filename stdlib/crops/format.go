package crops

import (
	"fmt"
	"math"
	"strings"

	"haulm/stdlib/quantity"
)

// Format writes the value in a system's units: "12 to 24 in", "very tender", "50 °F 43 days, 59 °F 14 days".
// Lengths of the table are rounded to what their sources can mean, those that a plan gives are not.
func (e Entry) Format(s quantity.System) string {
	switch e.Kind {
	case Word:
		return e.Text
	case Cells:
		return formatCells(e.Emergence, s)
	}
	return e.Kind.said(e.Range.Low, e.Range.High, e.Range.Grade, s)
}

// FormatStated writes what another source says of the entry's value.
func (e Entry) FormatStated(o Stated, s quantity.System) string {
	if e.Kind == Word {
		return o.Text
	}
	return e.Kind.said(o.Low, o.High, o.Grade, s)
}

func formatCells(cells []Emergence, s quantity.System) string {
	var all []string
	for _, c := range cells {
		t := s.Format(quantity.Celsius(c.Celsius))
		if !c.Sprouts {
			all = append(all, t+" none")
			continue
		}
		all = append(all, t+" "+counted("day")(c.Days))
	}
	return strings.Join(all, ", ")
}

func (k Kind) said(low, high float64, g Grade, s quantity.System) string {
	r := Range{Low: low, High: high, Dim: k.dim(), Grade: g}.Told(s)
	return k.format(r.Low, r.High, s)
}

// Told gives the range as it is told in a system's units: lengths of the table are rounded to what their
// sources can mean, 12 in is 30 cm. A length that is held against the range is held against this one.
func (r Range) Told(s quantity.System) Range {
	if r.Dim == quantity.Length && r.Grade != GradePlan {
		r.Low, r.High = rounded(r.Low, s), rounded(r.High, s)
	}
	return r
}

// coarse is the length from which a table's values are told in whole inches or centimeters, m; smaller
// ones are told in eighths of an inch or in millimeters.
const coarse = 0.1

func rounded(v float64, s quantity.System) float64 {
	step := named("inch")
	switch {
	case s == quantity.Metric && v < coarse:
		step = named("mm")
	case s == quantity.Metric:
		step = named("cm")
	case v < coarse:
		step /= 8
	}
	return math.Round(v/step) * step
}

// format writes a range in the units of the kind: both ends in one unit, the unit said once.
func (k Kind) format(low, high float64, s quantity.System) string {
	if k == FromFrost {
		return fromFrost(low, high)
	}
	write := k.writer(low, high, s)
	a, b := write(low), write(high)
	if k == Length && unitOf(a) != unitOf(b) {
		write = func(v float64) string { return s.Format(quantity.Meters(v)) }
		a, b = write(low), write(high)
	}
	if a == b {
		return a
	}
	if u, of := strings.TrimSuffix(unitOf(a), "s"), strings.TrimSuffix(unitOf(b), "s"); u != "" && u == of {
		a, _, _ = strings.Cut(a, " ")
	}
	return a + " to " + b
}

// unitOf gives what follows the number; "" for a number alone and for one in two units
// ("5 ft 6 in").
func unitOf(text string) string {
	_, unit, _ := strings.Cut(text, " ")
	if strings.ContainsAny(unit, "0123456789") && !strings.Contains(unit, "per ") {
		return ""
	}
	return unit
}

// writer gives the way to write numbers of the kind between low and high.
func (k Kind) writer(low, high float64, s quantity.System) func(float64) string {
	switch k {
	case Days:
		return counted("day")
	case Window:
		if math.Mod(low, 7) == 0 && math.Mod(high, 7) == 0 {
			return func(v float64) string { return counted("week")(v / 7) }
		}
		return counted("day")
	case Weeks:
		return counted("week")
	case Years:
		return counted("year")
	case Number:
		return plain
	case PerMass:
		if s == quantity.Metric {
			return rate(named("g"), "per g")
		}
		return rate(named("oz"), "per oz")
	case PerLength:
		if s == quantity.Metric {
			return rate(10, "per 10 m")
		}
		return rate(100*named("ft"), "per 100 ft")
	}
	return func(v float64) string { return s.Short(quantity.Of(v, k.dim())) }
}

func counted(unit string) func(float64) string {
	return func(v float64) string {
		if v == 1 {
			return "1 " + unit
		}
		return plain(v) + " " + unit + "s"
	}
}

func rate(of float64, per string) func(float64) string {
	return func(v float64) string { return plain(v*of) + " " + per }
}

// plain writes a number to three digits, but never rounds away whole ones.
func plain(v float64) string {
	if math.Abs(v) >= 100 {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.3g", v)
}
