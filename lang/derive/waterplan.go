package derive

import (
	"math"

	"haulm/stdlib/water"
)

// plan splits a week's time of the zone into openings. The row whose soil lasts shortest sets the days
// between, and the one whose roots are wetted through first the pulses; nil when no row's soil is known.
func (z *ZoneWater) plan(week int) *RunPlan {
	p := &RunPlan{}
	shortest, longest := math.Inf(1), math.Inf(1)
	for _, r := range z.Rows {
		if r.Weeks == nil || r.Weeks[week].Need == 0 || r.Wetting == nil || r.Wetting.Store == 0 {
			continue
		}
		runs, err := r.watering(week).Plan()
		if err != nil || runs.Days == 0 {
			continue
		}
		if lasts := float64(runs.Days) / float64(runs.PerDay); lasts < shortest {
			shortest = lasts
			p.Days, p.PerDay, p.Sets = runs.Days, runs.PerDay, r
		}
		if r.Wetting.Longest < longest {
			longest, p.Splits = r.Wetting.Longest, r
		}
	}
	if p.Sets == nil {
		return nil
	}
	p.Opening = z.Weeks[week].Time / 7 * float64(p.Days) / float64(p.PerDay)
	p.Pulses = max(1, int(math.Ceil(p.Opening/longest-tolerance)))
	p.Pulse = p.Opening / float64(p.Pulses)
	return p
}

// watering is what one m of the row needs and holds on a day of a week: of its plantings, the one that needs
// most.
func (r *RowWater) watering(week int) water.Watering {
	most := 0.0
	for _, n := range r.Plantings {
		if i := week - n.First; n.Unknown == "" && i >= 0 && i < len(n.Weeks) {
			most = max(most, n.Weeks[i].Net/1000*n.Strip/float64(n.Weeks[i].Days))
		}
	}
	return water.Watering{
		Need: most, Flow: r.Flow / r.Row.Length, Efficiency: r.Zone.Efficiency,
		Store: r.Wetting.Store, Longest: r.Wetting.Longest, MostDays: 7,
	}
}
