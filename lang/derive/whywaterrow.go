package derive

import (
	"fmt"
	"strconv"

	"haulm/stdlib/quantity"
	"haulm/stdlib/water"
)

// Why gives the reckonings of the row's water: the flow of its tapes and how even it is, their cut, the
// ground they wet, and the hours that the neediest week takes.
func (r *RowWater) Why() []Reckoning {
	t := r.Row.Plot.teller()
	if r.Zone == nil {
		return nil
	}
	if r.Unsolved != "" {
		return []Reckoning{{Title: "Flow of the tapes", Equation: "sum of the emitters", Result: "not known: " + r.Unsolved}}
	}
	out := []Reckoning{r.whyFlow(t), r.whyEvenness(t), r.whyCut(t)}
	if f, err := r.lateral.Flush(water.FlushVelocity); err == nil {
		out = append(out, whyFlush(t, f))
	}
	if r.Wetting != nil {
		out = append(out, r.whyWetting(t))
	}
	if i := r.peak(); i >= 0 {
		out = append(out, r.whyHours(t, i))
	}
	return out
}

// peak gives the index of the week with the greatest need; -1 when none has any.
func (r *RowWater) peak() int {
	best := -1
	for i, w := range r.Weeks {
		if w.Need > 0 && (best < 0 || exceeds(w.Need, r.Weeks[best].Need)) {
			best = i
		}
	}
	return best
}

func (r *RowWater) whyFlow(t teller) Reckoning {
	tape := r.Zone.Decl.Tape
	flow := Reckoning{
		Title: "Flow of the tapes",
		Equation: fmt.Sprintf("emitter by emitter q = k h^x, k from the tape's label; between two the tape loses what %s asks and gains what it falls",
			water.Blasius),
		Inputs: []Input{
			planned("emitter_spacing", t.u.Short(tape.EmitterSpacing.Value), tape.EmitterSpacing.Span),
			planned("flow", t.u.Format(tape.Flow.Value), tape.Flow.Span),
			planned("at", t.u.Format(tape.At.Value), tape.At.Span),
			{Name: "exponent", Value: plainNumber(tape.Exponent.Value), Source: origin(tape.Exponent.Given), Span: tape.Exponent.Span},
			{Name: "inside_diameter", Value: t.u.Short(tape.InsideDiameter.Value), Source: origin(tape.InsideDiameter.Given), Span: tape.InsideDiameter.Span},
			seen("tapes × emitters", fmt.Sprintf("%d × %d", r.Tapes, r.Cut.Emitters), "see Cut"),
			seen("pressure at the head", t.pressure(r.Inlet), "see the zone"),
		},
		Result: fmt.Sprintf("%s; %s at the last emitter", t.flow(r.Flow), t.pressure(r.End)),
		Source: "Keller and Bliesner 1990; Blasius, memory",
	}
	if s := slope(r.Row.Plot); s != 0 {
		flow.Inputs = append(flow.Inputs, planned("slope", t.share(s), r.Row.Plot.Decl.Slope.Span))
	}
	return flow
}

func (r *RowWater) whyEvenness(t teller) Reckoning {
	return Reckoning{
		Title:    "Evenness (emission uniformity)",
		Equation: "(1 - 1.27 spread) × least emitter / mean emitter",
		Inputs: []Input{
			seen("spread of the emitters", t.share(emitterSpread), "measured on new tape (thesis, repository tdl-ir, record 84ae1eae)"),
			seen("least emitter", t.flow(r.LeastOut), "see Flow of the tapes"),
			seen("mean emitter", t.flow(r.Flow/float64(r.Emitters)), "see Flow of the tapes"),
		},
		Result: t.share(r.EU), Source: "ASABE EP405.1",
	}
}

