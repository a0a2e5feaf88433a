package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// FeedingDays gives what is fed day by day: the product, the amount for each row by weight and in each of the plan's own
// measures, and by how much the rounding errs. Rows of a plot with the same crop that get the same share a line.
func FeedingDays(facts *derive.Facts) Table {
	t := newTable("feeding_days", facts)
	mass := t.unit("lb", "kg")
	t.Columns = []Column{
		{Head: "day", Key: "day"},
		{Head: "plot", Key: "plot"},
		{Head: "rows", Key: "rows"},
		{Head: "crop", Key: "crop", keep: 3},
		{Head: "product", Key: "product"},
		{Head: "how", Key: "placement", keep: 4},
		{Head: "for each row", Key: "weighed", Right: true, only: inText},
		{Head: "for each row", Key: "each", Unit: mass, only: inCSV | inJSON},
		{Head: "rounding", Key: "rounding", Unit: mass, Right: true, only: inCSV | inJSON},
		{Head: "in measures", Key: "measures", optional: true},
		{Head: "in all", Key: "all_weighed", Right: true, only: inText, keep: 5},
		{Head: "in all", Key: "amount", Unit: mass, only: inCSV | inJSON},
		{Head: "from stock", Key: "stock", Unit: mass, Right: true, optional: true, keep: 2},
		{Head: "note", Key: "water", optional: true, keep: 1, only: inText},
		{Head: "note", Key: "note", only: inCSV | inJSON},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	t.caution = feedingCaution
	type alike struct {
		day                      season.Date
		plot                     *derive.Plot
		product                  *farm.Product
		crop, how, weighed, said string
		again                    int // the row had the same before
	}
	var together [][]*derive.Dose
	at := map[alike]int{}
	fd := facts.Feeding()
	for _, d := range fd.Doses {
		key := alike{
			day: d.Day, plot: d.Row.Plot, product: d.Product, how: d.Feed.Placement.Value,
			weighed: feeding.Weigh(d.Mass, t.units).Text(t.units), said: t.scoops(facts, d) + "\t" + t.water(fd, d),
		}
		if d.Planting != nil {
			key.crop = d.Planting.Decl.Crop.Title()
		}
		i, ok := at[key]
		for ok && slices.ContainsFunc(together[i], func(o *derive.Dose) bool { return o.Row == d.Row }) {
			key.again++
			i, ok = at[key]
		}
		if !ok {
			i = len(together)
			at[key] = i
			together = append(together, nil)
		}
		together[i] = append(together[i], d)
	}
	var recalled []string
	for _, doses := range together {
		t.Rows = append(t.Rows, t.dosesOf(facts, doses))
		if of := recalledOf(doses[0]); of != "" {
			if of += " of " + doses[0].Product.Name.Value; !slices.Contains(recalled, of) {
				recalled = append(recalled, of)
			}
		}
	}
	t.recalled(recalled)
	return t
}

// recalledOf names what is known of a dose's product from memory alone: "analysis, density".
func recalledOf(d *derive.Dose) string {
	var all []string
	if d.Product.AnalysisSource.Unverified() {
		all = append(all, "analysis")
	}
	if d.Product.ReleaseSource.Unverified() {
		all = append(all, "release")
	}
	if d.Product.DensitySource.Unverified() {
		all = append(all, "density")
	}
	return strings.Join(all, ", ")
}

// water says how a dose is fed through the water, "" when it is not.
func (t *Table) water(fd *derive.Feeding, d *derive.Dose) string {
	var zone *derive.ZoneWater
	if d.Row.Water != nil {
		zone = d.Row.Water.Zone
	}
	for _, in := range fd.Injected {
		if in.Feed == d.Feed && in.Product == d.Product && in.Day == d.Day && in.Zone == zone {
			return t.injected(in)
		}
	}
	return ""
}

// dosesOf fills the line of doses that are alike.
func (t *Table) dosesOf(facts *derive.Facts, doses []*derive.Dose) []Cell {
	d := doses[0]
	row := make([]Cell, len(t.Columns))
	var rows []*derive.Row
	var all, leftover float64
	for _, one := range doses {
		all, leftover = all+one.Mass, leftover+one.Leftover
		if !slices.Contains(rows, one.Row) {
			rows = append(rows, one.Row)
		}
	}
	slices.SortFunc(rows, func(a, b *derive.Row) int { return cmp.Compare(a.Number, b.Number) })
	row[0], row[1], row[2] = dayCell(d.Day), textCell(d.Row.Plot.Decl.Name.Value), textCell(inPlot(rows))
	if d.Planting != nil {
		row[3] = textCell(d.Planting.Decl.Crop.Title())
	}
	row[4], row[5] = textCell(d.Product.Name.Value), textCell(d.Feed.Placement.Value)
	w, sum := feeding.Weigh(d.Mass, t.units), feeding.Weigh(all, t.units)
	row[6] = textCell(w.Text(t.units))
	row[7], row[8] = amountCell(quantity.Of(w.Mass, quantity.Mass)), amountCell(quantity.Of(w.Error, quantity.Mass))
	row[9] = textCell(t.scoops(facts, d))
	row[10], row[11] = textCell(sum.Text(t.units)), amountCell(quantity.Of(sum.Mass, quantity.Mass))
	if leftover > 0 {
		row[12] = amountCell(quantity.Of(feeding.Weigh(leftover, t.units).Mass, quantity.Mass))
	}
	notes := t.water(facts.Feeding(), d)
	row[13] = textCell(notes)
	if of := recalledOf(d); of != "" {
		notes = strings.TrimPrefix(notes+"; "+of+" "+feeding.Unverified, "; ")
	}
	row[14] = textCell(notes)
	return row
}

// DoseText tells how much a dose is: by weight, and in each of the plan's own measures.
func DoseText(facts *derive.Facts, d *derive.Dose) string {
	t := newTable("feeding_days", facts)
	text := feeding.Weigh(d.Mass, t.units).Text(t.units)
	if scoops := t.scoops(facts, d); scoops != "" {
		text += ", " + scoops
	}
	return text
}

// scoops tells a dose in every measure of the plan, with the error of its rounding: "a scoop and a third (+2 %)".
func (t *Table) scoops(facts *derive.Facts, d *derive.Dose) string {
	var all []string
	for _, s := range d.Scoops(facts.Farm.Measures) {
		text := s.Spoken
		if percent := 100 * s.Share; percent >= 0.5 || percent <= -0.5 {
			text += fmt.Sprintf(" (%+.0f %%)", percent)
		}
		all = append(all, text)
	}
	return strings.Join(all, " or ")
}

// injected says how a product is fed through the water.
func (t *Table) injected(in *derive.Injection) string {
	if in.Unknown != "" {
		return "not reckoned: " + in.Unknown
	}
	text := fmt.Sprintf("zone %s: %s in %s of stock, %s at 1:%.0f, %.0f ppm N at the emitters", in.Zone.Decl.Name.Value,
		t.units.Format(quantity.Of(feeding.Weigh(in.Mass, t.units).Mass, quantity.Mass)), t.units.Format(in.Feed.Solution.Value),
		derive.OpenTime(in.Seconds), in.Ratio, in.Concentration*1e6)
	switch {
	case in.Open > 0 && in.Seconds > in.Open:
		text += fmt.Sprintf("; that is longer than the valve is open that week, %s: make the stock stronger", derive.OpenTime(in.Open))
	case in.Open > 0:
		text += fmt.Sprintf("; the valve is open %s that week", derive.OpenTime(in.Open))
	}
	return text
}
