package derive

import (
	"fmt"
	"math"

	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// roll is the length of a roll of tape as small farms buy it, 1,000 ft (common practice).
const roll = 1000 * 0.3048

// fineFlow is the emitter flow in m3/s up to which a filter of 200 mesh is asked, about 0.15 gph: the lowest
// class of tape (common practice); others take 150 mesh (Clemson HGIC, drip irrigation part 5: 150, some 200).
const fineFlow = 0.15 * 3.785411784e-3 / 3600

// Uses lists what the zones that bring water are made of: zone by zone, then the tape, then what stands at the
// sources.
func (w *Water) Uses() []Use {
	var all []Use
	for _, z := range w.Zones {
		if z.Unsolved == "" {
			all = append(all, z.uses(w.units)...)
		}
	}
	all = append(all, w.tapeUses()...)
	for _, s := range w.Sources {
		all = append(all, s.uses()...)
	}
	return all
}

func (z *ZoneWater) uses(u quantity.System) []Use {
	tapes, slit := 0, false
	for _, r := range z.Rows {
		if r.Unsolved == "" {
			tapes += r.Tapes
			slit = r.Cut.MustClear
		}
	}
	by := z.begins()
	use := func(kind WareKind, count int, name, why string) Use {
		return Use{Ware: Ware{Kind: kind, Name: name}, Amount: pieces(count), By: by, For: why, Where: Item{Zone: z}}
	}
	sleeve := "over the folded end of every tape"
	if slit {
		sleeve += ", where the fold holds no emitter"
	}
	out := []Use{
		use(CouplingWare, tapes, "coupling from pipe to tape, with shutoff", "at the head of every tape, so that a row that needs no water can be shut"),
		use(EndWare, tapes, "sleeve, cut from the tape", sleeve),
		use(ValveWare, 1, "valve", "opens the zone"),
	}
	out = append(out, z.pipeUse(u, z.Supply, "from the source to the rows")...)
	out = append(out, z.pipeUse(u, z.Header, "along the rows' heads")...)
	if set := z.Decl.Regulator; given(&set, quantity.Pressure) > 0 {
		out = append(out, use(RegulatorWare, 1, "pressure regulator, "+u.Format(set.Value), "keeps the tape from bursting; where the supply meets the rows"))
	}
	return append(out, use(AirVentWare, 1, "air and vacuum vent",
		"at the zone's highest point: lets air in when the valve shuts, so that emitters do not suck soil in"))
}

// begins is the first day that a planting of the zone goes in; None when no day is known.
func (z *ZoneWater) begins() season.Date {
	first := season.None
	for _, r := range z.Rows {
		for _, p := range r.Row.Plantings {
			first = sooner(first, p.Plant)
		}
	}
	return first
}

func (z *ZoneWater) pipeUse(u quantity.System, run Run, why string) []Use {
	if run.Pipe == nil {
		return nil
	}
	p := run.Pipe
	return []Use{{
		Ware:   Ware{Kind: PipeWare, Name: fmt.Sprintf("%s pipe, %s inside", p.Material.Value, u.Short(p.InsideDiameter.Value))},
		Amount: quantity.Meters(p.Length.Value.SI), By: z.begins(), For: why, Where: Item{Zone: z},
	}}
}

// tapeUses gives each zone's tape, cut row by row, and the couplings that join pieces of rows longer than a roll.
func (w *Water) tapeUses() []Use {
	var out []Use
	joints := 0
	for _, z := range w.Zones {
		if z.Unsolved != "" {
			continue
		}
		t := z.Decl.Tape
		use := Use{
			Ware: Ware{
				Kind: TapeWare, Of: t, Pack: quantity.Meters(roll), PackName: "roll",
				Name: fmt.Sprintf("drip tape, %s between emitters, %s", w.units.Short(t.EmitterSpacing.Value), w.units.Format(t.Flow.Value)),
			},
			By: z.begins(), For: "along the rows", Where: Item{Zone: z},
		}
		total := 0.0
		for _, r := range z.Rows {
			if r.Unsolved == "" {
				for range r.Tapes {
					use.Cuts = append(use.Cuts, r.Cut.Length)
					total += r.Cut.Length
				}
			}
		}
		use.Amount = quantity.Meters(total)
		out = append(out, use)
		joints += jointsIn(use.Cuts, roll)
	}
	if joints > 0 {
		out = append(out, Use{Ware: Ware{Kind: CouplingWare, Name: "coupling from tape to tape"}, Amount: pieces(joints), By: season.None, For: "in rows longer than a roll"})
	}
	return out
}

// uses gives what stands at a source that has a working zone.
func (s *SourceWater) uses() []Use {
	finest, by := math.Inf(1), season.None
	for _, z := range s.Zones {
		if z.Unsolved == "" {
			by = sooner(by, z.begins())
			finest = min(finest, z.Decl.Tape.Flow.Value.SI*z.Decl.Tape.EmitterSpacing.Value.SI)
		}
	}
	if math.IsInf(finest, 1) {
		return nil
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
	return []Use{
		{Ware: Ware{Kind: FilterWare, Name: fmt.Sprintf("filter, %d mesh", mesh)}, Amount: pieces(1), By: by, For: "at " + name + ": keeps grit out of the emitters"},
		{Ware: Ware{Kind: BackflowWare, Name: backflow}, Amount: pieces(1), By: by, For: "at " + name + ": keeps water of the field from running back"},
	}
}
