package derive

import (
	"fmt"
	"strconv"

	"haulm/stdlib/quantity"
)

// Why gives the reckoning of one application: its intervals and what is mixed.
func (a *Application) Why(units quantity.System) []Reckoning {
	p := a.Decl.Protectant
	first := a.Plantings[0]
	label := "its label, as this plan copies it"
	open := Reckoning{
		Title:    fmt.Sprintf("%s on %s", p.Name.Value, first.day(a.Day)),
		Equation: "work from the first morning after the re-entry interval, sprayed at six in the evening; pick from the pre-harvest interval's end, or from then if that is later",
		Inputs: []Input{
			{Name: "reentry", Value: strconv.FormatFloat(p.Reentry.Value.SI/3600, 'f', -1, 64) + " h", Source: label, Span: p.Reentry.Span},
			{Name: "preharvest", Value: daysText(p.Preharvest.Value), Source: label, Span: p.Preharvest.Span},
		},
		Result: fmt.Sprintf("work from %s, pick from %s", first.day(a.Enter), first.day(a.Harvest)), Source: label,
	}
	if width, ok := a.narrowest(); ok {
		open.Inputs = append(open.Inputs, Input{
			Name: "narrowest path beside it", Value: units.Short(quantity.Meters(width)), Source: "from bed edge to bed edge; farm(spray_access = ...) holds it against the grown plants",
		})
	}
	if a.Unknown != "" || a.Product.SI <= 0 {
		return []Reckoning{open}
	}
	rate := Input{Name: "rate", Value: units.Format(p.Rate.Value), Source: label, Span: p.Rate.Span}
	if !p.Rate.Given {
		rate = Input{Name: "rate", Value: units.Spread(p.LiquidRate.Value.SI), Source: label, Span: p.LiquidRate.Span}
	}
	mix := Reckoning{
		Title: fmt.Sprintf("Mix of %s on %s", p.Name.Value, first.day(a.Day)), Equation: "rate × ground; water × ground",
		Inputs: []Input{
			{Name: "ground", Value: units.Format(quantity.Of(a.Area, quantity.Area)), Source: "width that the row speaks for × length that its plants own, for every planting"},
			rate,
		},
		Result: units.Format(a.Product), Source: label,
	}
	if p.Water.Given {
		mix.Inputs = append(mix.Inputs, Input{Name: "water", Value: units.Spread(p.Water.Value.SI), Source: label, Span: p.Water.Span})
		mix.Result += " in " + units.Format(quantity.Of(a.Water, quantity.Volume))
	}
	return []Reckoning{open, mix}
}

// narrowest gives the width of the narrowest path from which its rows are sprayed; false where there is none.
func (a *Application) narrowest() (width float64, ok bool) {
	for _, r := range a.Rows {
		for _, p := range r.Plot.Paths {
			if (p.Left == r || p.Right == r) && (!ok || p.Width < width) {
				width, ok = p.Width, true
			}
		}
	}
	return max(width, 0), ok
}

// whyWork gives the reckonings of what holds the row up, and of what is sprayed on it.
func (r *Row) whyWork() []Reckoning {
	facts := r.Plot.facts
	if facts == nil {
		return nil
	}
	var out []Reckoning
	if t := facts.Support().Of(r); t != nil {
		out = t.Why(r.Plot.units())
	}
	for _, a := range facts.Protection().On(r) {
		out = append(out, a.Why(r.Plot.units())...)
	}
	return out
}

// whyRaised gives the reckonings of raising the planting, none when it is not.
func (p *Planting) whyRaised() []Reckoning {
	facts := p.Row.Plot.facts
	if facts == nil || p.Decl.Tray == nil {
		return nil
	}
	n := facts.Nursery()
	for _, s := range n.Starts {
		if s.Planting == p {
			return s.Why(n)
		}
	}
	return nil
}

func daysText(n int) string {
	if n == 1 {
		return "1 day"
	}
	return strconv.Itoa(n) + " days"
}
