package report

import (
	"fmt"
	"math"

	"haulm/lang/derive"
)

// Harvest gives one row for each crop and variety: when it is picked, how much there is to sell, its fullest week,
// and what it brings where it has a price.
func Harvest(facts *derive.Facts) Table {
	t := newTable("harvest", facts)
	t.Columns = []Column{
		{Head: "crop", Key: "crop"},
		{Head: "plantings", Key: "plantings", Right: true, keep: 1},
		{Head: "first", Key: "first"},
		{Head: "last", Key: "last", keep: 3},
		{Head: "to sell", Key: "amount", Right: true},
		{Head: "sold by", Key: "unit"},
		{Head: "fullest week", Key: "peak_week", keep: 5},
		{Head: "gives", Key: "peak_amount", Right: true, keep: 4},
		{Head: "price", Key: "price", Right: true, optional: true},
		{Head: "value", Key: "value", Right: true, optional: true},
		{Head: "note", Key: "note", optional: true, keep: 2},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	h := facts.Harvest()
	priced := false
	for _, c := range h.Crops {
		row := make([]Cell, len(t.Columns))
		row[0], row[1] = textCell(c.Crop.Title()), wholeCell(len(c.Plantings))
		if c.Peak >= 0 {
			first, last := c.Days()
			row[2], row[3] = dayCell(first), dayCell(last)
			row[4], row[5] = roughCell(c.Amount, c.Unit), textCell(c.Unit.Name)
			row[6], row[7] = dayCell(h.Weeks[c.Peak]), roughCell(c.Weeks[c.Peak], c.Unit)
		}
		if c.PriceDecl != nil && c.Peak >= 0 {
			row[8], row[9], priced = moneyCell(c.Price), moneyCell(c.Value), true
		}
		row[10] = textCell(harvestNote(c))
		t.Rows = append(t.Rows, row)
	}
	if priced {
		t.totalsOut = true
		t.Totals = make([]Cell, len(t.Columns))
		t.Totals[0], t.Totals[9] = textCell("total"), moneyCell(h.Value)
	}
	return t
}

// harvestNote says of which plantings nothing is known, and why.
func harvestNote(c *derive.CropHarvest) string {
	for _, n := range c.Plantings {
		if n.Unknown != "" {
			if c.Unknown == len(c.Plantings) {
				return n.Unknown
			}
			return fmt.Sprintf("%d of %d not reckoned: %s", c.Unknown, len(c.Plantings), n.Unknown)
		}
	}
	return ""
}

// HarvestWeeks gives what every crop gives in every week.
func HarvestWeeks(facts *derive.Facts) Table {
	t := newTable("harvest_weeks", facts)
	t.Columns = []Column{
		{Head: "week of", Key: "week"},
		{Head: "crop", Key: "crop"},
		{Head: "to sell", Key: "amount", Right: true},
		{Head: "sold by", Key: "unit"},
		{Head: "value", Key: "value", Right: true, optional: true},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	h := facts.Harvest()
	for i, week := range h.Weeks {
		for _, c := range h.Crops {
			if c.Weeks[i] == 0 {
				continue
			}
			row := []Cell{dayCell(week), textCell(c.Crop.Title()), roughCell(c.Weeks[i], c.Unit), textCell(c.Unit.Name), {}}
			if c.PriceDecl != nil {
				row[4] = moneyCell(c.Weeks[i] * c.Price)
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

// Wants sets what is asked for in every week against the harvest.
func Wants(facts *derive.Facts) Table {
	t := newTable("wants", facts)
	t.Columns = []Column{
		{Head: "crop", Key: "crop"},
		{Head: "week of", Key: "week"},
		{Head: "wanted", Key: "wanted", Right: true},
		{Head: "harvested", Key: "harvested", Right: true},
		{Head: "over", Key: "over", Right: true},
		{Head: "sold by", Key: "unit"},
		{Head: "note", Key: "note", optional: true, keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	for _, w := range facts.Harvest().Wants {
		crop := textCell(w.Decl.Crop.Title())
		if w.Unknown != "" {
			t.Rows = append(t.Rows, []Cell{crop, {}, {}, {}, {}, {}, textCell(w.Unknown)})
		}
		for _, week := range w.Weeks {
			t.Rows = append(t.Rows, []Cell{
				crop, dayCell(week.Monday), roughCell(week.Wanted, w.Unit), roughCell(week.Given, w.Unit), roughCell(week.Given-week.Wanted, w.Unit), textCell(w.Unit.Name), {},
			})
		}
	}
	return t
}

// roughCell holds an amount of harvest to three digits: yields are no surer than that.
func roughCell(x float64, unit derive.SaleUnit) Cell {
	if unit.Mass == 0 && math.Abs(x) >= 10 {
		return numberCell(math.Round(x)) // nobody sells a part of a head
	}
	return numberCell(rough(x))
}

func rough(x float64) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return x
	}
	step := math.Pow10(int(math.Floor(math.Log10(math.Abs(x)))) - 2)
	if step >= 1 {
		return math.Round(x) // whole bunches and pounds are counted, however many
	}
	return math.Round(x/step) * step
}
