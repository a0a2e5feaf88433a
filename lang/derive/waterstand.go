package derive

import (
	"fmt"
	"math"
	"slices"
	"time"

	"haulm/lang/farm"
	"haulm/stdlib/season"
)

// believedYears is how far from the farm's year a planting is believed to stand.
const believedYears = 2

// standing finds the days that the plantings stand, and with them the Monday before the first and that after the last;
// the same day twice when none is known.
func standing(f *farm.Farm, block []PlantingWater, uses users) (from, to season.Date) {
	first, last := season.Date(math.MaxInt32), season.None
	year := f.Year.Value
	for i := range block {
		n := &block[i]
		p := n.Planting
		if year == 0 && p.Plant.IsSet() {
			year = p.Plant.Year()
		}
		if n.Unknown = n.days(year, uses.of(p.Decl.Crop)); n.Unknown == "" {
			first, last = min(first, n.from), max(last, n.to)
		}
	}
	if last == season.None {
		return 0, 0
	}
	return monday(first), monday(last-1) + 7
}

// monday gives the Monday of a day's week.
func monday(d season.Date) season.Date { return d.Monday() }

// days finds the days that the planting stands and the ground that it draws from; the reason when they are not
// known.
func (n *PlantingWater) days(year int, use *cropUse) string {
	p := n.Planting
	switch {
	case use.unknown != "":
		return use.unknown
	case !p.Placed():
		return "its spacing or its number is not known"
	case !p.Plant.IsSet():
		return "the plan gives no day on which it goes into the row"
	}
	n.from, n.to = p.Plant, p.Clear
	if !n.to.IsSet() {
		n.to, n.printed = later(p.Plant, int(math.Round(use.use.Stages.Days()))), true
	}
	switch {
	case n.to <= n.from:
		return "it is cleared before it is planted"
	case n.from.Year() < year-believedYears || n.to.Year() > year+believedYears:
		return fmt.Sprintf("it does not stand within %d years of %d", believedYears, year)
	}
	if n.Strip = p.strip(); n.Strip == 0 {
		return "the plan does not say how far apart the rows are"
	}
	n.Area = n.Strip * max(0, min(p.Owns.To, p.Row.Length)-max(p.Owns.From, 0))
	return ""
}

// missing lists the months in which plantings stand on days of which nothing is known.
func (t *thirst) missing(block []PlantingWater) []time.Month {
	more := make([]int, len(t.days)+1) // plantings than the day before
	for i := range block {
		if n := &block[i]; n.Unknown == "" {
			more[n.from-t.first]++
			more[n.to-t.first]--
		}
	}
	var out []time.Month
	alive := 0
	for i := range t.days {
		alive += more[i]
		if alive > 0 && math.IsNaN(t.days[i].et) {
			if m := t.first.Add(i).Month(); !slices.Contains(out, m) {
				out = append(out, m)
			}
		}
	}
	slices.Sort(out)
	return out
}
