package feature

import (
	"cmp"
	"fmt"
	"strings"

	"haulm/lang/eval"
	"haulm/stdlib/quantity"
)

// snippet writes a whole call with places to fill: the arguments that must be given, and for a planting
// how much and when. As a statement it gives the value a name where the plan will need one.
func snippet(b *eval.Builtin, units quantity.System, year int, statement bool) string {
	s := &snippetWriter{units: units, year: year}
	if statement && needsName(b) {
		s.place(nameFor(b))
		s.text.WriteString(" = ")
	}
	s.text.WriteString(b.Name + "(")
	first := true
	for i := range b.Params {
		p := &b.Params[i]
		planting := isPlanting(b) && (p.Name == "fill" || p.Name == "on")
		if !p.Required && !planting {
			continue
		}
		if !first {
			s.text.WriteString(", ")
		}
		first = false
		if i >= b.Free {
			s.text.WriteString(p.Name + " = ")
		}
		s.value(p)
	}
	s.text.WriteString(")")
	return s.text.String()
}

// needsName tells whether what a built-in gives is there to be handed on.
func needsName(b *eval.Builtin) bool {
	switch b.Name {
	case "site", "crew", "plot", "soil", "row", "rows", "crop", "water_source", "drip_tape", "pipe", "zone", "climate",
		"tray", "pot", "protectant":
		return true
	}
	return false
}

func nameFor(b *eval.Builtin) string {
	switch b.Name {
	case "site":
		return "here"
	case "crew":
		return "hands"
	case "rows":
		return "beds"
	case "tray":
		return "plugs"
	}
	return "my_" + b.Name
}

// snippetWriter numbers the places of a snippet.
type snippetWriter struct {
	text  strings.Builder
	units quantity.System
	year  int
	last  int
}

// place writes a place with what stands there until it is filled.
func (s *snippetWriter) place(text string) {
	s.last++
	text = strings.NewReplacer(`\`, `\\`, `$`, `\$`, `}`, `\}`).Replace(text)
	fmt.Fprintf(&s.text, "${%d:%s}", s.last, text)
}

func (s *snippetWriter) choice(choices []string) {
	s.last++
	escaped := make([]string, len(choices))
	for i, c := range choices {
		escaped[i] = strings.NewReplacer(`\`, `\\`, `,`, `\,`, `|`, `\|`).Replace(c)
	}
	fmt.Fprintf(&s.text, "${%d|%s|}", s.last, strings.Join(escaped, ","))
}

func (s *snippetWriter) quoted(text string) {
	s.text.WriteString(`"`)
	s.place(text)
	s.text.WriteString(`"`)
}

func (s *snippetWriter) value(p *eval.Param) {
	switch t := p.Type; t.Kind {
	case eval.KindText:
		s.quoted(p.Name)
	case eval.KindChoice:
		s.text.WriteString(`"`)
		s.choice(t.Choices)
		s.text.WriteString(`"`)
	case eval.KindDate:
		s.quoted(exampleDate(p.Name, s.year))
	case eval.KindFlag:
		s.text.WriteString("True")
	case eval.KindQuantity, eval.KindMonths:
		s.place("1")
		s.text.WriteString(" * " + cmp.Or(t.Usual, productFor(t.Dim, s.units)))
	case eval.KindCrops:
		s.text.WriteString(`["`)
		s.place("crop")
		s.text.WriteString(`"]`)
	case eval.KindWhole:
		if p.Name == "year" && s.year > 0 {
			s.place(fmt.Sprint(s.year))
			return
		}
		s.place("1")
	case eval.KindNumber, eval.KindDays:
		s.place("1")
	default:
		s.place(p.Name)
	}
}

// exampleDate is a day that reads as what it stands for.
func exampleDate(name string, year int) string {
	if year == 0 {
		return "year-month-day"
	}
	switch name {
	case "first_frost":
		return fmt.Sprintf("%d-10-15", year)
	case "last_frost":
		return fmt.Sprintf("%d-04-25", year)
	}
	return fmt.Sprintf("%d-05-01", year)
}

// productFor gives the units of a dimension as a plan writes them in a farm's system: "ft", "gpm / (100 *
// ft)"; "" when there are none.
func productFor(d quantity.Dimension, units quantity.System) string {
	if list := unitsIn(d, units); len(list) > 0 {
		return list[0].Name
	}
	for _, under := range []quantity.Dimension{quantity.Length, quantity.Area, quantity.Volume, quantity.Time} {
		over, err := quantity.Of(1, d).Mul(quantity.Of(1, under))
		if err != nil {
			continue
		}
		a, b := unitsIn(over.Dim, units), unitsIn(under, units)
		if over.Dim == quantity.Ratio || len(a) == 0 || len(b) == 0 {
			continue
		}
		if under == quantity.Length && units == quantity.US {
			return a[0].Name + " / (100 * ft)"
		}
		return a[0].Name + " / " + b[0].Name
	}
	return ""
}

// unitsIn gives the units of a dimension, those of the system first, then those that both kinds of farm
// write, then the others.
func unitsIn(d quantity.Dimension, units quantity.System) []quantity.Unit {
	var own, others []quantity.Unit
	for _, u := range quantity.UnitsOf(d) {
		if u.System == units || u.System == quantity.Both {
			own = append(own, u)
		} else {
			others = append(others, u)
		}
	}
	return append(own, others...)
}
