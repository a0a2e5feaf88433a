package derive

import (
	"fmt"
	"math"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// Why gives the reckonings of the source: the most flow that is asked of it at once, how long it runs in the
// week that takes longest, and its water of the season. Empty when none of its zones has rows.
func (s *SourceWater) Why() []Reckoning {
	t, ok := tellerOf(s.Zones)
	if !ok {
		return nil
	}
	var out []Reckoning
	if g := s.neediest(); g != nil {
		out = append(out, s.whyFlow(t, g))
	}
	if s.Peak >= 0 {
		out = append(out, s.whyOpen(t))
	}
	if s.Weeks != nil {
		out = append(out, s.whySeason(t))
	}
	return out
}

func tellerOf(zones []*ZoneWater) (teller, bool) {
	for _, z := range zones {
		if len(z.Rows) > 0 {
			return z.Rows[0].Row.Plot.teller(), true
		}
	}
	return teller{}, false
}

// neediest is the group that asks most of the source at once, the first of several; nil when no flow is known.
func (s *SourceWater) neediest() *ZoneGroup {
	var most *ZoneGroup
	for _, g := range s.Groups {
		if g.Unsolved == "" && (most == nil || exceeds(g.Wants, most.Wants)) {
			most = g
		}
	}
	return most
}

func (s *SourceWater) whyFlow(t teller, g *ZoneGroup) Reckoning {
	r := Reckoning{
		Title: "Most flow at once", Equation: "sum of the zones that are open together, for the valves that take most",
		Inputs: []Input{planned("flow", t.u.Format(s.Decl.Flow.Value), s.Decl.Flow.Span)},
		Result: t.flow(g.Wants), Source: commonPractice,
	}
	for _, z := range g.Zones {
		r.Inputs = append(r.Inputs, seen("zone "+z.Decl.Name.Value, t.flow(z.Flow), "see the zone"))
	}
	if g.Limited {
		r.Result += ", more than there is"
	}
	return r
}

func (s *SourceWater) whyOpen(t teller) Reckoning {
	r := Reckoning{
		Title:    "Runs, " + t.week(s.Zones[0].monday(s.Peak)),
		Equation: "sum of the zones' times; of those open together the longest",
		Inputs:   []Input{{Name: "hours in a week", Value: OpenTime(s.Hours), Source: origin(s.Decl.HoursPerWeek.Given), Span: s.Decl.HoursPerWeek.Span}},
		Result:   fmt.Sprintf("%s, %s sent", OpenTime(s.Weeks[s.Peak].Time), t.volume(s.Weeks[s.Peak].Volume)),
		Source:   commonPractice,
	}
	for _, z := range s.Zones {
		if z.Weeks != nil {
			r.Inputs = append(r.Inputs, seen("zone "+z.Decl.Name.Value, OpenTime(z.Weeks[s.Peak].Time), "see the zone"))
		}
	}
	return r
}

func (s *SourceWater) whySeason(t teller) Reckoning {
	r := Reckoning{Title: "Water of the season", Equation: "sum of its zones", Result: t.volume(s.Volume), Source: commonPractice}
	if v := s.Decl.SeasonVolume; v.Given {
		r.Inputs = append(r.Inputs, planned("season_volume", t.u.Format(v.Value), v.Span))
	}
	for _, z := range s.Zones {
		if z.Weeks != nil {
			r.Inputs = append(r.Inputs, seen("zone "+z.Decl.Name.Value, t.volume(z.Sent), "see the zone"))
		}
	}
	return r
}

// WhyTape gives the reckonings of a tape: what one emitter gives, what the tape gives at the pressure that each
// of its zones leaves it, and how much of it there is to lay. Empty when no zone works with it.
func (w *Water) WhyTape(tape *farm.DripTape) []Reckoning {
	var zones []*ZoneWater
	for _, z := range w.Zones {
		if z.Decl.Tape == tape && z.Unsolved == "" {
			zones = append(zones, z)
		}
	}
	t, ok := tellerOf(zones)
	if !ok {
		return nil
	}
	line := tape.Flow.Value.SI
	labeled := planned("flow", t.u.Format(tape.Flow.Value), tape.Flow.Span)
	at := planned("at", t.u.Format(tape.At.Value), tape.At.Span)
	out := []Reckoning{{
		Title: "Each emitter", Equation: "flow × emitter_spacing",
		Inputs: []Input{labeled, at, planned("emitter_spacing", t.u.Short(tape.EmitterSpacing.Value), tape.EmitterSpacing.Span)},
		Result: t.flow(line * tape.EmitterSpacing.Value.SI), Source: thisPlan,
	}}
	laid := Reckoning{Title: "To lay", Equation: "sum of the rows' tapes", Source: commonPractice}
	total, told := 0.0, map[string]bool{}
	for _, z := range zones {
		if title := "At " + t.pressure(z.After); z.After > 0 && !told[title] {
			told[title] = true
			flow := line * math.Pow(z.After/tape.At.Value.SI, tape.Exponent.Value)
			out = append(out, Reckoning{
				Title: title, Equation: "flow × (pressure / at)^exponent",
				Inputs: []Input{labeled, at, {Name: "exponent", Value: plainNumber(tape.Exponent.Value), Source: origin(tape.Exponent.Given), Span: tape.Exponent.Span},
					seen("at the header of", "zone "+z.Decl.Name.Value, "see the zone")},
				Result: t.u.Format(quantity.Of(flow, quantity.LineFlow)), Source: "emitter law q = k h^x (Keller and Bliesner 1990)",
			})
		}
		total += z.Length
		laid.Inputs = append(laid.Inputs, seen("zone "+z.Decl.Name.Value, t.long(z.Length), "see the zone"))
	}
	laid.Result = t.long(total)
	return append(out, laid)
}
