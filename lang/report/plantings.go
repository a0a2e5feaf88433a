package report

import (
	"strconv"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// Plantings gives one row for each planting, by plot, row and place. Start and end are the places of
// the first and the last plant, from the row's head.
func Plantings(facts *derive.Facts) Table {
	t := newTable("plantings", facts)
	long := t.unit("ft", "m")
	left := "feet left"
	if t.units == quantity.Metric {
		left = "left"
	}
	t.Columns = []Column{
		{Head: "no.", Key: "number", Right: true, keep: 8},
		{Head: "plot", Key: "plot"},
		{Head: "row", Key: "row"},
		{Key: "row_number", only: inJSON | inCSV},
		{Head: "crop", only: inText},
		{Key: "crop", only: inJSON | inCSV},
		{Key: "variety", only: inJSON | inCSV},
		{Head: "plants", Key: "plants", Right: true},
		{Key: "lines", only: inJSON | inCSV},
		{Key: "plants_per_line", only: inJSON | inCSV},
		{Head: "spacing", Key: "spacing", Unit: t.unit("inch", "cm"), Right: true, Short: true, keep: 6},
		{Head: "start", Key: "start", Unit: long, Right: true, keep: 3},
		{Head: "end", Key: "end", Unit: long, Right: true, keep: 2},
		{Head: left + " in row", Key: "left_in_row", Unit: long, Right: true, keep: 4},
		{Head: "sow", Key: "sow_date", Right: true, keep: 5},
		{Head: "plant", Key: "plant_date", Right: true},
		{Head: "first harvest", Key: "first_harvest", Right: true, keep: 7},
		{Head: "last harvest", Key: "last_harvest", Right: true, keep: 1},
		{Key: "clear_date", only: inJSON | inCSV},
	}
	if facts == nil {
		return t
	}
	plants := 0
	for _, p := range facts.Plantings {
		t.Rows = append(t.Rows, plantingRow(p))
		plants += p.Plants
	}
	t.Totals = make([]Cell, len(t.Columns))
	for i := range t.Columns {
		switch t.Columns[i].Key {
		case "plot":
			t.Totals[i] = textCell("total")
		case "plants":
			t.Totals[i] = wholeCell(plants)
		}
	}
	return t
}

func plantingRow(p *derive.Planting) []Cell {
	r := p.Row
	var title, crop, variety, plants, perLine, spacing, start, end Cell
	if c := p.Decl.Crop; c != nil {
		title, crop, variety = textCell(c.Title()), textCell(c.Name), textCell(c.Variety)
	}
	if p.Spacing > 0 {
		spacing = lengthCell(p.Spacing)
	}
	if p.Placed() {
		plants, perLine = wholeCell(p.Plants), wholeCell(p.PerLine)
		start, end = lengthCell(p.First), lengthCell(p.Last)
	}
	return []Cell{
		wholeCell(p.Number), textCell(r.Plot.Decl.Name.Value), textCell(rowLabel(r)), wholeCell(r.Number),
		title, crop, variety, plants, wholeCell(len(r.Lines)), perLine, spacing, start, end,
		lengthCell(r.FreeLength), dayCell(p.Sow), dayCell(p.Plant), dayCell(p.FirstHarvest),
		dayCell(p.LastHarvest), dayCell(p.Clear),
	}
}

// rowLabel gives the row's name, or its number, where the word "row" stands beside it already.
func rowLabel(r *derive.Row) string {
	if r.Decl.Name.Value != "" {
		return r.Decl.Name.Value
	}
	return strconv.Itoa(r.Number)
}
