package feature

import (
	"fmt"
	"slices"
	"strconv"

	"haulm/lang/derive"
	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// values offers what belongs to a parameter and is no name: words to choose from, dates, calls that give
// the right kind.
func (c *completer) values(w want) {
	p := w.param
	switch p.Type.Kind {
	case eval.KindFlag:
		c.add(fits, Completion{Label: "True", Kind: CompleteChoice})
		c.add(fits, Completion{Label: "False", Kind: CompleteChoice})
	case eval.KindChoice:
		for _, choice := range p.Type.Choices {
			c.add(fits, Completion{Label: strconv.Quote(choice), Kind: CompleteChoice, Note: p.Doc})
		}
	case eval.KindDate:
		c.dates(p)
	case eval.KindHandle:
		for _, b := range eval.Builtins() {
			if !b.IsMethod() && p.Type.Takes(returned(b).kind) {
				c.add(made, c.callItem(b, false))
			}
		}
	case eval.KindQuantity:
		if p.Type.Dim == quantity.Temperature {
			c.unitsOf(quantity.Temperature, "")
		}
	}
}

// dates offers the site's frosts, and a day written out.
func (c *completer) dates(p *eval.Param) {
	c.eachName("site", func(b *binding, m meaning) {
		if m.kind != "site" || m.list {
			return
		}
		for _, attr := range []string{"last_frost", "first_frost"} {
			item := Completion{Label: b.name + "." + attr, Kind: CompleteField, Key: keyAttr + "site." + attr}
			if a, ok := c.names.frost(b.name, attr); ok {
				item.Note = a.date.Long(c.doc.year())
			}
			c.add(fits, item)
		}
	})
	day := exampleDate(p.Name, c.doc.year())
	c.add(made, Completion{Label: strconv.Quote(day), Kind: CompleteChoice, Snippet: `"${1:` + day + `}"`})
}

// eachName calls f for the names in scope that the typed text does not rule out, innermost first: of a
// long file those near the place, those loaded, and those of the built-ins that give the kind, "" for any.
func (c *completer) eachName(kind string, f func(*binding, meaning)) {
	for _, t := range []*nameTable{c.names.own, c.names.top} {
		for _, i := range t.candidates(c.offset, c.typed, kind) {
			b := &t.list[i]
			f(b, c.names.follow(b, b.name, maxHops))
		}
	}
}

// scope offers the names in scope, best those of the kind, "" for any, for which there is room or season.
func (c *completer) scope(w want, kind string) {
	on := c.plantingDay(w)
	c.eachName(kind, func(b *binding, m meaning) {
		item := Completion{Label: b.name, Kind: CompleteName, Note: m.words(), Key: c.nameKey(b)}
		r := other
		switch {
		case kind == "":
			r = possible
		case (m.kind == kind || w.takes(m.kind)) && !m.list:
			r = fits
		case m.kind == "":
			r = possible
		case m.kind == kindFunction && m.from != nil && m.from.kind == defined:
			if given := c.names.returns(m.from, maxHops); given.kind == kind && !given.list {
				r, item.Kind = made, CompleteFunction
			}
		}
		if m.kind == kindFunction {
			item.Kind = CompleteFunction
		}
		if kind != "" && r == fits {
			r = c.judge(b, m, w, on, &item)
		} else if m.kind == kindCrop && !m.list {
			item.Kind = CompleteCrop
		}
		c.add(r, item)
	})
}

// judge tells how well a value of the right kind fits, and notes why.
func (c *completer) judge(b *binding, m meaning, w want, on season.Date, item *Completion) rank {
	switch m.kind {
	case kindCrop:
		item.Kind = CompleteCrop
		crop := m.crop
		for _, t := range c.names.thingsOf(m.from, kindCrop) {
			crop = &t.Of.(*farm.Crop).Crop
		}
		if crop == nil {
			return fits
		}
		return c.judgeCrop(crop, w, on, item)
	case kindRow:
		return c.judgeRows(c.names.thingsOf(m.from, kindRow), on, item)
	case kindPlot:
		return c.judgePlots(c.names.thingsOf(m.from, kindPlot), item)
	}
	return fits
}

// judgeRows: a row fits when something can still be planted in it.
func (c *completer) judgeRows(things []Thing, on season.Date, item *Completion) rank {
	free, rows := 0.0, 0
	for _, t := range things {
		if t.Row != nil {
			free += freeOn(t.Row, on)
			rows++
		}
	}
	units := c.doc.units()
	switch {
	case rows == 0:
		return fits
	case free < aFoot:
		item.Note = "full"
		if on.IsSet() {
			item.Note += " on " + on.Long(c.doc.year())
		}
		return unfit
	case rows > 1:
		item.Note = fmt.Sprintf("%s free in %d rows", units.Short(quantity.Meters(free)), rows)
	default:
		item.Note = units.Short(quantity.Meters(free)) + " free"
	}
	return fits
}

// aFoot is the least room worth offering, m.
const aFoot = 0.3

// judgePlots: a plot fits when there is room for another row beside the last one, or something free in
// its rows.
func (c *completer) judgePlots(things []Thing, item *Completion) rank {
	if len(things) != 1 || things[0].Plot == nil {
		return fits
	}
	p := things[0].Plot
	left := widthLeft(p)
	units := c.doc.units()
	if left < aFoot {
		item.Note = "full across"
		return unfit
	}
	item.Note = units.Short(quantity.Meters(left)) + " of width left"
	return fits
}

// widthLeft is the ground beyond the last row's edge, m.
func widthLeft(p *derive.Plot) float64 {
	left := p.Decl.Width.Value.SI
	for _, r := range p.Rows {
		left = min(left, p.Decl.Width.Value.SI-r.Right)
	}
	return left
}

// plantingDay is the day that the call being written plants on, as far as it says so.
func (c *completer) plantingDay(w want) season.Date {
	if w.call == nil || w.builtin == nil || !isPlanting(w.builtin) {
		return season.None
	}
	i := slices.IndexFunc(w.call.Args, func(a Arg) bool { return a.Name == "on" })
	if i < 0 {
		return season.None
	}
	v := w.call.Args[i].Value
	a, ok := c.names.amount(c.doc.File, c.doc.File.Offset(v.Start), c.doc.File.Offset(v.End))
	if !ok {
		return season.None
	}
	return a.date
}
