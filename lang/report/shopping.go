package report

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// Shopping gives what the plan uses of things bought: how much of each, what of that is in stock, what is left to
// buy in whole packs, what it costs, the day of the first use that the stock does not cover, and what it is for.
func Shopping(facts *derive.Facts) Table {
	t := newTable("shopping", facts)
	t.Columns = []Column{
		{Head: "item", Key: "item"},
		{Head: "needed", Key: "needed", Right: true, only: inText | inJSON},
		{Head: "needed", Key: "needed", only: inCSV},
		{Head: "in stock", Key: "in_stock", Right: true, optional: true, only: inText | inJSON},
		{Head: "in stock", Key: "in_stock", only: inCSV},
		{Head: "unit", Key: "unit", only: inCSV},
		{Head: "buy", Key: "buy", only: inText},
		{Head: "to buy", Key: "to_buy", only: inJSON},
		{Head: "to buy", Key: "to_buy", only: inCSV},
		{Head: "packs", Key: "packs", only: inCSV | inJSON},
		{Head: "pack", Key: "pack", only: inCSV | inJSON},
		{Head: "cost", Key: "cost", Right: true, optional: true},
		{Head: "by", Key: "by", keep: 2},
		{Head: "for", Key: "for", keep: 1},
	}
	if facts == nil {
		return t
	}
	list := facts.Shopping()
	for _, p := range list.Wares {
		unit := t.bulk(p.Amount.Dim)
		row := []Cell{
			textCell(p.Ware.Name), measureCell(p.Amount), numberCell(in(p.Amount, unit)), {}, numberCell(in(p.Stock, unit)),
			textCell(unitText(unit)), textCell(t.toBuy(p)), measureCell(p.Buy), numberCell(in(p.Buy, unit)), {}, {}, {}, dayCell(p.By), textCell(purpose(p.Uses)),
		}
		if p.Stock.SI > 0 {
			row[3] = measureCell(p.Stock)
		}
		if p.Ware.Pack.SI > 0 {
			row[9], row[10] = wholeCell(p.Packs), textCell(t.pack(&p.Ware))
		}
		if p.Ware.Price > 0 {
			row[11] = moneyCell(p.Cost)
		}
		t.Rows = append(t.Rows, row)
	}
	if list.Priced > 0 {
		t.totalsOut = true
		t.Totals = make([]Cell, len(t.Columns))
		t.Totals[0], t.Totals[11] = textCell("total"), moneyCell(list.Cost)
	}
	return t
}

// bulk is the unit in which a spreadsheet counts what is bought; the zero Unit for pieces.
func (t *Table) bulk(d quantity.Dimension) quantity.Unit {
	switch d {
	case quantity.Length:
		return t.unit("ft", "m")
	case quantity.Area:
		return t.unit("sqft", "sqm")
	case quantity.Volume:
		return t.unit("gal", "l")
	case quantity.Mass:
		return t.unit("lb", "kg")
	}
	return quantity.Unit{}
}

// in gives a quantity as a number of the unit; the SI number for the zero Unit.
func in(q quantity.Quantity, u quantity.Unit) float64 {
	if u.Name == "" {
		return q.SI
	}
	return q.In(u)
}

func unitText(u quantity.Unit) string {
	if u.Name == "" {
		return "pieces"
	}
	return u.Symbol
}

// toBuy says what to put in the cart: "2 rolls of 1000 ft", "13", "nothing".
func (t *Table) toBuy(p *derive.Purchase) string {
	switch {
	case p.Buy.SI <= 0:
		return "nothing"
	case p.Packs == 0:
		return t.measure(p.Buy)
	}
	name := p.Ware.PackName
	if name == "" {
		name = "pack"
	}
	if p.Packs != 1 {
		name += "s"
	}
	return fmt.Sprintf("%d %s of %s", p.Packs, name, t.measure(p.Ware.Pack))
}

// pack names a pack with what it holds: "roll of 1000 ft".
func (t *Table) pack(w *derive.Ware) string {
	name := w.PackName
	if name == "" {
		name = "pack"
	}
	return name + " of " + t.measure(w.Pack)
}

// measure prints an amount of goods: pieces as a plain number, 40 and not 4000 %.
func (t *Table) measure(q quantity.Quantity) string {
	if q.Dim == quantity.Ratio {
		return strconv.FormatFloat(q.SI, 'f', -1, 64)
	}
	return t.units.Format(q)
}

// purpose tells all uses: "opens the zone (zones fruiting, leaves)".
func purpose(uses []derive.Use) string {
	type why struct {
		what   string
		zones  []string
		places []derive.Item
	}
	var all []*why
	for _, u := range uses {
		i := slices.IndexFunc(all, func(w *why) bool { return w.what == u.For })
		if i < 0 {
			i = len(all)
			all = append(all, &why{what: u.For})
		}
		w := all[i]
		switch {
		case u.Where.Zone != nil:
			w.zones = append(w.zones, u.Where.Zone.Decl.Name.Value)
		case u.Where != derive.Item{}:
			w.places = append(w.places, u.Where)
		}
	}
	words := make([]string, len(all))
	for i, w := range all {
		var where []string
		if len(w.places) > 0 {
			where = append(where, cut(Places(w.places), longestPlaces))
		}
		switch len(w.zones) {
		case 0:
		case 1:
			where = append(where, "zone "+w.zones[0])
		default:
			where = append(where, "zones "+strings.Join(w.zones, ", "))
		}
		words[i] = w.what
		if len(where) > 0 {
			words[i] += " (" + strings.Join(where, "; ") + ")"
		}
	}
	return strings.Join(words, "; ")
}

// longestPlaces is how many letters the places have that a thing is for.
const longestPlaces = 120
