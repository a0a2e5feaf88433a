package derive

import (
	"cmp"
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/season"
)

// setDates works the planting's days out from the plan's, the crop's and, for a crop with degree days, the site's
// warmth; a day that hangs on something unknown stays None. The first frost ends the harvest of what it kills.
func (p *Planting) setDates(seasons *Seasons, w *warmth) {
	d := p.Decl
	p.Sow, p.Plant, p.FirstHarvest, p.LastHarvest, p.Clear = season.None, season.None, season.None, season.None, season.None
	p.warm = nil
	r := p.Record
	if d.On.Given {
		p.Plant = d.On.Value
	}
	if r != nil && r.Planted != nil {
		p.Plant = r.Planted.On.Value
	}
	switch {
	case p.direct():
		p.Sow = p.Plant
	case r != nil && r.Sown != nil:
		p.Sow = r.Sown.On.Value
	case d.SownOn.Given:
		p.Sow = d.SownOn.Value
	case r != nil && r.Planned.Sow.IsSet():
		p.Sow = r.Planned.Sow // a late planting was sown all the same
	default:
		if days, ok := trayDays(d.Crop); ok {
			p.Sow = later(p.Plant, -days)
		}
	}
	if !p.ripen(w) {
		if m := p.maturity(); m.ok {
			p.FirstHarvest = later(p.Plant, m.days)
		}
	}
	firstPicked, lastPicked := r.pickedDays()
	if firstPicked.IsSet() {
		p.FirstHarvest = firstPicked
	}
	if days, ok := p.harvestDays(); ok {
		p.LastHarvest = later(p.FirstHarvest, days)
		p.frosted = p.endsIn(seasons)
		p.Clear = later(p.LastHarvest, 1)
	}
	if until := p.clearedOn(); until.IsSet() {
		p.Clear = until
		switch {
		case !p.FirstHarvest.IsSet():
		case p.Clear <= p.FirstHarvest:
			p.LastHarvest = season.None
		case !p.LastHarvest.IsSet() || p.LastHarvest >= p.Clear:
			p.LastHarvest = p.Clear - 1
		}
	}
	if lastPicked.IsSet() && (lastPicked > p.LastHarvest || r.Cleared != nil && lastPicked < p.Clear) {
		p.LastHarvest = lastPicked
		if p.Clear.IsSet() && p.Clear <= lastPicked && r.Cleared == nil {
			p.Clear = lastPicked + 1
		}
	}
}

// clearedOn is the day on which the row is cleared where that is recorded or the plan says so; None otherwise.
func (p *Planting) clearedOn() season.Date {
	switch {
	case p.Record != nil && p.Record.Cleared != nil:
		return p.Record.Cleared.On.Value
	case p.Decl.Until.Given:
		return p.Decl.Until.Value
	}
	return season.None
}

// direct tells whether the planting begins in the row: sown there, or set as cloves, seed pieces or slips of
// a crop that is never set out as plants,
// unless the plan sows it in a tray.
func (p *Planting) direct() bool {
	c := p.Decl.Crop
	return p.Decl.Direct || c.Direct && !c.Transplant && p.Decl.Tray == nil
}

// endsIn ends the harvest on the first frost where that kills the crop while it is picked, and tells so.
func (p *Planting) endsIn(seasons *Seasons) bool {
	if !p.Decl.Crop.Frost.Kills() || !p.LastHarvest.IsSet() || !seasons.Known() {
		return false
	}
	frost := seasons.Of(p.Plant).FirstFrost
	if !frost.IsSet() || p.FirstHarvest > frost || p.LastHarvest <= frost {
		return false
	}
	p.LastHarvest = frost
	return true
}

// maturity is the days from planting day to first harvest and where they come from.
type maturity struct {
	days  int
	given bool         // by the planting
	from  *crops.Range // the crop's value, when not given
	shift int          // days added to it to count from planting day: negative takes the tray's gain off
	ok    bool
}

// gain is what days in the tray save in the row: two thirds of them, for a plant grows slowly in its cell
// and stands still after it is set out. The crops of the table that state both bases save 0.64 to 0.71
// of their days in the tray (head lettuce, Swiss chard, Chinese cabbage).
func gain(trayDays int) int { return int(math.Round(float64(trayDays) * 2 / 3)) }

