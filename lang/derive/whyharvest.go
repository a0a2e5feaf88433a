package derive

import (
	"fmt"
	"strconv"

	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

// Why gives the reckonings of what the planting gives: the whole window's, then what is left of it to sell.
func (n *PlantingHarvest) Why() []Reckoning {
	if n.Unknown != "" {
		return []Reckoning{{Title: "Harvest", Equation: "yield × plants or length of lines", Result: "not known: " + n.Unknown, Source: commonPractice}}
	}
	p := n.Planting
	whole := Reckoning{Title: "Yield", Equation: n.yield.equation, Result: n.counted(n.Full), Source: thisPlan}
	for _, in := range n.yield.inputs {
		whole.Inputs = append(whole.Inputs, p.yieldInput(in))
	}
	if from := n.yield.from; from != nil {
		whole.Source = p.cropInput("", "", from).Source
	} else if n.yield.equation == oneHead {
		whole.Source = commonPractice
	}
	sell := Reckoning{
		Title: "To sell", Equation: "yield × share of the harvest days that are left × (1 - loss), in equal parts for every day",
		Inputs: []Input{
			{Name: "yield", Value: n.counted(n.Full), Source: "see Yield"},
			{Name: "share of the harvest days", Value: p.percent(n.Share), Source: "see Last harvest"},
			{Name: "loss", Value: p.percent(n.Loss), Source: commonPractice},
		},
		Result: n.counted(n.Amount), Source: commonPractice,
	}
	if r := p.Record; r != nil && len(r.Counts) > 0 {
		sell.Equation = "yield × share of the harvest days that are left × plants that stand / planned × (1 - loss), in equal parts for every day"
		sell.Inputs = append(sell.Inputs, Input{Name: "plants that stand", Value: fmt.Sprintf("%d of %d", r.Stand, p.Plants), Source: recorded,
			Span: r.Counts[len(r.Counts)-1].Plants.Span})
	}
	if l := p.Decl.Crop.Loss; l.Given {
		sell.Inputs[2] = p.given("loss", p.percent(n.Loss), l.Span)
	}
	if n.Picked {
		sell.Equation = "picked, as it is recorded until the row was cleared × (1 - loss), in equal parts for every day"
		sell.Inputs = []Input{{Name: "picked", Value: n.counted(n.Expected()), Source: recorded, Span: p.Record.Cleared.Call}, sell.Inputs[2]}
	}
	return []Reckoning{whole, sell}
}

// counted says an amount in what the crop is sold by: "143 × head" for pieces, "270 lb".
func (n *PlantingHarvest) counted(v float64) string {
	text := strconv.FormatFloat(v, 'f', 0, 64)
	if v < 100 {
		text = strconv.FormatFloat(v, 'g', 3, 64)
	}
	if u, ok := quantity.UnitNamed(n.Unit.Name); ok {
		return text + " " + u.Symbol
	}
	return text + " (by the " + n.Unit.Name + ")"
}

func (p *Planting) percent(share float64) string {
	return p.Row.Plot.units().Format(quantity.Of(share, quantity.Ratio))
}

func (p *Planting) yieldInput(in yieldInput) Input {
	units := p.Row.Plot.units()
	switch {
	case in.of != nil:
		return p.cropInput(in.name, yieldRange(in.of, units), in.of)
	case in.span.IsValid():
		return p.given(in.name, units.Format(in.q), in.span)
	case in.q.Dim == quantity.Ratio && in.q.SI == 0:
		return Input{Name: in.name, Source: "the plan gives no unit_mass"}
	case in.q.Dim == quantity.Ratio:
		return Input{Name: in.name, Value: strconv.FormatFloat(in.q.SI, 'f', -1, 64), Source: "see Plants"}
	case in.q.Dim == quantity.Mass:
		return p.given(in.name, units.Format(in.q), p.Decl.Crop.UnitMass.Span)
	}
	return Input{Name: in.name, Value: units.Format(in.q), Source: "see Place in the row"}
}

// yieldRange prints a yield of the table: "100 lb per 100 ft to 150 lb per 100 ft", or pieces on a length of row.
func yieldRange(r *crops.Range, units system) string {
	print := func(v float64) string {
		q := quantity.Of(v, r.Dim)
		if r.Dim != quantity.LineMass && r.Dim != quantity.AreaMass && r.Dim != quantity.Mass {
			length, text := 100*0.3048, " per 100 ft"
			if units == quantity.Metric {
				length, text = 1, " per m"
			}
			return strconv.FormatFloat(v*length, 'g', 4, 64) + text
		}
		return units.Format(q)
	}
	if r.Low == r.High {
		return print(r.Low)
	}
	return print(r.Low) + " to " + print(r.High)
}
