package derive

import (
	"fmt"

	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
)

// credit names a source, and says when it was recalled and not read.
func credit(s feeding.Source) string {
	if s.Unverified() {
		return s.Title + "; " + feeding.Unverified
	}
	return s.Title
}

// Why gives the reckonings of the plot's soil: its ratings, its credits, and the lime that it asks for.
func (pf *PlotFeeding) Why() []Reckoning {
	var out []Reckoning
	u := pf.Plot.units()
	rate := func(v float64) string { return u.Format(quantity.Of(v, quantity.AreaMass)) }
	if t := pf.Test; t != nil {
		for _, r := range []*feeding.Rating{pf.P, pf.K} {
			if r == nil {
				continue
			}
			given := t.P
			if r.Nutrient == feeding.K {
				given = t.K
			}
			if !given.Given {
				given.Span = t.Call
			}
			bounds := fmt.Sprintf("%g to %g %s", r.Low, r.High, r.Unit)
			if r.High > 1e300 {
				bounds = fmt.Sprintf("%g %s and more", r.Low, r.Unit)
			}
			out = append(out, Reckoning{
				Title:    "Soil test, " + string(r.Nutrient),
				Equation: "category of the laboratory's table whose bounds hold the value, by the same extractant",
				Inputs: []Input{
					{Name: "value", Value: fmt.Sprintf("%.4g %s", r.Value, r.Unit), Source: thisPlan, Span: given.Span},
					{Name: "method", Value: t.Method.Value, Source: thisPlan, Span: t.Method.Span},
					{Name: "bounds", Value: bounds, Source: r.Lab.Title},
				},
				Result: r.Category, Source: credit(r.Source),
			})
		}
		if pf.Unrated != nil {
			out = append(out, Reckoning{Title: "Soil test", Equation: "category of the laboratory's table", Result: "not known: " + pf.Unrated.Error()})
		}
		switch {
		case t.Lime.Given:
			out = append(out, Reckoning{Title: "Lime", Equation: "as the laboratory recommends", Inputs: []Input{
				{Name: "lime", Value: rate(t.Lime.Value.SI), Source: thisPlan, Span: t.Lime.Span},
			}, Result: rate(t.Lime.Value.SI), Source: thisPlan})
		case pf.Target > 0:
			for _, l := range pf.Lime {
				out = append(out, Reckoning{
					Title: "Lime", Equation: "rate of the table from this pH to the target, as pure calcium carbonate; the laboratory's rate by buffer pH is better",
					Inputs: []Input{
						{Name: "pH", Value: fmt.Sprintf("%.3g", t.PH.Value), Source: thisPlan, Span: t.PH.Span},
						{Name: "target", Value: fmt.Sprintf("%.3g", pf.Target), Source: origin(t.TargetPH.Given), Span: spanIf(t.TargetPH.Given, t.TargetPH.Span)},
						{Name: "texture", Value: pf.Plot.Decl.Soil.Texture.Value, Source: thisPlan, Span: pf.Plot.Decl.Soil.Texture.Span},
						{Name: "passes, six months apart", Value: fmt.Sprint(feeding.LimePasses(l.Carbonate)), Source: credit(feeding.LimeSource())},
					},
					Result: rate(l.Carbonate), Source: credit(l.Source),
				})
				for _, p := range pf.Limes() {
					out = append(out, Reckoning{
						Title: "Lime, as " + p.Name.Value, Equation: "pure calcium carbonate / calcium carbonate equivalent",
						Inputs: []Input{
							{Name: "pure calcium carbonate", Value: rate(l.Carbonate), Source: credit(l.Source)},
							{Name: "neutralizing", Value: u.Format(p.Neutralizing.Value), Source: thisPlan, Span: p.Neutralizing.Span},
						},
						Result: rate(feeding.LimeProduct(l.Carbonate, p.Neutralizing.Value.SI)), Source: "by definition of the equivalent",
					})
				}
			}
		}
	}
	for _, part := range pf.Parts {
		out = append(out, Reckoning{
			Title: "Nitrogen credit", Equation: "what the plot gives without being fed: " + part.What,
			Inputs: []Input{{Name: "credit", Value: spread(part.N, rate), Source: thisPlan, Span: part.Decl.Call}},
			Result: spread(part.N, rate), Source: credit(part.Source),
		})
	}
	return out
}

func spanIf(given bool, s source.Span) source.Span {
	if given {
		return s
	}
	return source.Span{}
}

// spread prints a span: "80 lb/acre to 120 lb/acre", or one value.
func spread(s feeding.Span, print func(float64) string) string {
	if low, high := print(s.Low), print(s.High); low != high {
		return low + " to " + high
	}
	return print(s.Low)
}