// maturity looks for the planting's own days, then for the crop's on the same footing (from setting
// out, or from seed), then for the other, less or plus what the days in the tray gain.
func (p *Planting) maturity() maturity {
	d := p.Decl
	if d.Maturity.Given {
		return maturity{days: d.Maturity.Value, given: true, ok: sane(float64(d.Maturity.Value))}
	}
	own, other := &d.Crop.MaturityTransplant, &d.Crop.MaturitySeed
	if p.direct() {
		own, other = other, own
	}
	if days, ok := middle(own); ok {
		return maturity{days: days, from: own, ok: true}
	}
	days, ok := middle(other)
	tray, okTray := trayDays(d.Crop)
	if !p.direct() && p.Sow.IsSet() && p.Plant.IsSet() {
		tray, okTray = p.Plant.DaysSince(p.Sow), true
	}
	if !ok || !okTray {
		return maturity{}
	}
	shift := -gain(tray)
	if p.direct() {
		shift = gain(tray)
	}
	return maturity{days: days + shift, from: other, shift: shift, ok: sane(float64(days + shift))}
}

func (p *Planting) harvestDays() (int, bool) {
	if h := p.Decl.Harvest; h.Given {
		return h.Value, sane(float64(h.Value))
	}
	return middle(&p.Decl.Crop.HarvestDays)
}

// middle of a range of days, whole.
func middle(r *crops.Range) (int, bool) {
	if !r.Known() || !sane(r.Mid()) {
		return 0, false
	}
	return int(math.Round(r.Mid())), true
}

// trayDays are the days from sowing in a tray to setting out, by the middle of the crop's range.
func trayDays(c *farm.Crop) (int, bool) {
	if !c.TrayWeeks.Known() || !sane(c.TrayWeeks.Mid()*7) {
		return 0, false
	}
	return int(math.Round(c.TrayWeeks.Mid() * 7)), true
}

// sane days are those of a crop's life; more or less is a slip of the plan.
func sane(days float64) bool { return days >= 0 && days <= 36525 }

// later gives the date so many days on, None when the date is.
func later(d season.Date, days int) season.Date {
	if !d.IsSet() {
		return season.None
	}
	return d.Add(days)
}

// sooner gives the earlier of two dates, the known one when only one is.
func sooner(a, b season.Date) season.Date {
	if !a.IsSet() || b.IsSet() && b < a {
		return b
	}
	return a
}

// occupied gives the first day the planting stands in its row and the first day it no longer does.
// An unknown day is the beginning or the end of time: the place is taken all season.
func (p *Planting) occupied() (in, out season.Date) {
	in, out = p.Plant, p.Clear // None is the earliest date there is
	if !out.IsSet() {
		out = math.MaxInt32
	}
	return in, out
}

// Overlaps tells whether the two stand in the ground at the same time, if only for a day.
func (p *Planting) Overlaps(q *Planting) bool {
	in, out := p.occupied()
	qIn, qOut := q.occupied()
	return in < qOut && qIn < out
}

// Meets tells whether the two rows ever stand in the ground at the same time. An unplanted row always
// does: it is there to be planted.
func (r *Row) Meets(other *Row) bool {
	var t timeline
	return t.meet(r, other)
}

// timeline compares the times of whole rows, keeping its scratch.
type timeline struct{ stands []stand }

type stand struct {
	in, out season.Date
	left    bool
}

// meet tells whether the rows stand in the ground at the same time: any of their plantings do, or
// either is unplanted.
func (t *timeline) meet(left, right *Row) bool {
	if len(left.Plantings) == 0 || len(right.Plantings) == 0 || left.Plantings[0].Overlaps(right.Plantings[0]) {
		return true
	}
	t.stands = t.stands[:0]
	for _, p := range left.Plantings {
		in, out := p.occupied()
		t.stands = append(t.stands, stand{in, out, true})
	}
	for _, p := range right.Plantings {
		in, out := p.occupied()
		t.stands = append(t.stands, stand{in, out, false})
	}
	slices.SortFunc(t.stands, func(a, b stand) int { return cmp.Compare(a.in, b.in) })
	// By the day they go in, one overlaps an earlier one of the other row when it goes in before the
	// last of those is out.
	leftOut, rightOut := season.None, season.None
	for _, s := range t.stands {
		if s.out <= s.in {
			continue
		}
		if s.left {
			if s.in < rightOut {
				return true
			}
			leftOut = max(leftOut, s.out)
		} else {
			if s.in < leftOut {
				return true
			}
			rightOut = max(rightOut, s.out)
		}
	}
	return false
}
