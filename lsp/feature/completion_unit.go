package feature

import (
	"strings"

	"haulm/lang/eval"
	"haulm/stdlib/quantity"
)

// afterNumber offers the units that make the number, which ends before start, one of what is wanted
// there: " * ft".
func (c *completer) afterNumber(start int) {
	c.span = c.doc.between(start, c.offset)
	w := c.names.wanted(c.part, c.offset, start)
	if w.param != nil && w.param.Type.Kind == eval.KindDays {
		c.unitsOf(quantity.Time, c.gap(start))
		return
	}
	goal, ok := w.dimension(c.names, c.part, c.tokens)
	if ok {
		c.unitsOf(goal, c.gap(start))
		return
	}
	if w.param != nil || w.builtin != nil {
		return // a plain number belongs there, or nothing at all
	}
	for _, u := range quantity.Units() {
		item := unitItem(u)
		item.Insert = c.gap(start) + u.Name
		c.add(possible, item)
	}
}

// gap is what has to stand between a number and its unit.
func (c *completer) gap(start int) string {
	if start > 0 && c.doc.File.Text[start-1] == ' ' {
		return "* "
	}
	return " * "
}

// unitsOf offers the units of a dimension, those of the farm's own system first.
func (c *completer) unitsOf(d quantity.Dimension, gap string) {
	units := c.doc.units()
	for _, u := range unitsIn(d, units) {
		item := unitItem(u)
		item.Insert = gap + u.Name
		r := fits
		if u.System != units && u.System != quantity.Both {
			r = possible
		}
		c.add(r, item)
	}
	if d == quantity.Temperature {
		for _, name := range []string{"degf", "degc"} {
			if b := builtinNamed(name); b != nil && gap == "" {
				c.add(fits, c.callItem(b, false))
			}
		}
		return
	}
	for _, system := range []quantity.System{units, otherSystem(units)} {
		if text := productFor(d, system); strings.Contains(text, "/") {
			c.add(fits, Completion{Label: text, Kind: CompleteUnit, Note: d.Name(), Insert: gap + text})
		}
	}
}

func otherSystem(s quantity.System) quantity.System {
	if s == quantity.US {
		return quantity.Metric
	}
	return quantity.US
}

func unitItem(u quantity.Unit) Completion {
	return Completion{Label: u.Name, Kind: CompleteUnit, Note: u.Dim.Name(), Key: keyUnit + u.Name}
}