// Why gives the reckonings of the planting's need, of every dose, and of the balance.
func (n *PlantingFeeding) Why() []Reckoning {
	p := n.Planting
	u := p.Row.Plot.units()
	rate := func(v float64) string { return u.Format(quantity.Of(v, quantity.AreaMass)) }
	mass := func(v float64) string { return u.Format(quantity.Of(v, quantity.Mass)) }
	if n.Unknown != "" {
		return []Reckoning{{Title: "Need", Equation: "need by crop and soil-test rating", Result: "not known: " + n.Unknown}}
	}
	need := Reckoning{
		Title: "Need", Equation: "what the crop is to be fed in the season, by " + n.Need.Table,
		Result: fmt.Sprintf("N %s, P2O5 %s, K2O %s", spread(n.Need.N, rate), spread(n.Need.P2O5, rate), spread(n.Need.K2O, rate)),
		Source: credit(n.Need.Source),
	}
	if n.Of != nil {
		need.Inputs = append(need.Inputs, Input{Name: "need", Value: "given", Source: thisPlan, Span: n.Of.Call})
	}
	for _, other := range n.Need.Others {
		need.Inputs = append(need.Inputs, Input{
			Name: "by " + other.Table, Value: "N " + spread(other.N, rate) + ", P2O5 " + spread(other.P2O5, rate) + ", K2O " + spread(other.K2O, rate),
			Source: credit(other.Source),
		})
	}
	out := []Reckoning{need}
	for _, r := range n.removals() {
		out = append(out, Reckoning{
			Title: "Taken off by the harvest (" + r.Part + "), to compare", Equation: "printed removal in proportion to the yield",
			Inputs: []Input{{Name: "printed for", Value: rate(r.Yield), Source: credit(r.Source)}},
			Result: "N " + spread(r.N, rate) + ", P2O5 " + spread(r.P2O5, rate), Source: credit(r.Source),
		})
	}
	for _, d := range n.Doses {
		low, high := d.Gives()
		span := func(low, high float64) string { return spread(feeding.Span{Low: low, High: high}, mass) }
		of := Reckoning{
			Title: "Fed: " + d.Product.Name.Value + ", " + p.day(d.Day), Equation: "rate × ground or length of lines; nutrients = mass × analysis, of nitrogen the share that becomes available",
			Inputs: []Input{
				{Name: "feeding", Value: d.Feed.Placement.Value, Source: thisPlan, Span: d.Feed.Call},
				d.gaveHow(u),
				{Name: "ground", Value: u.Format(quantity.Of(d.Area, quantity.Area)), Source: "row to row, at most as wide as its rows usually stand, × length of row"},
				{Name: "analysis", Value: Analysis(d.Product), Source: d.analysisSource(), Span: spanIf(d.Product.Analysis.Given, d.Product.Analysis.Span)},
				{Name: "nitrogen available", Value: spread(product(d.Product).Release(), p.percent), Source: d.releaseSource(), Span: spanIf(d.Product.Available.Given, d.Product.Available.Span)},
			},
			Result: fmt.Sprintf("%s: N %s, P2O5 %s, K2O %s", mass(d.Mass), span(low.N, high.N), mass(low.P2O5), mass(low.K2O)), Source: thisPlan,
		}
		if d.Feed.ToNeed.Value {
			of.Equation = "least-cost mix of the products that meets what the need lacks at the middle of its range, for all plantings alike, parted by ground; stock first"
			if limit, said := n.AtOnce(d.Feed); said.Given {
				of.Inputs = append(of.Inputs, Input{Name: "nitrogen at once", Value: "no more than " + rate(limit), Source: thisPlan, Span: said.Span})
				of.Equation += "; what the limit holds back is left to the next dressing"
			}
		}
		out = append(out, of)
	}
	lacks := n.Lacks()
	out = append(out, Reckoning{
		Title: "Lacks", Equation: "need (middle) - credit - fed (middle of what becomes available); below 0 is more than the middle",
		Inputs: []Input{{Name: "credit", Value: spread(n.Credit, rate), Source: "see the plot"}},
		Result: fmt.Sprintf("N %s, P2O5 %s, K2O %s", rate(lacks.N), rate(lacks.P2O5), rate(lacks.K2O)), Source: commonPractice,
	})
	return out
}

// gaveHow is what the plan says of how much is fed: a rate, an amount, or the need.
func (d *Dose) gaveHow(u quantity.System) Input {
	f := d.Feed
	in := Input{Name: "rate", Source: thisPlan}
	said := f.Rate
	switch {
	case f.LineRate.Given:
		said = f.LineRate
		in.Value = u.Format(said.Value) + ", on lines of " + u.Format(quantity.Meters(d.Length))
	case f.Amount.Given:
		in.Name, said = "amount", f.Amount
		in.Value = u.Format(said.Value) + " for all of its ground"
	case f.Rate.Given:
		in.Value = u.Format(said.Value)
	default:
		return Input{Name: "as much as", Value: "the need lacks", Source: thisPlan, Span: f.ToNeed.Span}
	}
	in.Span = said.Span
	return in
}

// removals gives what the harvest takes off at the yield that the plan expects.
func (n *PlantingFeeding) removals() []feeding.Removal {
	p := n.Planting
	facts := p.Row.Plot.facts
	if facts == nil || !(n.Area > 0) {
		return nil
	}
	h := facts.Harvest().Plantings[p.Number-1]
	if h.Unknown != "" || !(h.Unit.Mass > 0) {
		return nil
	}
	return feeding.Removals(p.Decl.Crop.Ident, h.Full*h.Unit.Mass/n.Area)
}

// Analysis writes a product's three numbers as its label does.
func Analysis(p *farm.Product) string {
	n := p.Analysis.Value
	return fmt.Sprintf("%.3g-%.3g-%.3g", 100*n.N, 100*n.P2O5, 100*n.K2O)
}

func (d *Dose) analysisSource() string {
	if d.Product.Analysis.Given {
		return thisPlan
	}
	return credit(d.Product.AnalysisSource)
}

func (d *Dose) releaseSource() string {
	switch {
	case d.Product.Available.Given:
		return thisPlan
	case d.Product.ReleaseSource.Title == "":
		return "all of it"
	}
	return credit(d.Product.ReleaseSource)
}
