package report

import (
	"cmp"
	"fmt"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
)

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
		if pf.Target > 0 {
			return "to pH " + fmt.Sprintf("%.3g", pf.Target) + ": ask the laboratory, no table has " + cmp.Or(pf.Plot.Decl.Soil.Texture.Value, "soil of no texture")
		}
		return ""
	}
	low, high := pf.Lime[0].Carbonate, pf.Lime[0].Carbonate
	for _, l := range pf.Lime {
		low, high = min(low, l.Carbonate), max(high, l.Carbonate)
	}
	text := fmt.Sprintf("%s of pure limestone for pH %.3g", t.rates(low, high), pf.Target)
	for _, p := range pf.Limes() {
		equivalent := p.Neutralizing.Value.SI
		text += ", or " + t.rates(feeding.LimeProduct(low, equivalent), feeding.LimeProduct(high, equivalent)) + " of " + p.Name.Value
	}
	if n := feeding.LimePasses(high); n > 1 {
		text += fmt.Sprintf(", in %d passes six months apart", n)
	}
	return text
}

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
