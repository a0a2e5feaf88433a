package report

import (
	"slices"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// Plots gives one row for each plot, in the order of the plan, and the farm's totals.
func Plots(facts *derive.Facts) Table {
	t := newTable("plots", facts)
	t.totalsOut = true
	long := t.unit("ft", "m")
	rowLength, left := "row feet", "feet left"
	if t.units == quantity.Metric {
		rowLength, left = "row length", "left"
	}
	t.Columns = []Column{
		{Head: "plot", Key: "plot"},
		{Head: "size", Key: "size", only: inText, keep: 6},
		{Key: "length", Unit: long, only: inCSV | inJSON},
		{Key: "width", Unit: long, only: inCSV | inJSON},
		{Head: "area", Key: "area", Unit: t.unit("sqft", "sqm"), Right: true, keep: 3},
		{Head: "rows", Key: "rows", Right: true},
		{Head: rowLength, Key: "row_length", Unit: long, Right: true, keep: 5},
		{Head: "plants", Key: "plants", Right: true},
		{Head: left, Key: "left", Unit: long, Right: true},
		{Head: "narrowest path", Key: "narrowest_path", Unit: t.unit("inch", "cm"), Right: true, Short: true, keep: 4},
		{Head: "headland", Key: "headland", Unit: long, Right: true, keep: 2},
		{Head: "zones", Key: "zones", optional: true, keep: 1},
		{Head: "soil", Key: "soil_texture", optional: true, keep: 1},
	}
	var area, length, free float64
	rows, plants := 0, 0
	if facts != nil {
		for _, p := range facts.Plots {
			t.Rows = append(t.Rows, plotRow(&t, p))
			area += p.Area
			length += p.RowLength
			free += p.FreeLength
			rows += len(p.Rows)
			plants += p.Plants
		}
	}
	t.Totals = []Cell{
		textCell("total"), {}, {}, {}, amountCell(quantity.Of(area, quantity.Area)), wholeCell(rows),
		lengthCell(length), wholeCell(plants), lengthCell(free), {}, {}, {}, {},
	}
	return t
}

func plotRow(t *Table, p *derive.Plot) []Cell {
	d := p.Decl
	var size, length, width, area, headland, soil Cell
	l, okL := meters(&d.Length)
	w, okW := meters(&d.Width)
	if okL {
		length = lengthCell(l)
	}
	if okW {
		width = lengthCell(w)
	}
	if okL && okW {
		size = textCell(plotSize(t.units, l, w))
	}
	if p.Area > 0 {
		area = amountCell(quantity.Of(p.Area, quantity.Area))
	}
	if h, ok := meters(&d.Headland); ok || !d.Headland.Given {
		headland = lengthCell(h)
	}
	if d.Soil != nil {
		soil = textCell(d.Soil.Texture.Value)
	}
	return []Cell{
		textCell(d.Name.Value), size, length, width, area, wholeCell(len(p.Rows)), lengthCell(p.RowLength),
		wholeCell(p.Plants), lengthCell(p.FreeLength), narrowestPath(p), headland, listCell(zones(p)), soil,
	}
}

// plotSize gives "52 ft × 40 ft": length, in which the rows run, then width.
func plotSize(units quantity.System, length, width float64) string {
	return units.Format(quantity.Meters(length)) + " × " + units.Format(quantity.Meters(width))
}

func narrowestPath(p *derive.Plot) Cell {
	if len(p.Paths) == 0 {
		return Cell{}
	}
	return lengthCell(narrowest(p).Width)
}

// narrowest gives the plot's narrowest path, the first of equals; the plot must have one.
func narrowest(p *derive.Plot) *derive.Path {
	least := &p.Paths[0]
	for i := range p.Paths {
		if p.Paths[i].Width < least.Width-1e-9 {
			least = &p.Paths[i]
		}
	}
	return least
}

// zones gives the names of the zones that water the plot's rows, in the rows' order.
func zones(p *derive.Plot) []string {
	var names []string
	for _, r := range p.Rows {
		if z := r.Decl.Zone; z != nil && z.Name.Value != "" && !slices.Contains(names, z.Name.Value) {
			names = append(names, z.Name.Value)
		}
	}
	return names
}
