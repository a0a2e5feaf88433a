package derive

import (
	"fmt"
	"strconv"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// Why gives the reckonings of the row: where it lies, its length and its free feet, then its water, its
// trellis and what is sprayed on it.
func (r *Row) Why() []Reckoning {
	u, d := r.Plot.units(), r.Decl
	length := Reckoning{Title: "Length", Result: u.Format(quantity.Meters(r.Length)), Source: thisPlan}
	if _, ok := meters(&d.Length); ok {
		length.Equation = "as the plan gives it"
		length.Inputs = []Input{lengthInput(u, "length", &d.Length)}
	} else {
		length.Equation = "plot length - headland - place of the row's head"
		head := lengthInput(u, "head", &d.Start)
		if _, ok := meters(&d.Start); !ok {
			head = Input{Name: "head", Value: u.Format(quantity.Meters(r.Start)), Source: "the headland's edge"}
		}
		length.Inputs = []Input{
			lengthInput(u, "plot length", &r.Plot.Decl.Length),
			lengthInput(u, "headland", &r.Plot.Decl.Headland), head,
		}
	}
	at := Reckoning{
		Title:    "Place across the plot",
		Equation: "edges = center line ± half the bed's width, or the outer lines where no width is given",
		Inputs:   []Input{lengthInput(u, "at", &d.At)},
		Result: fmt.Sprintf("%s to %s from the plot's first side", u.Format(quantity.Meters(r.Left)),
			u.Format(quantity.Meters(r.Right))),
		Source: thisPlan,
	}
	if r.Left == r.Right {
		at.Equation = "one line, as the plan gives it"
		at.Result = u.Format(quantity.Meters(r.Center)) + " from the plot's first side"
	}
	if d.BedWidth.Given {
		at.Inputs = append(at.Inputs, lengthInput(u, "bed_width", &d.BedWidth))
	}
	if len(r.Lines) > 1 {
		at.Inputs = append(at.Inputs, Input{Name: "lines", Value: strconv.Itoa(len(r.Lines)), Source: thisPlan, Span: d.Lines.Span})
		if d.LineSpacing.Given {
			at.Inputs = append(at.Inputs, lengthInput(u, "line_spacing", &d.LineSpacing))
		}
	}
	free := Reckoning{
		Title:    "Free",
		Equation: "row length - what any planting ever owns: from half a spacing before its first plant to half a spacing after its last",
		Inputs:   []Input{{Name: "row length", Value: u.Format(quantity.Meters(r.Length)), Source: "see Length"}},
		Result:   u.Format(quantity.Meters(r.FreeLength)),
		Source:   commonPractice,
	}
	for _, p := range r.Plantings {
		if p.Placed() {
			free.Inputs = append(free.Inputs, Input{
				Name: p.Decl.Crop.Title(),
				Value: fmt.Sprintf("%s to %s", u.Format(quantity.Meters(max(p.Owns.From, 0))),
					u.Format(quantity.Meters(min(p.Owns.To, r.Length)))),
				Source: "see its Place in the row", Span: p.Decl.Call,
			})
		}
	}
	out := []Reckoning{at, length, free}
	if r.Water != nil {
		out = append(out, r.Water.Why()...)
	}
	return append(out, r.whyWork()...)
}

// Why gives the reckonings of the plot: its area, its row length, what is free and its paths.
func (p *Plot) Why() []Reckoning {
	u, d := p.units(), p.Decl
	area := Reckoning{
		Title: "Area", Equation: "length × width",
		Inputs: []Input{lengthInput(u, "length", &d.Length), lengthInput(u, "width", &d.Width)},
		Result: u.Format(quantity.Of(p.Area, quantity.Area)), Source: thisPlan,
	}
	rows := Reckoning{
		Title: "Row length", Equation: "sum of the rows' own lengths",
		Inputs: []Input{{Name: "rows", Value: strconv.Itoa(len(p.Rows)), Source: thisPlan}},
		Result: u.Format(quantity.Meters(p.RowLength)), Source: thisPlan,
	}
	free := Reckoning{
		Title: "Free", Equation: "sum of the rows' lengths that no planting ever owns",
		Result: u.Format(quantity.Meters(p.FreeLength)), Source: commonPractice,
	}
	plants := Reckoning{
		Title: "Plants", Equation: "sum over the plantings of every row",
		Result: strconv.Itoa(p.Plants), Source: thisPlan,
	}
	for _, r := range p.Rows {
		span := r.Decl.Call
		free.Inputs = append(free.Inputs, Input{Name: r.Name(), Value: u.Format(quantity.Meters(r.FreeLength)), Source: "see the row", Span: span})
		sum := 0
		for _, q := range r.Plantings {
			sum += q.Plants
		}
		plants.Inputs = append(plants.Inputs, Input{Name: r.Name(), Value: strconv.Itoa(sum), Source: "see the row", Span: span})
	}
	out := []Reckoning{area, rows, free, plants}
	for _, path := range p.Paths {
		out = append(out, path.why(u))
	}
	if p.facts != nil && p.facts.Fed() {
		for _, pf := range p.facts.Feeding().Plots {
			if pf.Plot == p {
				out = append(out, pf.Why()...)
			}
		}
	}
	return out
}

func (p *Path) why(u quantity.System) Reckoning {
	edge := func(name string, x float64, r *Row) Input {
		return Input{Name: name, Value: u.Format(quantity.Meters(x)), Source: "see the row", Span: r.Decl.Call}
	}
	return Reckoning{
		Title:    fmt.Sprintf("Path between %s and %s", p.Left.Name(), p.Right.Name()),
		Equation: "first edge of the one - last edge of the other",
		Inputs:   []Input{edge(p.Left.Name(), p.Left.Right, p.Left), edge(p.Right.Name(), p.Right.Left, p.Right)},
		Result:   u.Short(quantity.Meters(p.Width)), Source: thisPlan,
	}
}

func lengthInput(u quantity.System, name string, l *farm.Length) Input {
	in := Input{Name: name, Value: u.Format(l.Value), Source: thisPlan, Span: l.Span}
	if !l.Given {
		in.Value, in.Source = u.Format(quantity.Meters(0)), "when the plan gives none"
	}
	if _, ok := meters(l); l.Given && !ok {
		in.Value = "not known"
	}
	return in
}
