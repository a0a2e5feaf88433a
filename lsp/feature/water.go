package feature

import (
	"math"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// waterFacts are the facts of the last evaluation; nil when the plan has none.
func (d *Doc) waterFacts() *derive.Water {
	if d.Plan == nil || d.Plan.Facts == nil {
		return nil
	}
	return d.Plan.Facts.Water
}

// zoneFacts are those of one zone; nil when there are none.
func (d *Doc) zoneFacts(z *farm.Zone) *derive.ZoneWater {
	if w := d.waterFacts(); w != nil {
		return w.Zone(z)
	}
	return nil
}

// sourceFacts are those of one source; nil when there are none.
func (d *Doc) sourceFacts(s *farm.WaterSource) *derive.SourceWater {
	if w := d.waterFacts(); w != nil {
		for _, facts := range w.Sources {
			if facts.Decl == s {
				return facts
			}
		}
	}
	return nil
}

// flows tells whether a zone's flow is known.
func flows(z *derive.ZoneWater) bool {
	return z.Unsolved == "" && z.Group != nil && z.Group.Unsolved == ""
}

// rowFlows tells whether a row's flow is known.
func rowFlows(r *derive.Row) bool {
	w := r.Water
	return w != nil && w.Zone != nil && w.Unsolved == "" && flows(w.Zone)
}

func (d *Doc) flowText(v float64) string   { return d.units().Format(quantity.Of(v, quantity.Flow)) }
func (d *Doc) volumeText(v float64) string { return d.units().Format(quantity.Of(v, quantity.Volume)) }

// even says how evenly water comes out: "94.9 % even".
func (d *Doc) even(share float64) string {
	return d.units().Format(quantity.Of(math.Round(share*1000)/1000, quantity.Ratio)) + " even"
}

// ofAll says a part of a whole with their unit once, where they share it: "2.66 of 11 gpm".
func ofAll(part, whole string) string {
	if cut := strings.LastIndexByte(whole, ' '); cut >= 0 {
		part = strings.TrimSuffix(part, whole[cut:])
	}
	return part + " of " + whole
}

// ofSource sets what a zone, with those that are open together with it, takes against what its source gives.
func (d *Doc) ofSource(z *derive.ZoneWater) string {
	given := d.units().Format(z.Source.Decl.Flow.Value)
	switch g := z.Group; {
	case g.Limited && len(g.Zones) > 1:
		return "with others wants " + ofAll(d.flowText(g.Wants), given)
	case g.Limited:
		return "wants " + ofAll(d.flowText(g.Wants), given)
	case len(g.Zones) > 1:
		return d.flowText(z.Flow) + ", with others " + ofAll(d.flowText(g.Flow), given)
	}
	return ofAll(d.flowText(z.Flow), given)
}

// neediest is the week in which things together need most water.
type neediest struct {
	known bool    // the need of at least one of them is
	week  int     // in Water.Weeks; -1 when rain brings it all
	need  float64 // to be sent out in that week, m3
}

// needOf finds the neediest week from what each thing needs in a week; a thing without a known need gives
// ok false.
func (d *Doc) needOf(things int, need func(thing, week int) (m3 float64, ok bool)) neediest {
	best := neediest{week: -1}
	w := d.waterFacts()
	if w == nil {
		return best
	}
	for week := range w.Weeks {
		sum := 0.0
		for i := range things {
			m3, ok := need(i, week)
			sum += m3
			best.known = best.known || ok
		}
		if sum > best.need*(1+1e-9) {
			best.week, best.need = week, sum
		}
	}
	return best
}

// plantingNeed is what plantings need together.
func (d *Doc) plantingNeed(list []*derive.Planting) neediest {
	return d.needOf(len(list), func(i, week int) (float64, bool) {
		n := list[i].Water
		if n == nil || n.Unknown != "" {
			return 0, false
		}
		if week -= n.First; week < 0 || week >= len(n.Weeks) {
			return 0, true
		}
		return n.Weeks[week].Need, true
	})
}

// zoneNeed is what the rows of zones need together.
func (d *Doc) zoneNeed(list []*derive.ZoneWater) neediest {
	return d.needOf(len(list), func(i, week int) (float64, bool) {
		if len(list[i].Weeks) == 0 {
			return 0, false
		}
		return list[i].Weeks[week].Need, true
	})
}

// needText says it: "263 gal, week of Jul 12"; "" when it is not known.
func (d *Doc) needText(n neediest) string {
	switch {
	case !n.known:
		return ""
	case n.week < 0:
		return "rain is enough"
	}
	return d.volumeText(n.need) + ", week of " + d.day(d.waterFacts().Weeks[n.week])
}

// needing is needText in a row of other words: "needs 263 gal, week of Jul 12".
func (d *Doc) needing(n neediest) string {
	text := d.needText(n)
	if n.week >= 0 && text != "" {
		text = "needs " + text
	}
	return text
}
