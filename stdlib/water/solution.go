package water

import "math"

// fill writes the tree's state into a solution.
func (t *tree) fill(s *Solution) {
	s.Pressure, s.Flow, s.Iterations, s.Residual = t.pressure[0], t.flow[0], t.rounds, t.residual
	s.Main = t.passages(t.main)
	s.Zones = make([]ZoneRun, len(t.zones))
	for i, z := range t.zones {
		s.Zones[i] = t.zone(z)
	}
}

func (t *tree) passages(nodes []int) []Passage {
	out := make([]Passage, len(nodes))
	for i, node := range nodes {
		out[i] = Passage{Flow: t.flow[node], In: t.pressure[t.parent[node]], Out: t.pressure[node]}
		if a := t.links[node].area; a > 0 {
			out[i].Velocity = t.flow[node] / a
		}
	}
	return out
}

func (t *tree) zone(z zoneNodes) ZoneRun {
	out := ZoneRun{Pressure: t.pressure[z.top], Supply: t.passages(z.supply), Least: math.Inf(1), LeastFlow: math.Inf(1)}
	spread := 0.0
	for _, h := range z.headers {
		run := HeaderRun{Flow: t.flow[h.node], Rows: make([]Run, len(h.lines))}
		run.Velocity = run.Flow / h.area
		for i, at := range h.lines {
			l := &t.lines[at]
			r := l.report(l.end, l.swept, t.rounds)
			run.Rows[i] = r
			out.Emitters += int(l.tapes) * r.Emitters
			out.Dry += int(l.tapes) * r.Dry
			out.Least, out.Most = min(out.Least, r.Least), max(out.Most, r.Most)
			out.LeastFlow, out.MostFlow = min(out.LeastFlow, r.LeastFlow), max(out.MostFlow, r.MostFlow)
			spread = max(spread, l.spread)
		}
		out.Flow += run.Flow
		out.Headers = append(out.Headers, run)
	}
	if out.Flow > 0 {
		out.EU = uniformity(spread, 1, out.LeastFlow, out.MeanFlow())
	}
	return out
}
