package report

import (
	"cmp"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
)

// feedingCaution stands once under every table of what is fed.
const feedingCaution = "The label is the law. Wear what it asks for, and keep fertilizer and manure off wells, streams and drains."

// Feeding sets what is fed against what is needed, on each area, one line for all rows of a plot with the same crop, need
// and feeding. Nitrogen fed counts as it becomes available in the season.
func Feeding(facts *derive.Facts) Table { return needs("feeding", facts, true) }

// FeedingRows is Feeding with a line for each planting.
func FeedingRows(facts *derive.Facts) Table { return needs("feeding_rows", facts, false) }

func needs(name string, facts *derive.Facts, joined bool) Table {
	t := newTable(name, facts)
	rate := t.unit("lb", "kg")
	area := t.unit("acre", "ha")
	per := quantity.Unit{Name: rate.Name + "/" + area.Name, Symbol: rate.Symbol + "/" + area.Symbol, Plural: rate.Symbol + "/" + area.Symbol, Dim: quantity.AreaMass, SI: rate.SI / area.SI}
	rows := Column{Head: "row", Key: "row"}
	if joined {
		rows = Column{Head: "rows", Key: "rows"}
	}
	t.Columns = []Column{
		{Head: "plot", Key: "plot"},
		rows,
		{Head: "crop", Key: "crop"},
		{Head: "ground", Key: "area", Unit: t.unit("sqft", "sqm"), Right: true, keep: 3},
	}
	for _, n := range feeding.Fed() {
		key := strings.ToLower(string(n))
		t.Columns = append(t.Columns,
			Column{Head: string(n) + " needed, " + per.Symbol, Key: key + "_need", Right: true, only: inText},
			Column{Head: string(n) + " fed, " + per.Symbol, Key: key + "_fed", Right: true, only: inText},
			Column{Head: string(n) + " least needed", Key: key + "_least_needed", Unit: per, only: inCSV | inJSON},
			Column{Head: string(n) + " most needed", Key: key + "_most_needed", Unit: per, only: inCSV | inJSON},
			Column{Head: string(n) + " least fed", Key: key + "_least_fed", Unit: per, only: inCSV | inJSON},
			Column{Head: string(n) + " most fed", Key: key + "_most_fed", Unit: per, only: inCSV | inJSON})
	}
	t.Columns = append(t.Columns,
		Column{Head: "N credit, " + per.Symbol, Key: "n_credit_shown", Right: true, optional: true, only: inText},
		Column{Head: "N credit", Key: "n_credit", Unit: per, only: inCSV | inJSON},
		Column{Head: "need by", Key: "need_by", keep: 2},
		Column{Head: "note", Key: "unknown", optional: true, keep: 1, only: inText},
		Column{Head: "note", Key: "note", only: inCSV | inJSON})
	if facts == nil || facts.Farm == nil {
		return t
	}
	t.caution = feedingCaution
	type alike struct {
		plot *derive.Plot
		said string
	}
	var places [][]*derive.Row
	at := map[alike]int{}
	for _, n := range facts.Feeding().Plantings {
		row := t.needOf(n, per)
		key := alike{n.Planting.Row.Plot, ""}
		for i := 4; i < len(row); i++ {
			key.said += row[i].text + "\t"
		}
		key.said += row[2].text
		i, again := at[key]
		if !again || !joined {
			at[key] = len(t.Rows)
			t.Rows, places = append(t.Rows, row), append(places, []*derive.Row{n.Planting.Row})
			continue
		}
		if !slices.Contains(places[i], n.Planting.Row) {
			places[i] = append(places[i], n.Planting.Row)
		}
		t.Rows[i][3].q.SI += n.Area
	}
	var recalled []string
	for _, n := range facts.Feeding().Plantings {
		if n.Unverified() {
			if by := "the need by " + n.Need.Source.Title; !slices.Contains(recalled, by) {
				recalled = append(recalled, by)
			}
		}
	}
	t.recalled(recalled)
	for i, rows := range places {
		slices.SortFunc(rows, func(a, b *derive.Row) int { return cmp.Compare(a.Number, b.Number) })
		t.Rows[i][1] = textCell(inPlot(rows))
	}
	return t
}

// needOf fills the line of one planting.
func (t *Table) needOf(n *derive.PlantingFeeding, per quantity.Unit) []Cell {
	p := n.Planting
	row := make([]Cell, len(t.Columns))
	row[0], row[2] = textCell(p.Row.Plot.Decl.Name.Value), textCell(p.Decl.Crop.Title())
	if n.Area > 0 {
		row[3] = amountCell(quantity.Of(n.Area, quantity.Area))
	}
	for i, nutrient := range feeding.Fed() {
		at := 4 + 6*i
		low, high := n.Need.Low().Of(nutrient), n.Need.High().Of(nutrient)
		if n.Unknown == "" {
			row[at] = textCell(numbers(low/per.SI, high/per.SI))
			row[at+2], row[at+3] = rateCell(low), rateCell(high)
		}
		row[at+1] = textCell(numbers(n.Low.Of(nutrient)/per.SI, n.High.Of(nutrient)/per.SI))
		row[at+4], row[at+5] = rateCell(n.Low.Of(nutrient)), rateCell(n.High.Of(nutrient))
	}
	end := len(row) - 5
	if c := n.Credit; c.High > 0 {
		row[end], row[end+1] = textCell(numbers(c.Low/per.SI, c.High/per.SI)), rateCell(c.Mid())
	}
	row[end+2] = textCell(n.Need.Table)
	switch {
	case n.Unknown != "":
		row[end+3] = textCell("need not known: " + n.Unknown)
		row[end+4] = row[end+3]
	case n.Unverified():
		row[end+4] = textCell(feeding.Unverified)
	}
	return row
}

// recalled says under the text what of it comes from memory.
func (t *Table) recalled(what []string) {
	if what != nil {
		t.caution += "\n" + capital(feeding.Unverified) + " for " + printable(strings.Join(what, "; ")) + "."
	}
}

func rateCell(v float64) Cell { return amountCell(quantity.Of(v, quantity.AreaMass)) }

// numbers prints a range to three digits: "100 to 130".
func numbers(low, high float64) string {
	a, b := threeDigits(low), threeDigits(high)
	if a == b {
		return b
	}
	return a + " to " + b
}
