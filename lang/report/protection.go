package report

import (
	"fmt"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Protection gives the spray calendar: one row for each tank that is sprayed on a plot, by day, with what is mixed for its ground, and
// from when the rows may be entered and picked again.
func Protection(facts *derive.Facts) Table {
	t := newTable("protection", facts)
	t.Columns = []Column{
		{Head: "day", Key: "day"},
		{Head: "where", Key: "where"},
		{Head: "rows", Key: "rows", Right: true, keep: 2},
		{Head: "protectant", Key: "protectant"},
		{Head: "group", Key: "group", optional: true, keep: 3},
		{Head: "ground", Key: "area", Unit: t.unit("sqft", "sqm"), Right: true, keep: 4},
		{Head: "product", Key: "product", Right: true, optional: true, only: inText | inJSON},
		{Key: "product", only: inCSV},
		{Key: "product_unit", only: inCSV},
		{Head: "water", Key: "water", Unit: t.unit("gal", "l"), Right: true, optional: true},
		{Head: "work from", Key: "enter", Right: true},
		{Head: "pick from", Key: "harvest", Right: true},
		{Head: "note", Key: "note", optional: true, keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	for _, day := range sprayings(facts.Protection().Applications) {
		a := day[0]
		p := a.Decl.Protectant
		row := make([]Cell, len(t.Columns))
		var rows []*derive.Row
		var notes []string
		area, water, product := 0.0, 0.0, quantity.Of(0, a.Product.Dim)
		var next *derive.Planting
		for _, b := range day {
			rows = append(rows, b.Rows...)
			area, water, product.SI = area+b.Area, water+b.Water, product.SI+b.Product.SI
			if b.Unknown != "" {
				notes = append(notes, b.Unknown)
			}
			if q := b.NextHarvest(); q != nil && (next == nil || q.FirstHarvest < next.FirstHarvest) {
				next = q
			}
		}
		where := places(rows)
		if a.Decl.Plot != nil && len(day) == 1 {
			where = a.Place().Title()
		}
		row[0], row[1], row[2] = dayCell(a.Day), textCell(where), wholeCell(len(rows))
		row[3], row[4] = textCell(p.Name.Value), textCell(p.Group.Value)
		if len(notes) == 0 {
			row[5] = amountCell(quantity.Of(area, quantity.Area))
			if product.SI > 0 {
				unit := t.bulk(product.Dim)
				mixed := t.dose(product)
				row[6], row[7], row[8] = amountCell(mixed), numberCell(in(mixed, unit)), textCell(unitText(unit))
			}
			if water > 0 {
				row[9] = amountCell(t.dose(quantity.Of(water, quantity.Volume)))
			}
		}
		row[10], row[11] = dayCell(a.Enter), dayCell(a.Harvest)
		if next != nil {
			notes = append(notes, fmt.Sprintf("%s is first picked on %s", next.Decl.Crop.Title(), shortDay(next.FirstHarvest, t.year)))
		}
		row[12] = textCell(strings.Join(notes, "; "))
		t.Rows = append(t.Rows, row)
	}
	return t
}

// sprayings puts together what is put on the rows of one plot on one day from one tank.
func sprayings(all []*derive.Application) [][]*derive.Application {
	type key struct {
		day  season.Date
		what *farm.Protectant
		plot *derive.Plot
	}
	var tanks [][]*derive.Application
	at := map[key]int{}
	for _, a := range all {
		k := key{a.Day, a.Decl.Protectant, a.Rows[0].Plot}
		i, ok := at[k]
		if !ok {
			i = len(tanks)
			at[k] = i
			tanks = append(tanks, nil)
		}
		tanks[i] = append(tanks[i], a)
	}
	return tanks
}
