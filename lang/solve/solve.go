// Package solve finds the nearest value that works: a spacing, a count or a place that mends a finding. In
// go facts and the bounds a rule sets; out comes a value that a grower would write in the
// farm's units, or false where nothing works.
//
// Values are rounded toward what still works: to half inches below 2 ft and whole inches beyond, or to
// whole centimeters; to quarter inches or millimeters only where nothing coarser lies within the
// bounds. A value put into the plan passes the rule that it was solved for.
package solve

import (
	"cmp"
	"math"
	"slices"

	"haulm/stdlib/quantity"
)

const inch = 0.0254

// tolerance is relative, as in placing: a value that stands on a bound is within it.
const tolerance = 1e-9

// Up gives the least length a grower would write that is no shorter than meters.
func Up(meters float64, units quantity.System) float64 {
	v, _ := within(meters, meters, math.Inf(1), units)
	return v
}

// Down gives the greatest length a grower would write that is no longer than meters; false when that
// would be nothing.
func Down(meters float64, units quantity.System) (float64, bool) {
	return within(meters, least, meters, units)
}

// least is the shortest length worth writing.
const least = 1e-3

// within gives the length nearest to the one wanted between low and high, as a grower would write it.
func within(want, low, high float64, units quantity.System) (float64, bool) {
	if !(low <= high+slack(high)) || math.IsNaN(want) || math.IsInf(want, 0) {
		return 0, false
	}
	steps := []float64{inch, inch / 2, inch / 4}
	switch {
	case units == quantity.Metric:
		steps = []float64{0.01, 0.001}
	case math.Abs(min(max(want, low), high)) < 24*inch*(1-tolerance):
		steps = steps[1:]
	}
	for _, step := range steps {
		n := math.Round(want / step)
		n = min(max(n, math.Ceil(low/step-slack(low/step))), math.Floor(high/step+slack(high/step)))
		if v := n * step; v >= low-slack(low) && v <= high+slack(high) {
			return v + 0, true // no negative zero
		}
	}
	return 0, false
}

func slack(v float64) float64 {
	if math.IsInf(v, 0) {
		return 0
	}
	return tolerance * max(1, math.Abs(v))
}

// span is an open interval that may not be used.
type span struct{ from, to float64 }

// nearest gives the place nearest to the one wanted between low and high and in none of the taken
// spans, which may be in any order and overlap; the lower one of two as near.
func nearest(want, low, high float64, taken []span, units quantity.System) (float64, bool) {
	slices.SortFunc(taken, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	best, found := 0.0, false
	try := func(from, to float64) {
		v, ok := within(want, max(from, low), min(to, high), units)
		if ok && (!found || math.Abs(v-want) < math.Abs(best-want)) {
			best, found = v, true
		}
	}
	free := math.Inf(-1)
	for _, s := range taken {
		if s.to <= s.from {
			continue
		}
		if s.from >= free {
			try(free, s.from)
		}
		free = max(free, s.to)
	}
	try(free, math.Inf(1))
	return best, found
}
