package feature

import (
	"math"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// counterpart is the planting of last year's plans that a planting goes on from: of the same crop, rather of the same
// variety, rather on its ground, in its plot, at its time of year; without one of its crop, the one that had most of
// its ground; nil for none.
func (p *Plan) counterpart(now *derive.Planting) *derive.Planting {
	var best *derive.Planting
	var why [5]float64 // the greater the better, the first before the next
	for _, e := range p.lastPlans() {
		part := map[*derive.Planting]float64{}
		for _, s := range e.On(now) {
			part[s.Planting] = s.Part
		}
		for _, then := range e.Facts().Plantings {
			isSame := strings.EqualFold(then.Decl.Crop.Name, now.Decl.Crop.Name)
			if !isSame && part[then] == 0 {
				continue
			}
			w := [5]float64{
				yes(isSame), yes(isSame && then.Decl.Crop.Variety == now.Decl.Crop.Variety), part[then],
				yes(strings.EqualFold(then.Row.Plot.Decl.Name.Value, now.Row.Plot.Decl.Name.Value)), -daysApart(then, now),
			}
			if best == nil || slices.Compare(w[:], why[:]) > 0 {
				best, why = then, w
			}
		}
	}
	return best
}

func yes(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// daysApart is how many days of the year lie between two plantings' days.
func daysApart(a, b *derive.Planting) float64 {
	if !a.Plant.IsSet() || !b.Plant.IsSet() {
		return 366
	}
	return math.Abs(float64(a.Plant.YearDay() - b.Plant.YearDay()))
}

// mostTargets bounds the plantings of one call, in a loop, that are looked for in last year's plan.
const mostTargets = 50

// Declaration leads from a planting to its place in last year's plan: to the call of plant or sow, or of the plan's own
// helper, that made the planting of the same crop there, else the one that had most of its ground. It works that plan
// out if need be.
func (d *Doc) Declaration(at source.Point) []source.Span {
	if len(d.Plan.lastPlans()) == 0 {
		return nil
	}
	var spans []source.Span
	for _, p := range d.plantingsAt(at) {
		then := d.Plan.counterpart(p)
		if then == nil {
			continue
		}
		call := then.Decl.Call
		if n := len(then.Decl.Chain); n > 0 {
			call = then.Decl.Chain[n-1] // of the helper: what that calls is the same for many
		}
		if call.IsValid() && !slices.Contains(spans, call) {
			spans = append(spans, call)
		}
	}
	return spans
}

// plantingsAt are the plantings that a name stands for, else those that the innermost call around a place made.
func (d *Doc) plantingsAt(at source.Point) []*derive.Planting {
	part, offset := d.Part(at), d.File.Offset(at)
	var things []Thing
	if tok, _, _ := part.tokenAt(offset); tok.Kind == syntax.Word {
		things = d.namesAt(part, offset).things(part.text(tok))
	}
	found := plantingsOf(things)
	for _, c := range slices.Backward(part.Calls()) {
		if len(found) > 0 {
			break
		}
		if d.File.Offset(c.Span.Start) <= offset && offset <= d.File.Offset(c.Span.End) {
			then, _ := d.Evaluated(c.Span)
			found = plantingsOf(d.Plan.Things(then))
		}
	}
	return found[:min(len(found), mostTargets)]
}

func plantingsOf(things []Thing) []*derive.Planting {
	var list []*derive.Planting
	for _, t := range things {
		if t.Planting != nil {
			list = append(list, t.Planting)
		}
	}
	return list
}
