package report

import (
	"fmt"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// Protection gives the spray calendar: one row for each application, by day, with what is mixed for its ground, and
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
	for _, a := range facts.Protection().Applications {
		p := a.Decl.Protectant
		row := make([]Cell, len(t.Columns))
		row[0], row[1], row[2] = dayCell(a.Day), textCell(a.Place().Title()), wholeCell(len(a.Rows))
		row[3], row[4] = textCell(p.Name.Value), textCell(p.Group.Value)
		var notes []string
		if a.Unknown != "" {
			notes = append(notes, a.Unknown)
		} else {
			row[5] = amountCell(quantity.Of(a.Area, quantity.Area))
			if a.Product.SI > 0 {
				unit := t.bulk(a.Product.Dim)
				mixed := t.dose(a.Product)
				row[6], row[7], row[8] = amountCell(mixed), numberCell(in(mixed, unit)), textCell(unitText(unit))
			}
			if a.Water > 0 {
				row[9] = amountCell(t.dose(quantity.Of(a.Water, quantity.Volume)))
			}
		}
		row[10], row[11] = dayCell(a.Enter), dayCell(a.Harvest)
		if first := a.NextHarvest(); first != nil {
			notes = append(notes, fmt.Sprintf("%s is first picked on %s", first.Decl.Crop.Title(), shortDay(first.FirstHarvest, t.year)))
		}
		row[12] = textCell(strings.Join(notes, "; "))
		t.Rows = append(t.Rows, row)
	}
	return t
}
