package derive

import (
	"math"

	"haulm/lang/farm"
	"haulm/stdlib/season"
)

// AtOnce is the most nitrogen that a feeding may put on a planting in one application, kg/m2, and the declaration that says
// so: the smaller of the feeding's own limit and that of the need. The limit is +Inf and the declaration None's where
// neither gives one.
func (n *PlantingFeeding) AtOnce(feed *farm.Feed) (limit float64, said farm.Amount) {
	limit = math.Inf(1)
	for _, a := range [...]farm.Amount{feed.AtOnce, n.once} {
		if a.Given && a.Value.SI < limit {
			limit, said = a.Value.SI, a
		}
	}
	return limit, said
}

// room is what a limit leaves for a day on which something may be fed already.
func (n *PlantingFeeding) room(limit float64, day season.Date) float64 {
	if math.IsInf(limit, 1) {
		return limit
	}
	return max(0, limit-n.OnDay(day))
}

// OnDay is the nitrogen fed on a day, kg/m2, at the middle of what becomes available.
func (n *PlantingFeeding) OnDay(day season.Date) float64 {
	sum := 0.0
	for _, d := range n.Doses {
		if d.Day == day {
			sum += d.nitrogen()
		}
	}
	return sum
}

// nitrogen on each area, kg/m2, at the middle of what becomes available.
func (d *Dose) nitrogen() float64 {
	low, high := d.Gives()
	return (low.N + high.N) / 2 / d.Area
}

// dressingStep is how many days lie between dressings that a limit makes necessary (common practice).
const dressingStep = 14

// nextDressing is the day of another dressing after one; None when the season has no room for it.
func (p *Planting) nextDressing(day season.Date) season.Date {
	if !day.IsSet() || !p.Plant.IsSet() {
		return season.None
	}
	next := max(day.Add(dressingStep), p.Plant.Add(settled))
	if p.LastHarvest.IsSet() && next > p.LastHarvest.Add(-lastDressing) {
		return season.None
	}
	return next
}

// Dressings gives the days on which so much nitrogen, kg/m2, can go on in applications of no more than the limit, the first
// on the day given; short tells that the season has no room for all of it.
func (n *PlantingFeeding) Dressings(amount, limit float64, day season.Date) (days []season.Date, short bool) {
	for left := amount; left > tolerance && len(days) < mostDressings; left -= limit {
		if !day.IsSet() {
			return days, true
		}
		days = append(days, day)
		day = n.Planting.nextDressing(day)
	}
	return days, float64(len(days))*limit < amount-tolerance
}
