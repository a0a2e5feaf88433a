package derive

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// roll is the length of a roll of tape as small farms buy it, 1,000 ft (common practice).
const roll = 1000 * 0.3048

// fineFlow is the emitter flow in m3/s up to which a filter of 200 mesh is asked, about 0.15 gph: the lowest
// class of tape (common practice); others take 150 mesh (Clemson HGIC, drip irrigation part 5: 150, some 200).
const fineFlow = 0.15 * 3.785411784e-3 / 3600

// addParts lists what the zones that bring water are made of: zone by zone, then the tape, then what stands at
// the sources.
func (w *Water) addParts(u quantity.System) {
	for _, z := range w.Zones {
		if z.Unsolved == "" {
			w.Parts = append(w.Parts, z.parts(u)...)
		}
	}
	w.addTapes(u)
	for _, s := range w.Sources {
		w.addHead(s)
	}
}

func (z *ZoneWater) parts(u quantity.System) []Part {
	tapes, slit := 0, false
	for _, r := range z.Rows {
		if r.Unsolved == "" {
			tapes += r.Tapes
			slit = r.Cut.MustClear
		}
	}
	part := func(kind PartKind, count int, name, why string) Part {
		return Part{Zone: z, Kind: kind, Count: count, Name: name, For: why}
	}
	sleeve := "over the folded end of every tape"
	if slit {
		sleeve += ", where the fold holds no emitter"
	}
	out := []Part{
		part(CouplingPart, tapes, "coupling from pipe to tape, with shutoff", "at the head of every tape, so that a row that needs no water can be shut"),
		part(EndPart, tapes, "sleeve, cut from the tape", sleeve),
		part(ValvePart, 1, "valve", "opens the zone"),
	}
	out = append(out, z.pipePart(u, z.Supply, "from the source to the rows")...)
	out = append(out, z.pipePart(u, z.Header, "along the rows' heads")...)
	if set := z.Decl.Regulator; given(&set, quantity.Pressure) > 0 {
		out = append(out, part(RegulatorPart, 1, "pressure regulator, "+u.Format(set.Value), "keeps the tape from bursting; where the supply meets the rows"))
	}
	return append(out, part(AirVentPart, 1, "air and vacuum vent",
		"at the zone's highest point: lets air in when the valve shuts, so that emitters do not suck soil in"))
}

func (z *ZoneWater) pipePart(u quantity.System, run Run, why string) []Part {
	if run.Pipe == nil {
		return nil
	}
	p := run.Pipe
	return []Part{{
		Zone: z, Kind: PipePart, Count: 1, Length: p.Length.Value.SI, For: why,
		Name: fmt.Sprintf("%s pipe, %s inside", p.Material.Value, u.Short(p.InsideDiameter.Value)),
	}}
}

// addTapes adds the rolls of every kind of tape, and the couplings that join pieces of rows longer than a roll.
func (w *Water) addTapes(u quantity.System) {
	var kinds []*farm.DripTape
	cuts, zones := map[*farm.DripTape][]float64{}, map[*farm.DripTape][]string{}
	for _, z := range w.Zones {
		if z.Unsolved != "" {
			continue
		}
		t := z.Decl.Tape
		if cuts[t] == nil {
			kinds = append(kinds, t)
		}
		for _, r := range z.Rows {
			if r.Unsolved == "" {
				for range r.Tapes {
					cuts[t] = append(cuts[t], r.Cut.Length)
				}
			}
		}
		zones[t] = append(zones[t], z.Decl.Name.Value)
	}
	for _, t := range kinds {
		name := fmt.Sprintf("drip tape, %s between emitters, %s", u.Short(t.EmitterSpacing.Value), u.Format(t.Flow.Value))
		why := "zone " + zones[t][0]
		if len(zones[t]) > 1 {
			why = "zones " + strings.Join(zones[t], ", ")
		}
		total := 0.0
		for _, c := range cuts[t] {
			total += c
		}
		rolls, joints := rollsFor(cuts[t])
		w.Parts = append(w.Parts, Part{Kind: TapePart, Count: rolls, Length: total, Name: name, For: why})
		if joints > 0 {
			w.Parts = append(w.Parts, Part{Kind: CouplingPart, Count: joints, Name: "coupling from tape to tape", For: "in rows longer than a roll"})
		}
	}
}

// rollsFor gives the rolls that the cuts take when the longest are cut first, each from the first roll that still
// holds it, and the joints in cuts longer than a roll.
func rollsFor(cuts []float64) (rolls, joints int) {
	cuts = slices.Clone(cuts)
	slices.SortFunc(cuts, func(a, b float64) int { return cmp.Compare(b, a) })
	var left []float64 // on each roll begun
	for i := 0; i < len(cuts); {
		length := cuts[i]
		same := i
		for same < len(cuts) && cuts[same] == length {
			same++
		}
		n := same - i
		i = same
		if whole := math.Floor(length / roll); whole > 0 {
			rolls += n * int(whole)
			if length -= whole * roll; length <= 0 {
				joints += n * int(whole-1)
				continue
			}
			joints += n * int(whole)
		}
		for r := 0; n > 0; r++ {
			if r == len(left) {
				left = append(left, roll)
			}
			for n > 0 && left[r] >= length {
				left[r] -= length
				n--
			}
		}
	}
	return rolls + len(left), joints
}

// addHead adds what stands at a source that has a working zone.
func (w *Water) addHead(s *SourceWater) {
	finest, works := math.Inf(1), false
	for _, z := range s.Zones {
		if z.Unsolved == "" {
			works = true
			finest = min(finest, z.Decl.Tape.Flow.Value.SI*z.Decl.Tape.EmitterSpacing.Value.SI)
		}
	}
	if !works {
		return
	}
	mesh := 150
	if finest <= fineFlow {
		mesh = 200
	}
	name := s.Decl.Name.Value
	backflow := "backflow preventer, of the kind that the local code asks for"
	if kind := s.Decl.Backflow.Value; s.Decl.Backflow.Given && kind != "none" {
		backflow = kind
	}
	w.Parts = append(w.Parts,
		Part{Source: s, Kind: FilterPart, Count: 1, Name: fmt.Sprintf("filter, %d mesh", mesh), For: "at " + name + ": keeps grit out of the emitters"},
		Part{Source: s, Kind: BackflowPart, Count: 1, Name: backflow, For: "at " + name + ": keeps water of the field from running back"})
}