func (r *RowWater) whyCut(t teller) Reckoning {
	c := r.Cut
	out := Reckoning{
		Title:    "Cut",
		Equation: "row length + fold; the first emitter half a spacing from the head",
		Inputs: []Input{
			seen("row length", t.long(r.Row.Length), "see Length"),
			seen("fold", t.short(c.Fold), commonPractice),
			planned("emitter_spacing", t.u.Short(r.Zone.Decl.Tape.EmitterSpacing.Value), r.Zone.Decl.Tape.EmitterSpacing.Span),
		},
		Result: fmt.Sprintf("%s from cut to cut, %d emitters", t.long(c.Length), c.Emitters), Source: commonPractice,
	}
	switch {
	case c.Moved > 0:
		out.Equation += "; laid longer by what keeps emitters out of the fold, where a slit leaks"
		out.Inputs = append(out.Inputs, seen("longer", t.short(c.Moved), commonPractice))
	case c.Moved < 0:
		out.Equation += "; laid shorter by what keeps emitters out of the fold, where a slit leaks"
		out.Inputs = append(out.Inputs, seen("shorter", t.short(-c.Moved), commonPractice))
	case c.MustClear && c.InFold > 0:
		out.Equation += "; the emitters stand too close to keep them out of the fold"
	}
	return out
}

// whyFlush tells what it takes to wash the tape out through its open end.
func whyFlush(t teller, f water.Flushing) Reckoning {
	return Reckoning{
		Title:    "Flushing each tape",
		Equation: "flow that runs out of the open end at a speed that carries settled matter, with all emitters running",
		Inputs: []Input{
			seen("speed at the end", t.speed(water.FlushVelocity), "University of California, line flushing"),
			seen("out of the end", t.flow(f.End), "speed × bore"),
		},
		Result: fmt.Sprintf("%s at %s at the head", t.flow(f.Flow), t.pressure(max(0, f.Pressure))), Source: "see Flow of the tapes",
	}
}

func (r *RowWater) whyWetting(t teller) Reckoning {
	w := r.Wetting
	s, _ := water.SoilOf(w.Texture)
	out := Reckoning{
		Title: "Wetted ground",
		Equation: "width 1.82 V^0.22 (K/q)^-0.17 within what such soil is seen to wet, depth 2.54 V^0.63 (K/q)^0.45, for the run that " +
			"wets the roots through; m, m³, m/s, m³/s",
		Inputs: []Input{
			planned("texture", w.Texture, r.Row.Plot.Decl.Soil.Texture.Span),
			seen("K, how fast water enters", t.speed(s.Conductivity), s.ConductivitySource),
			seen("width seen", t.short(s.WetDiameter.Low)+" to "+t.short(s.WetDiameter.High), s.WetSource),
			seen("shallowest roots", t.long(w.Roots), "the crop table"),
			seen("tapes", strconv.Itoa(r.Tapes), origin(r.Row.Decl.Tapes.Given)),
		},
		Result: fmt.Sprintf("%s wide in a run of %s; emitters may stand %s apart", t.short(w.Across), OpenTime(w.Longest), t.short(w.Strip.Reach)),
		Source: "Schwartzman and Zur 1986, memory: a fit to a few soils, half as much again either way",
	}
	if w.Store > 0 {
		out.Inputs = append(out.Inputs, seen("held for the roots without stress",
			t.volume(w.Store*t.hundred())+" on "+t.long(t.hundred()), "FAO-56 Eq. 82 and 83, in the wetted strip"))
	}
	return out
}

// hundred is the length that rows are spoken of by: 100 ft, or 100 m.
func (t teller) hundred() float64 {
	if t.u == quantity.US {
		return 30.48
	}
	return 100
}

func (r *RowWater) whyHours(t teller, i int) Reckoning {
	w := r.Weeks[i]
	out := Reckoning{
		Title:    "Hours, " + t.week(r.Zone.water.Weeks[i]),
		Equation: "water of a planting / flow of its part of the tapes, most of its plantings",
		Result:   OpenTime(w.Time), Source: commonPractice,
	}
	for _, n := range r.Plantings {
		if at := i - n.First; n.Unknown == "" && at >= 0 && at < len(n.Weeks) {
			c := n.Planting.Decl
			out.Inputs = append(out.Inputs, Input{Name: c.Crop.Title(), Value: t.volume(n.Weeks[at].Need) + " on " + t.long(n.Area/n.Strip), Source: "see its Water", Span: c.Call})
		}
	}
	out.Inputs = append(out.Inputs, seen("flow of "+t.long(r.Row.Length), t.flow(r.Flow), "see Flow of the tapes"))
	return out
}
