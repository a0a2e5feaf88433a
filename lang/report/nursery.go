package report

import (
	"math"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// Nursery gives one row for each batch raised in trays, what is sown and set out together, by sowing day: seed, cells, trays and pots, and its days from
// sowing to setting out.
func Nursery(facts *derive.Facts) Table {
	t := newTable("nursery", facts)
	t.totalsOut = true
	t.Columns = []Column{
		{Head: "crop", Key: "crop"},
		{Head: "for", Key: "for", keep: 2},
		{Head: "plants", Key: "plants", Right: true, keep: 6},
		{Head: "tray", Key: "tray", keep: 3},
		{Head: "seeds", Key: "seeds", Right: true},
		{Head: "cells", Key: "cells", Right: true, keep: 4},
		{Head: "trays", Key: "trays", Right: true},
		{Head: "pots", Key: "pots", Right: true, optional: true},
		{Head: "sow", Key: "sow", Right: true},
		{Head: "on mat", Key: "on_mat", optional: true, keep: 1},
		{Head: "at", Key: "temperature", Right: true, optional: true, keep: 1, only: inText | inJSON},
		{Head: "up", Key: "emerge", Right: true, optional: true, keep: 5},
		{Head: "step up", Key: "step_up", Right: true, optional: true},
		{Head: "outdoors", Key: "harden_off", Right: true, keep: 7},
		{Head: "set out", Key: "set_out", Right: true},
		{Head: "note", Key: "note", optional: true, keep: 2},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	plants, seeds, cells, trays, pots := 0, 0, 0, 0, 0
	for _, b := range facts.Nursery().Batches {
		s := b.Starts[0]
		p := s.Planting
		row := make([]Cell, len(t.Columns))
		rows := make([]*derive.Row, len(b.Starts))
		for i, s := range b.Starts {
			rows[i] = s.Planting.Row
		}
		row[0], row[1], row[3] = textCell(p.Decl.Crop.Title()), textCell(places(rows)), textCell(derive.TrayName(p.Decl.Tray))
		row[15] = textCell(s.Unknown)
		if b.Cells > 0 {
			row[2], row[4], row[5], row[6] = wholeCell(b.Plants), wholeCell(b.Seeds), wholeCell(b.Cells), wholeCell(b.Trays)
			plants, seeds, cells, trays, pots = plants+b.Plants, seeds+b.Seeds, cells+b.Cells, trays+b.Trays, pots+b.Pots
		}
		if b.Pots > 0 {
			row[7] = wholeCell(b.Pots)
		}
		row[8] = dayCell(p.Sow)
		if s.OnMat {
			row[9] = textCell("yes")
		}
		row[10] = amountCell(quantity.Of(s.Temperature, quantity.Temperature))
		row[11], row[12], row[14] = dayCell(s.Emerge), dayCell(s.StepUp), dayCell(p.Plant)
		if s.Harden < p.Plant {
			row[13] = dayCell(s.Harden)
		}
		t.Rows = append(t.Rows, row)
	}
	t.Totals = make([]Cell, len(t.Columns))
	t.Totals[0], t.Totals[2], t.Totals[4] = textCell("total"), wholeCell(plants), wholeCell(seeds)
	t.Totals[5], t.Totals[6] = wholeCell(cells), wholeCell(trays)
	if pots > 0 {
		t.Totals[7] = wholeCell(pots)
	}
	return t
}

// Seed gives one row for each crop and variety grown from seed: how much, of which germination, and by when.
func Seed(facts *derive.Facts) Table {
	t := newTable("seed", facts)
	t.Columns = []Column{
		{Head: "crop", Key: "crop"},
		{Head: "seeds", Key: "seeds", Right: true},
		{Head: "weight", Key: "weight", Unit: t.unit("oz", "g"), Right: true, optional: true},
		{Head: "germination", Key: "germination", Right: true, keep: 2},
		{Head: "first sowing", Key: "by", Right: true},
		{Head: "plantings", Key: "plantings", Right: true, keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	for _, o := range facts.Nursery().Seeds {
		row := []Cell{textCell(o.Crop.Title()), wholeCell(o.Seeds), {}, shareCell(o.Sprout), dayCell(o.By), wholeCell(len(o.Of))}
		if o.Mass > 0 {
			row[2] = amountCell(t.dose(quantity.Of(o.Mass, quantity.Mass)))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// NurseryWeeks gives one row for each week of raising plants: bench and heat mats in use on its fullest day against
// those that there are.
func NurseryWeeks(facts *derive.Facts) Table {
	t := newTable("nursery_weeks", facts)
	area := t.unit("sqft", "sqm")
	t.Columns = []Column{
		{Head: "week of", Key: "week"},
		{Head: "bench", Key: "bench", Unit: area, Right: true},
		{Head: "there is", Key: "bench_there", Unit: area, Right: true, optional: true},
		{Head: "trays on mats", Key: "mats", Right: true},
		{Head: "places", Key: "mat_places", Right: true, optional: true},
		{Head: "of", Key: "crops", keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	n := facts.Nursery()
	for _, w := range n.Weeks {
		row := []Cell{dayCell(w.Monday), amountCell(BenchArea(w.Bench, t.units)), {}, wholeCell(w.Mats), {}, textCell(cropsIn(w))}
		if n.Decl != nil {
			row[2] = amountCell(n.Decl.Bench.Value)
			if n.Decl.MatPlaces.Given {
				row[4] = wholeCell(n.Decl.MatPlaces.Value)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// cropsIn names what stands in the nursery in a week, each once.
func cropsIn(w *derive.NurseryWeek) string {
	var names []string
	seen := map[string]bool{}
	for _, b := range w.Batches {
		if title := b.Starts[0].Planting.Decl.Crop.Title(); !seen[title] {
			seen[title] = true
			names = append(names, title)
		}
	}
	return strings.Join(names, ", ")
}

// Vessels gives one row for each kind of tray and pot: how many are in use at once, and how many are filled over the
// season and washed.
func Vessels(facts *derive.Facts) Table {
	t := newTable("vessels", facts)
	t.Columns = []Column{
		{Head: "tray or pot", Key: "vessel"},
		{Head: "to have", Key: "need", Right: true},
		{Head: "filled and washed", Key: "filled", Right: true},
		{Head: "first used", Key: "first", Right: true},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	n := facts.Nursery()
	for _, v := range n.Trays {
		t.Rows = append(t.Rows, []Cell{textCell(derive.TrayName(v.Tray)), wholeCell(v.Need), wholeCell(v.Filled), dayCell(v.First)})
	}
	for _, v := range n.Pots {
		t.Rows = append(t.Rows, []Cell{textCell(derive.PotName(v.Pot, t.units)), wholeCell(v.Need), wholeCell(v.Filled), dayCell(v.First)})
	}
	return t
}

// dose rounds a small amount of seed or of a mix to three digits of the unit that a scale or a cup shows.
func (t *Table) dose(q quantity.Quantity) quantity.Quantity {
	unit := t.unit("oz", "g")
	if q.Dim == quantity.Volume {
		unit = t.unit("cup", "ml")
	}
	x := in(q, unit)
	if q.Dim != unit.Dim || !(x > 0) || math.IsInf(x, 0) {
		return q
	}
	step := math.Pow10(2 - int(math.Floor(math.Log10(x))))
	return unit.Of(math.Round(x*step) / step)
}

// BenchArea rounds an area of bench to a tenth of a square foot, or a hundredth of a square meter.
func BenchArea(v float64, units quantity.System) quantity.Quantity {
	step := 0.01
	if units == quantity.US {
		step = 0.1 * 0.3048 * 0.3048
	}
	return quantity.Of(math.Round(v/step)*step, quantity.Area)
}
