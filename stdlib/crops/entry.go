package crops

import (
	"fmt"
	"strings"

	"haulm/stdlib/quantity"
)

// Entry is one value of a crop, ready to be read: `haulm doc`, hover and the reference print these.
type Entry struct {
	Label     string
	Kind      Kind
	Range     Range       // of a word, only Grade, Source, Note and Others are set
	Text      string      // of a word
	Emergence []Emergence // of Cells
}

// Values gives every value that the crop has, in reading order.
func (c *Crop) Values() []Entry {
	all := []Entry{
		word("family", c.Family, c.FamilySource, nil),
		word("started", c.StartSource.Text, c.StartSource, c.StartOthers),
		word("frost class", c.Frost.String(), c.FrostSource, c.FrostOthers),
	}
	for _, v := range values {
		all = append(all, Entry{Label: v.label, Kind: v.kind, Range: *v.field(c)})
		switch v.name {
		case "soil_max":
			all = append(all, cells(c.Emergence))
		case "yield_plant":
			all = append(all, word("sold by the", c.SaleUnit, c.SaleSource, nil))
		}
	}
	var known []Entry
	for _, e := range all {
		if e.Range.Known() {
			known = append(known, e)
		}
	}
	return known
}

func word(label, text string, s Stated, others []Stated) Entry {
	return Entry{Label: label, Text: text, Range: Range{Grade: s.Grade, Source: s.Source, Note: s.Note, Others: others}}
}

func cells(e []Emergence) Entry {
	if len(e) == 0 {
		return Entry{}
	}
	return Entry{Label: "days to emerge", Kind: Cells, Emergence: e, Range: Range{Grade: e[0].Grade, Source: e[0].Source}}
}

// Format writes the value in a system's units: "12 to 24 in", "very tender", "50 °F 43 days, 59 °F 14 days".
func (e Entry) Format(s quantity.System) string {
	switch e.Kind {
	case Word:
		return e.Text
	case Cells:
		return formatCells(e.Emergence, s)
	}
	return e.Kind.format(e.Range.Low, e.Range.High, s)
}

// FormatStated writes what one of the entry's other sources says, in the entry's kind.
func (e Entry) FormatStated(o Stated, s quantity.System) string {
	if e.Kind == Word {
		return o.Text
	}
	return e.Kind.format(o.Low, o.High, s)
}

func formatCells(cells []Emergence, s quantity.System) string {
	var all []string
	for _, c := range cells {
		t := s.Format(quantity.Celsius(c.Celsius))
		if !c.Sprouts {
			all = append(all, t+" none")
			continue
		}
		all = append(all, fmt.Sprintf("%s %g days", t, c.Days))
	}
	return strings.Join(all, ", ")
}

// format writes a range in the units of the kind: both ends in one unit, the unit said once.
func (k Kind) format(low, high float64, s quantity.System) string {
	write := k.writer(s)
	a, b := write(low), write(high)
	if k == Length {
		if a != b && unitOf(a) != unitOf(b) {
			write = func(v float64) string { return s.Format(quantity.Meters(v)) }
			a, b = write(low), write(high)
		}
	}
	if a == b {
		return a
	}
	if u := unitOf(a); u != "" && u == unitOf(b) {
		a = strings.TrimSuffix(a, " "+u)
	}
	return a + " to " + b
}

// unitOf gives what follows the number; "" for a number alone and for one in two units ("5 ft 6 in").
func unitOf(text string) string {
	_, unit, _ := strings.Cut(text, " ")
	if strings.ContainsAny(unit, "0123456789") && !strings.Contains(unit, "per ") {
		return ""
	}
	return unit
}

func (k Kind) writer(s quantity.System) func(float64) string {
	switch k {
	case Days:
		return counted("day")
	case Weeks:
		return counted("week")
	case Years:
		return counted("year")
	case Number:
		return func(v float64) string { return plain(v) }
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
	if v >= 100 || v <= -100 {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.3g", v)
}
