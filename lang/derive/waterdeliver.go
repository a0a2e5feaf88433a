package derive

import (
	"errors"
	"math"

	"haulm/stdlib/quantity"
	"haulm/stdlib/water"
)

// deliver solves the zones that are open together against their source.
//
// Water runs from the source through the zone's supply line, its filter and its regulator to the headers; a
// regulator thus stands at the rows, where the tape needs its pressure. A header runs along the heads of the
// zone's rows in one plot and is fed at the row with the lowest number. Without a header the rows are fed at
// one point.
func (g *ZoneGroup) deliver() {
	n, zones := g.network()
	if len(zones) == 0 {
		if g.Unsolved == "" {
			g.Unsolved = g.Zones[0].Unsolved
		}
		return
	}
	s, err := water.Solve(n)
	var dry *water.DryLine
	var unsettled *water.Unsettled
	switch {
	case errors.As(err, &unsettled):
		g.Unsettled = unsettled.Error()
	case err != nil && !errors.As(err, &dry):
		g.refuse(reason(err))
		return
	}
	if !(s.Flow >= 0) || math.IsInf(s.Flow, 1) {
		g.Unsettled = ""
		g.refuse("no flow follows from what the source, the pipes and the tape are said to be")
		return
	}
	g.Flow, g.Pressure, g.Wants, g.Limited = s.Flow, s.Pressure, s.Wanted, s.Limited
	g.Iterations, g.Residual = s.Iterations, s.Residual
	for i, z := range zones {
		z.fill(&s.Zones[i])
	}
}

// reason is the innermost word on what an equation could not take.
func reason(err error) string {
	var number *water.OutOfRange
	if errors.As(err, &number) {
		return number.Error()
	}
	return err.Error()
}

// refuse gives the group's zones the reason why nothing is solved.
func (g *ZoneGroup) refuse(why string) {
	g.Unsolved = why
	for _, z := range g.Zones {
		if z.Unsolved == "" {
			z.Unsolved = why
			for _, r := range z.Rows {
				r.Unsolved = why
			}
		}
	}
}

// network gives what is open together, and the zones in the order of the network's; the zones that lack
// something are left out with the reason.
func (g *ZoneGroup) network() (water.Network, []*ZoneWater) {
	var n water.Network
	if why := g.Source.problem(); why != "" {
		g.refuse(why)
		return n, nil
	}
	d := g.Source.Decl
	n.Source = water.Source{Pressure: given(&d.Pressure, quantity.Pressure), Flow: given(&d.Flow, quantity.Flow)}
	var zones []*ZoneWater
	for _, z := range g.Zones {
		if z.Unsolved = z.problem(); z.Unsolved != "" {
			continue
		}
		n.Zones = append(n.Zones, z.network())
		zones = append(zones, z)
	}
	return n, zones
}

func (s *SourceWater) problem() string {
	switch {
	case s == nil:
		return "the zone has no water source"
	case math.IsNaN(given(&s.Decl.Flow, quantity.Flow)):
		return "the source's flow is not known"
	case math.IsNaN(given(&s.Decl.Pressure, quantity.Pressure)):
		return "the source's pressure is not known"
	}
	return ""
}

// problem tells why the zone brings no water; "" when it does.
func (z *ZoneWater) problem() string {
	if len(z.Rows) == 0 {
		return "the zone has no rows"
	}
	if why := z.tapeProblem(); why != "" {
		return why
	}
	for _, r := range z.Rows {
		if r.Unsolved == "" {
			return ""
		}
	}
	return z.Rows[0].Unsolved
}

// fill takes over what the network found for the zone.
func (z *ZoneWater) fill(run *water.ZoneRun) {
	z.Emitters, z.Dry, z.Flow = run.Emitters, run.Dry, run.Flow
	z.Least, z.Most, z.EU = run.Least, run.Most, run.EU/100
	z.Before, z.After = z.Group.Pressure, run.Pressure
	parts := run.Supply
	if z.Supply.Pipe != nil {
		p := parts[0]
		z.Supply.Flow, z.Supply.Speed, z.Supply.Loss = p.Flow, p.Velocity, p.In-p.Out
		z.Before, parts = p.Out, parts[1:]
	}
	if z.Filter > 0 {
		z.Filter = parts[0].In - parts[0].Out
		z.Before = parts[0].Out
	}
	next, steepest, lowest := 0, 0.0, run.Pressure
	for _, h := range run.Headers {
		if z.Header.Pipe != nil && h.Velocity > z.Header.Speed {
			z.Header.Flow, z.Header.Speed = h.Flow, h.Velocity
		}
		for i := range h.Rows {
			for z.Rows[next].Unsolved != "" {
				next++
			}
			r := z.Rows[next]
			next++
			r.fill(&h.Rows[i])
			lowest = min(lowest, r.Inlet)
			steepest = max(steepest, math.Abs(r.lateral.Slope))
			if z.LeastRow == nil || r.Least < z.LeastRow.Least {
				z.LeastRow = r
			}
			if z.MostRow == nil || r.Most > z.MostRow.Most {
				z.MostRow = r
			}
		}
	}
	if z.Header.Pipe != nil {
		z.Header.Loss = run.Pressure - lowest
	}
	wanted := water.RecommendedEU(steepest, false)
	z.Wanted = water.Range{Low: wanted.Low / 100, High: wanted.High / 100}
}

func (r *RowWater) fill(run *water.Run) {
	r.Emitters, r.Dry, r.Flow = r.Tapes*run.Emitters, r.Tapes*run.Dry, float64(r.Tapes)*run.Flow
	r.Inlet, r.End, r.Least, r.Most = run.Pressure, run.End, run.Least, run.Most
	r.LeastOut, r.MostOut, r.EU = run.LeastFlow, run.MostFlow, run.EU/100
}
