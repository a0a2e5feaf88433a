package report

import (
	"fmt"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
)

// feedingCaution stands once under every table of what is fed.
const feedingCaution = "The label is the law. Wear what it asks for, and keep fertilizer and manure off wells, streams and drains."

// Feeding sets for every planting what it is fed against what it needs, on each area. Nitrogen fed counts as it becomes
// available in the season.
func Feeding(facts *derive.Facts) Table {
	t := newTable("feeding", facts)
	rate := t.unit("lb", "kg")
	area := t.unit("acre", "ha")
	per := quantity.Unit{Name: rate.Name + "/" + area.Name, Symbol: rate.Symbol + "/" + area.Symbol, Plural: rate.Symbol + "/" + area.Symbol, Dim: quantity.AreaMass, SI: rate.SI / area.SI}
	t.Columns = []Column{
		{Head: "plot", Key: "plot"},
		{Head: "row", Key: "row"},
		{Head: "crop", Key: "crop"},
		{Head: "ground", Key: "area", Unit: t.unit("sqft", "sqm"), Right: true, keep: 3},
	}
	for _, n := range feeding.Fed() {
		key := strings.ToLower(string(n))
		t.Columns = append(t.Columns,
			Column{Head: string(n) + " needed", Key: key + "_need", Right: true, only: inText},
			Column{Head: string(n) + " fed", Key: key + "_fed", Right: true, only: inText},
			Column{Head: string(n) + " least needed", Key: key + "_least_needed", Unit: per, only: inCSV | inJSON},
			Column{Head: string(n) + " most needed", Key: key + "_most_needed", Unit: per, only: inCSV | inJSON},
			Column{Head: string(n) + " least fed", Key: key + "_least_fed", Unit: per, only: inCSV | inJSON},
			Column{Head: string(n) + " most fed", Key: key + "_most_fed", Unit: per, only: inCSV | inJSON})
	}
	t.Columns = append(t.Columns,
		Column{Head: "N credit", Key: "n_credit", Unit: per, Right: true, optional: true},
		Column{Head: "need by", Key: "need_by", keep: 2},
		Column{Head: "note", Key: "note", optional: true, keep: 1})
	if facts == nil || facts.Farm == nil {
		return t
	}
	t.caution = feedingCaution
	for _, n := range facts.Feeding().Plantings {
		p := n.Planting
		row := make([]Cell, len(t.Columns))
		row[0], row[1], row[2] = textCell(p.Row.Plot.Decl.Name.Value), textCell(p.Row.Name()), textCell(p.Decl.Crop.Title())
		if n.Area > 0 {
			row[3] = amountCell(quantity.Of(n.Area, quantity.Area))
		}
		for i, nutrient := range feeding.Fed() {
			at := 4 + 6*i
			low, high := n.Need.Low().Of(nutrient), n.Need.High().Of(nutrient)
			if n.Unknown == "" {
				row[at] = textCell(t.rates(low, high))
				row[at+2], row[at+3] = rateCell(low), rateCell(high)
			}
			row[at+1] = textCell(t.rates(n.Low.Of(nutrient), n.High.Of(nutrient)))
			row[at+4], row[at+5] = rateCell(n.Low.Of(nutrient)), rateCell(n.High.Of(nutrient))
		}
		end := len(row) - 3
		if c := n.Credit.Mid(); c > 0 {
			row[end] = rateCell(c)
		}
		row[end+1] = textCell(n.Need.Table)
		switch {
		case n.Unknown != "":
			row[end+2] = textCell("need not known: " + n.Unknown)
		case n.Unverified():
			row[end+2] = textCell(feeding.Unverified)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func rateCell(v float64) Cell { return amountCell(quantity.Of(v, quantity.AreaMass)) }

// rates prints a range of rates, the unit once: "100 to 130 lb per acre".
func (t *Table) rates(low, high float64) string {
	a, b := t.units.Format(quantity.Of(low, quantity.AreaMass)), t.units.Format(quantity.Of(high, quantity.AreaMass))
	if a == b {
		return b
	}
	number, unit, ok := strings.Cut(a, " ")
	if other, same, ok2 := strings.Cut(b, " "); ok && ok2 && unit == same {
		return number + " to " + other + " " + unit
	}
	return a + " to " + b
}

// FeedingDays gives every dose by day: the product, the amount by weight and in each of the plan's own measures, and by how
// much the rounding errs.
func FeedingDays(facts *derive.Facts) Table {
	t := newTable("feeding_days", facts)
	mass := t.unit("lb", "kg")
	t.Columns = []Column{
		{Head: "day", Key: "day"},
		{Head: "plot", Key: "plot"},
		{Head: "row", Key: "row"},
		{Head: "crop", Key: "crop", keep: 3},
		{Head: "product", Key: "product"},
		{Head: "how", Key: "placement", keep: 4},
		{Head: "amount", Key: "weighed", Right: true, only: inText},
		{Head: "amount", Key: "amount", Unit: mass, only: inCSV | inJSON},
		{Head: "rounding", Key: "rounding", Unit: mass, Right: true, only: inCSV | inJSON},
		{Head: "in measures", Key: "measures", optional: true},
		{Head: "from stock", Key: "stock", Unit: mass, Right: true, optional: true, keep: 2},
		{Head: "note", Key: "note", optional: true, keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	t.caution = feedingCaution
	fd := facts.Feeding()
	for _, d := range fd.Doses {
		row := make([]Cell, len(t.Columns))
		row[0], row[1], row[2] = dayCell(d.Day), textCell(d.Row.Plot.Decl.Name.Value), textCell(d.Row.Name())
		if d.Planting != nil {
			row[3] = textCell(d.Planting.Decl.Crop.Title())
		}
		w := feeding.Weigh(d.Mass, t.units)
		row[4], row[5] = textCell(d.Product.Name.Value), textCell(d.Feed.Placement.Value)
		row[6] = textCell(t.weighed(w.Mass))
		row[7], row[8] = amountCell(quantity.Of(w.Mass, quantity.Mass)), amountCell(quantity.Of(w.Error, quantity.Mass))
		row[9] = textCell(t.scoops(facts, d))
		if d.Leftover > 0 {
			row[10] = amountCell(quantity.Of(feeding.Weigh(d.Leftover, t.units).Mass, quantity.Mass))
		}
		var notes, recalled []string
		if d.Product.AnalysisSource.Unverified() {
			recalled = append(recalled, "analysis")
		}
		if d.Product.ReleaseSource.Unverified() {
			recalled = append(recalled, "release")
		}
		if !row[9].none() && d.Product.DensitySource.Unverified() {
			recalled = append(recalled, "density")
		}
		if recalled != nil {
			notes = append(notes, strings.Join(recalled, ", ")+" "+feeding.Unverified)
		}
		for _, in := range fd.Injected {
			if in.Feed == d.Feed && in.Product == d.Product && in.Day == d.Day && d.Row.Water != nil && in.Zone == d.Row.Water.Zone {
				notes = append(notes, t.injected(in))
			}
		}
		row[11] = textCell(strings.Join(notes, "; "))
		t.Rows = append(t.Rows, row)
	}
	return t
}

// DoseText tells how much a dose is: by weight, and in each of the plan's own measures.
func DoseText(facts *derive.Facts, d *derive.Dose) string {
	t := newTable("feeding_days", facts)
	text := t.weighed(feeding.Weigh(d.Mass, t.units).Mass)
	if scoops := t.scoops(facts, d); scoops != "" {
		text += ", " + scoops
	}
	return text
}

// weighed writes a mass as a scale shows it: "2 lb 5 oz", "15.5 oz", "1.2 kg".
func (t *Table) weighed(kg float64) string {
	pound, ounce := t.unit("lb", "kg"), t.unit("oz", "g")
	n := kg / pound.SI
	if t.units == quantity.Metric || n < 1 || n >= 10 {
		return t.units.Format(quantity.Of(kg, quantity.Mass))
	}
	whole := int(n + 1e-9)
	text := fmt.Sprintf("%d lb", whole)
	if rest := kg/ounce.SI - 16*float64(whole); rest > 1e-6 {
		text += fmt.Sprintf(" %.3g oz", rest)
	}
	return text
}

// scoops tells a dose in every measure of the plan, with the error of its rounding: "1 1/3 scoops (+2 %)".
func (t *Table) scoops(facts *derive.Facts, d *derive.Dose) string {
	volume, ok := d.Volume()
	if !ok {
		return ""
	}
	var all []string
	for _, m := range facts.Farm.Measures {
		s := feeding.Scoop(volume, m.Volume.Value.SI)
		if s.Count() == 0 {
			continue // less than a quarter of it: to be weighed
		}
		text := s.Text(m.Name.Value)
		if percent := 100 * s.Error / volume; percent >= 0.5 || percent <= -0.5 {
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
		OpenTime(in.Seconds), in.Ratio, in.Concentration*1e6)
	if in.Open > 0 {
		text += fmt.Sprintf("; the valve is open %s that week", OpenTime(in.Open))
	}
	return text
}

// FeedingPlots gives the rating of every plot's soil test, its nitrogen credit and the lime that it asks for.
func FeedingPlots(facts *derive.Facts) Table {
	t := newTable("feeding_plots", facts)
	t.Columns = []Column{
		{Head: "plot", Key: "plot"},
		{Head: "sampled", Key: "sampled", keep: 4},
		{Head: "method", Key: "method", keep: 5},
		{Head: "pH", Key: "ph", Right: true},
		{Head: "P", Key: "p"},
		{Head: "K", Key: "k"},
		{Head: "table", Key: "table", keep: 3},
		{Head: "N credit", Key: "n_credit", optional: true},
		{Head: "lime", Key: "lime", optional: true},
		{Head: "note", Key: "note", optional: true, keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	t.caution = feedingCaution
	for _, pf := range facts.Feeding().Plots {
		row := make([]Cell, len(t.Columns))
		row[0] = textCell(pf.Plot.Decl.Name.Value)
		var notes []string
		if test := pf.Test; test != nil {
			row[1], row[2] = dayCell(test.On.Value), textCell(test.Method.Value)
			if test.PH.Given {
				row[3] = numberCell(test.PH.Value)
			}
			row[4], row[5] = rated(pf.P), rated(pf.K)
			for _, r := range []*feeding.Rating{pf.P, pf.K} {
				if r != nil {
					row[6] = textCell(r.Lab.Title)
				}
			}
			if pf.P != nil && pf.P.Source.Unverified() || pf.K != nil && pf.K.Source.Unverified() {
				notes = append(notes, feeding.Unverified)
			}
			if pf.Unrated != nil {
				notes = append(notes, "not rated: "+pf.Unrated.Error())
			}
		} else {
			notes = append(notes, "no soil test: the general rate for untested soil is used")
		}
		if c := pf.Credit; c.High > 0 {
			row[7] = textCell(t.rates(c.Low, c.High))
		}
		row[8] = textCell(t.lime(pf))
		row[9] = textCell(strings.Join(notes, "; "))
		t.Rows = append(t.Rows, row)
	}
	return t
}

// rated says a rating with its value: "high (76 lb/ac)".
func rated(r *feeding.Rating) Cell {
	if r == nil {
		return Cell{}
	}
	return textCell(fmt.Sprintf("%s (%.3g %s)", r.Category, r.Value, r.Unit))
}

// lime says what a plot asks for, by the laboratory or by each table.
func (t *Table) lime(pf *derive.PlotFeeding) string {
	if pf.Test != nil && pf.Test.Lime.Given {
		return t.rates(pf.Test.Lime.Value.SI, pf.Test.Lime.Value.SI)
	}
	if len(pf.Lime) == 0 {
		return ""
	}
	low, high := pf.Lime[0].Carbonate, pf.Lime[0].Carbonate
	for _, l := range pf.Lime {
		low, high = min(low, l.Carbonate), max(high, l.Carbonate)
	}
	return fmt.Sprintf("%s of pure limestone for pH %.3g", t.rates(low, high), pf.Target)
}
