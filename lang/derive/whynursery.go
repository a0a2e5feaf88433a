package derive

import (
	"fmt"
	"math"
	"strconv"

	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

// Why gives the reckonings of raising a planting: cells and seed, trays and pots, and its days in the nursery.
func (s *Start) Why(n *Nursery) []Reckoning {
	p := s.Planting
	if s.Cells == 0 {
		return []Reckoning{{Title: "Cells to sow", Result: "not known: " + s.Unknown, Source: commonPractice}}
	}
	spare := Input{Name: "spare", Value: p.percent(s.Spare), Source: "the plan has no nursery"}
	if n.Decl != nil {
		spare.Source = origin(n.Decl.Spare.Given)
		if n.Decl.Spare.Given {
			spare.Span = n.Decl.Spare.Span
		}
	}
	per := p.Decl.PerCell
	perCell := Input{Name: "seeds in each cell", Value: strconv.Itoa(max(1, per.Value)), Source: origin(per.Given), Span: where(per)}
	cells := p.Decl.Tray.Cells
	out := []Reckoning{
		{
			Title: "Cells to sow", Equation: "plants × (1 + spare) / (1 - (1 - germination)^seeds in each cell), rounded up",
			Inputs: []Input{{Name: "plants", Value: strconv.Itoa(p.Plants), Source: "see Plants"}, spare, s.sproutInput(), perCell},
			Result: strconv.Itoa(s.Cells), Source: "arithmetic",
		},
		{
			Title: "Seed to sow", Equation: "cells × seeds in each cell",
			Inputs: []Input{{Name: "cells", Value: strconv.Itoa(s.Cells), Source: "see Cells to sow"}, perCell},
			Result: strconv.Itoa(s.Seeds), Source: "arithmetic",
		},
		{
			Title: "Trays", Equation: "cells to sow / cells of a tray, rounded up",
			Inputs: []Input{{Name: "cells to sow", Value: strconv.Itoa(s.Cells), Source: "see Cells to sow"}, p.given("cells of a tray", strconv.Itoa(cells.Value), cells.Span)},
			Result: strconv.Itoa(s.Trays), Source: "arithmetic",
		},
	}
	if s.Pots > 0 {
		out = append(out, Reckoning{
			Title: "Pots", Equation: "plants × (1 + spare), rounded up",
			Inputs: []Input{{Name: "plants", Value: strconv.Itoa(p.Plants), Source: "see Plants"}, spare},
			Result: strconv.Itoa(s.Pots), Source: "arithmetic",
		})
	}
	if n.Decl == nil || s.Unknown != "" {
		return out
	}
	return append(out, s.whyDays(n)...)
}

// sproutInput is the share of the seed that comes up, and who says so.
func (s *Start) sproutInput() Input {
	p := s.Planting
	value := p.percent(s.Sprout)
	if r := &p.Decl.Crop.Germination; r.Known() {
		in := p.cropInput("germination", value, r)
		if r.Grade != crops.GradePlan {
			in.Source += ", the least that the law lets be sold"
		}
		return in
	}
	return Input{Name: "germination", Value: value, Source: commonPractice + "; the packet says better"}
}

func (s *Start) whyDays(n *Nursery) []Reckoning {
	p := s.Planting
	sow := Input{Name: "sow", Value: p.day(p.Sow), Source: "see Sow"}
	emerge := Reckoning{Title: "Seedlings up", Equation: "sowing day + days to emerge at the temperature of the mix", Inputs: []Input{sow}, Result: p.day(s.Emerge)}
	switch {
	case math.IsNaN(s.Temperature):
		emerge.Inputs = append(emerge.Inputs, Input{Name: "temperature", Value: "not known", Source: "the nursery gives none", Span: n.Decl.Call})
	default:
		at, name := n.Decl.Temperature, "temperature of the house"
		if s.OnMat {
			at, name = n.Decl.MatTemperature, "temperature of the mat"
		}
		emerge.Inputs = append(emerge.Inputs, p.given(name, n.units.Short(quantity.Of(s.Temperature, quantity.Temperature)), at.Span))
		in := Input{Name: "days to emerge", Value: "not known", Source: "the crop table holds none for that temperature"}
		if e := p.Decl.Crop.Emergence; s.days > 0 && len(e) > 0 {
			in.Value = fmt.Sprintf("%.1f", s.days)
			in.Source = fmt.Sprintf("%s (grade %s), between its cells linear in rate", e[0].Source, e[0].Grade)
		}
		emerge.Inputs = append(emerge.Inputs, in)
	}
	out := []Reckoning{emerge}
	if s.StepUp.IsSet() {
		out = append(out, Reckoning{
			Title: "Step up into pots", Equation: "sowing day + days to stepping up, but a week after the seedlings are up at the earliest, and no later than it goes outdoors",
			Inputs: []Input{sow, {Name: "days to stepping up", Value: strconv.Itoa(n.Decl.StepUp.Value), Source: origin(n.Decl.StepUp.Given), Span: where(n.Decl.StepUp)}},
			Result: p.day(s.StepUp), Source: "common practice: at one or two true leaves, about 2 to 3 weeks",
		})
	}
	return append(out, Reckoning{
		Title: "Outdoors to harden off", Equation: "planting day - days of hardening off",
		Inputs: []Input{p.onInput(), {Name: "days of hardening off", Value: strconv.Itoa(n.Decl.Harden.Value), Source: origin(n.Decl.Harden.Given), Span: where(n.Decl.Harden)}},
		Result: p.day(s.Harden), Source: "memory of general extension practice: 7 to 10 days; warm crops not below 55 to 60 °F",
	})
}
