package derive

import (
	"math"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/water"
)

// emitterSpread is the emitters' coefficient of variation, which no plan gives: that measured on new tape of
// 1.02 l/h at 8 psi (thesis, repository tdl-ir, record 84ae1eae).
const emitterSpread = 0.04

// network makes the zone ready to be solved.
func (z *ZoneWater) network() water.Zone {
	var out water.Zone
	if p, ok := pipe(z.Decl.Supply); ok {
		out.Supply = append(out.Supply, p)
		z.Supply.Pipe = z.Decl.Supply
	}
	if loss := given(&z.Decl.Filter, quantity.Pressure); loss > 0 {
		out.Supply = append(out.Supply, water.Filter{Loss: loss, Flow: z.Nominal})
		z.Filter = loss
	}
	if set := given(&z.Decl.Regulator, quantity.Pressure); set > 0 {
		out.Supply = append(out.Supply, water.Regulator{Set: set})
	}
	along, ok := pipe(z.Decl.Header)
	if ok {
		z.Header.Pipe = z.Decl.Header
	} else {
		along = water.Pipe{Diameter: 1} // of no length, so its bore does not matter
	}
	var plot *Plot
	first := 0.0
	for _, r := range z.Rows {
		if r.Unsolved != "" {
			continue
		}
		if plot != r.Row.Plot {
			plot, first = r.Row.Plot, r.Row.Center
			out.Headers = append(out.Headers, water.Header{Diameter: along.Diameter, Law: along.Law, C: along.C})
		}
		r.lateral = z.lateral(r)
		at := 0.0
		if ok {
			at = r.Row.Center - first
		}
		h := &out.Headers[len(out.Headers)-1]
		h.Rows = append(h.Rows, water.Row{At: at, Lateral: r.lateral, Tapes: r.Tapes})
	}
	return out
}

// pipe makes a declared pipe ready; false when there is none with a length and a bore.
func pipe(d *farm.Pipe) (water.Pipe, bool) {
	if d == nil {
		return water.Pipe{}, false
	}
	p := water.Pipe{
		Length: given(&d.Length, quantity.Length), Diameter: given(&d.InsideDiameter, quantity.Length), Law: water.HazenWilliams,
	}
	c, ok := water.PipeC(d.Material.Value)
	p.C = c.Low
	return p, ok && p.Length > 0 && p.Diameter > 0
}

// lateral makes one tape of the row ready.
func (z *ZoneWater) lateral(r *RowWater) water.Lateral {
	t := z.Decl.Tape
	spacing := given(&t.EmitterSpacing, quantity.Length)
	l := water.Lateral{
		Diameter: given(&t.InsideDiameter, quantity.Length), Spacing: spacing, First: r.Cut.Head, Length: r.Cut.Laid,
		Slope: -slope(r.Row.Plot), Law: water.Blasius,
	}
	// A tape that the equations cannot take leaves its emitter empty, which Solve then refuses by name.
	l.Emitter, _ = water.NewEmitter(given(&t.Flow, quantity.LineFlow)*spacing, given(&t.At, quantity.Pressure), t.Exponent.Value, emitterSpread)
	return l
}

// slope is the fall of the plot's rows from their head; 0 when the plan gives none.
func slope(p *Plot) float64 {
	if s := p.Decl.Slope; s.Given && s.Value.Dim == quantity.Ratio && math.Abs(s.Value.SI) < 1 {
		return s.Value.SI
	}
	return 0
}
