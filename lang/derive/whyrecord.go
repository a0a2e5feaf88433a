package derive

import (
	"fmt"
	"strconv"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// Why gives the reckonings of what is recorded of a planting: the plants that stand, and what was picked.
func (to *PlantingRecord) Why() []Reckoning {
	if to == nil {
		return nil
	}
	var out []Reckoning
	p := to.Planting
	if len(to.Counts) > 0 {
		r := Reckoning{Title: "Plants that stand", Equation: "plants planned, or counted since, - plants lost since", Result: strconv.Itoa(to.Stand), Source: recorded}
		r.Inputs = []Input{{Name: "planned", Value: strconv.Itoa(p.Plants), Source: "see Plants"}}
		for _, d := range to.Counts {
			name := "counted"
			if d.Kind == farm.Lost {
				name = "lost"
			}
			value := strconv.Itoa(d.Plants.Value)
			if d.On.Given {
				value += " on " + p.day(d.On.Value)
			}
			if d.Note.Value != "" {
				value += ", " + d.Note.Value
			}
			r.Inputs = append(r.Inputs, Input{Name: name, Value: value, Source: recorded, Span: d.Plants.Span})
		}
		out = append(out, r)
	}
	if len(to.Picked) > 0 {
		out = append(out, to.whyPicked())
	}
	return out
}

func (to *PlantingRecord) whyPicked() Reckoning {
	p := to.Planting
	units := p.Row.Plot.units()
	r := Reckoning{Title: "Picked so far", Equation: "sum of what is recorded", Source: recorded}
	kg, pieces := 0.0, 0.0
	for _, k := range to.Picked {
		d := k.Decl
		in := Input{Name: p.day(d.On.Value), Source: recorded, Span: d.Mass.Span}
		if d.Mass.Given {
			kg += d.Mass.Value.SI * k.Share
			in.Value = units.Format(d.Mass.Value)
		} else {
			pieces += d.Count.Value * k.Share
			in.Value, in.Span = strconv.FormatFloat(d.Count.Value, 'f', -1, 64), d.Count.Span
		}
		if k.Share < 1 {
			in.Value += ", of which " + p.percent(k.Share) + " for its share of the plants"
		}
		r.Inputs = append(r.Inputs, in)
	}
	switch mass := units.Format(quantity.Of(kg, quantity.Mass)); {
	case pieces == 0:
		r.Result = mass
	case kg == 0:
		r.Result = to.pieces(pieces)
	default:
		r.Result = fmt.Sprintf("%s and %s", mass, to.pieces(pieces))
	}
	return r
}

func (to *PlantingRecord) pieces(n float64) string {
	text := strconv.FormatFloat(n, 'f', -1, 64)
	if unit := to.Planting.Decl.Crop.SaleUnit; unit != "" {
		return text + " (by the " + unit + ")"
	}
	return text
}
