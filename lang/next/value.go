package next

import (
	"math"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// argText writes the value of an argument as plan text.
func (w *writer) argText(c *eval.Call, a *eval.Arg) string {
	switch a.Param.Type.Kind {
	case eval.KindText, eval.KindChoice:
		if isPath(c, a) {
			return strconv.Quote(relative(path.Dir(w.at), path.Join(c.Dir, a.Text)))
		}
		return strconv.Quote(a.Text)
	case eval.KindNumber, eval.KindWhole:
		return number(a.Number)
	case eval.KindDays:
		if a.Pair {
			return "(" + number(a.Low.SI) + ", " + number(a.High.SI) + ")"
		}
		return number(a.Number)
	case eval.KindFlag:
		if a.Number != 0 {
			return "True"
		}
		return "False"
	case eval.KindDate:
		return w.dateText(c, a)
	case eval.KindQuantity:
		if a.Pair {
			return "(" + w.quantityText(a.Param, a.Low) + ", " + w.quantityText(a.Param, a.High) + ")"
		}
		if worth(a.Written, a.Low) {
			return a.Written
		}
		return w.quantityText(a.Param, a.Low)
	case eval.KindMonths:
		return w.monthsText(a)
	case eval.KindCrops:
		return "[" + strings.Join(w.thingNames(a.Things), ", ") + "]"
	}
	if len(a.Things) == 0 {
		return strconv.Quote(a.Text) // a name in a handle's place
	}
	names := w.thingNames(a.Things)
	if a.Listed {
		return "[" + strings.Join(names, ", ") + "]"
	}
	return names[0]
}

// isPath tells whether an argument is the path of a file or a folder, from the file that names it.
func isPath(c *eval.Call, a *eval.Arg) bool {
	switch c.Of.Name {
	case "previous", "weather", "record":
		return a.Param.Type.Kind == eval.KindText
	}
	return false
}

// relative is the path of a file or folder as seen from a folder, both from the same root.
func relative(from, to string) string {
	a, b := parts(from), parts(to)
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	up := strings.Repeat("../", len(a))
	if up == "" {
		up = "./"
	}
	return strings.TrimSuffix(up+strings.Join(b, "/"), "/")
}

func parts(p string) []string {
	if p = path.Clean(p); p == "." {
		return nil
	}
	return strings.Split(p, "/")
}

func (w *writer) thingNames(things []any) []string {
	names := make([]string, len(things))
	for i, t := range things {
		if word, ok := t.(string); ok {
			names[i] = strconv.Quote(word)
		} else {
			names[i] = w.thing(t)
		}
	}
	return names
}

func number(v float64) string {
	if math.Abs(v) >= 1e15 {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// writtenQuantity is plan text that needs nothing but a number and units.
var writtenQuantity = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?) \* ([a-z_]+)(?: / (?:\(([0-9]+) \* ([a-z_]+)\)|([a-z_]+)))?$`)

var writtenDegrees = regexp.MustCompile(`^deg([fc])\((-?[0-9]+(?:\.[0-9]+)?)\)$`)

// worth tells whether the text that gave a quantity is worth it wherever it stands.
func worth(text string, q quantity.Quantity) bool {
	const lastBits = 1e-15
	if m := writtenDegrees.FindStringSubmatch(text); m != nil && q.Dim == quantity.Temperature {
		n, _ := strconv.ParseFloat(m[2], 64)
		if m[1] == "f" {
			return quantity.Fahrenheit(n) == q
		}
		return quantity.Celsius(n) == q
	}
	m := writtenQuantity.FindStringSubmatch(text)
	if m == nil {
		return false
	}
	amount := func(number, unit string) (quantity.Quantity, bool) {
		n := 1.0
		if number != "" {
			n, _ = strconv.ParseFloat(number, 64)
		}
		u, ok := quantity.UnitNamed(unit)
		return u.Of(n), ok
	}
	said, ok := amount(m[1], m[2])
	if per := m[4] + m[5]; ok && per != "" {
		var below quantity.Quantity
		if below, ok = amount(m[3], per); ok {
			var err error
			said, err = said.Div(below)
			ok = err == nil
		}
	}
	return ok && said.Dim == q.Dim && math.Abs(said.SI-q.SI) <= lastBits*math.Abs(q.SI)
}

// onPaper are the lengths that people measure on a map of the plot, in feet or meters.
var onPaper = []string{"at", "first", "start", "length", "width", "headland", "east", "north"}

// byTheRule are those that are measured with a rule on the ground, in inches up to mostByTheRule, m.
var byTheRule = []string{"apart", "spacing", "row_spacing", "line_spacing", "bed_width", "access", "turning", "spray_access"}

const mostByTheRule = 2.0

// quantityText writes a quantity in the farm's units.
func (w *writer) quantityText(p *eval.Param, q quantity.Quantity) string {
	units := w.farm.Units
	if p.Type.Spread && q.Dim == quantity.Length {
		name := "acre"
		if units == quantity.Metric {
			name = "ha"
		}
		area, _ := quantity.UnitNamed(name)
		return units.Exact(quantity.Of(q.SI*area.SI, quantity.Volume)) + " / " + name
	}
	name := p.Type.Usual
	if p.Type.Kind == eval.KindMonths && q.Dim == quantity.Time {
		name = "hours"
	}
	switch isLength := p.Type.Dim == quantity.Length; {
	case isLength && slices.Contains(onPaper, p.Name):
		name = "ft"
		if units == quantity.Metric {
			name = "m"
		}
	case isLength && units == quantity.US && slices.Contains(byTheRule, p.Name) && q.SI < mostByTheRule:
		name = "inch"
	}
	unit, _ := quantity.UnitNamed(name)
	if n := math.Round(q.In(unit)*100) / 100; name != "" && q.SI >= unit.SI && math.Abs(unit.Of(n).SI-q.SI) < 1e-12*q.SI {
		return number(n) + " * " + name
	}
	text := units.Exact(q)
	if q.Dim == quantity.Ratio && !strings.Contains(text, "*") { // a ratio above 1: a bare number is no quantity
		percent, _ := quantity.UnitNamed("percent")
		return number(q.SI/percent.SI) + " * percent"
	}
	return text
}

var monthNames = [...]string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// monthsText writes twelve values as a list, fewer by the months' names.
func (w *writer) monthsText(a *eval.Arg) string {
	var each, named []string
	for i, q := range a.Months {
		if math.IsNaN(q.SI) {
			continue
		}
		text := w.quantityText(a.Param, q)
		each = append(each, text)
		named = append(named, strconv.Quote(monthNames[i])+": "+text)
	}
	if len(each) < len(monthNames) {
		return "{" + strings.Join(named, ", ") + "}"
	}
	return together(each)
}

// together writes a list whose elements are numbers of one unit with the unit once.
func together(each []string) string {
	var numbers []string
	before, after := "", ""
	for i, text := range each {
		var n, head, tail string
		if inner, ok := strings.CutPrefix(text, "deg"); ok && len(inner) > 2 {
			head, n, tail = "deg"+inner[:2], strings.TrimSuffix(inner[2:], ")"), ")"
		} else {
			n, tail, _ = strings.Cut(text, " ")
			tail = " " + tail
		}
		if i > 0 && (head != before || tail != after) {
			return "[" + strings.Join(each, ", ") + "]"
		}
		before, after = head, tail
		numbers = append(numbers, n)
	}
	return "[" + before + "n" + after + " for n in [" + strings.Join(numbers, ", ") + "]]"
}

// dateText writes a date that was reckoned from a frost date so that it still is, any other by the calendar.
func (w *writer) dateText(c *eval.Call, a *eval.Arg) string {
	if a.From != nil && w.names[a.From.Site] != "" {
		from, frost := a.From.Site.LastFrost.Value, w.names[a.From.Site]+".last_frost"
		if a.From.First {
			from, frost = a.From.Site.FirstFrost.Value, w.names[a.From.Site]+".first_frost"
		}
		return frost + offset(a.Date.DaysSince(from))
	}
	d := a.Date
	if w.years != 0 && !(c.Of.Name == "soil_test") {
		d = laterYear(d, w.years)
	}
	return strconv.Quote(d.String())
}

// offset writes what is added to a date: " + 2 * weeks", " - 10 * days".
func offset(days int) string {
	if days == 0 {
		return ""
	}
	sign, unit := " + ", " * days"
	if days < 0 {
		sign, days = " - ", -days
	}
	if days%7 == 0 {
		days, unit = days/7, " * weeks"
	}
	return sign + strconv.Itoa(days) + unit
}

// laterYear is the same day of a later year; of a leap day, the one before.
func laterYear(d season.Date, years int) season.Date {
	year := d.Year() + years
	if d.Month() == time.February && d.Day() == 29 && !isLeap(year) {
		return season.On(year, time.February, 28)
	}
	return season.On(year, d.Month(), d.Day())
}

func isLeap(year int) bool { return season.On(year, time.December, 31).YearDay() == 366 }

// plotOf is the plot that something lies in, nil for what lies in none.
func plotOf(thing any) *farm.Plot {
	switch t := thing.(type) {
	case *farm.Plot:
		return t
	case *farm.Row:
		return t.Plot
	case *farm.Planting:
		if t.Row != nil {
			return t.Row.Plot
		}
	}
	return nil
}
