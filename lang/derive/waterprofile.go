package derive

import (
	"math"

	"haulm/stdlib/water"
)

// Profile gives the emitters along one tape of the row, from its head: all of them when most is 0, else evenly
// chosen ones, the first and the last among them. Empty when the row is not solved or no pressure stands at
// its head.
func (r *RowWater) Profile(most int) []water.Outlet {
	if r.Unsolved != "" || r.Zone == nil {
		return nil
	}
	all, err := r.lateral.Profile(r.Inlet, most)
	if err != nil {
		return nil
	}
	return all
}

// LongestTape gives the greatest length of the row's tape that reaches all its emitters and keeps an emission
// uniformity, with the pressure that now stands at its head: infinite when it is longer than a kilometer, 0
// when none does or the row is not solved. On falling ground a uniformity that is lost and comes again
// counts as lost.
func (r *RowWater) LongestTape(uniformity float64) float64 {
	if r.Unsolved != "" || r.Zone == nil {
		return 0
	}
	const kilometer = 1000
	l := r.lateral
	length := func(emitters int) float64 { return l.First + (float64(emitters)-0.5)*l.Spacing }
	keeps := func(emitters int) bool {
		l.Length = length(emitters)
		run, err := l.Run(r.Inlet)
		return err == nil && run.EU >= 100*uniformity
	}
	good, bad := 0, 1
	for keeps(bad) {
		if good = bad; length(good) > kilometer {
			return math.Inf(1)
		}
		bad *= 2
	}
	for bad-good > 1 {
		if mid := (good + bad) / 2; keeps(mid) {
			good = mid
		} else {
			bad = mid
		}
	}
	if good == 0 {
		return 0
	}
	return length(good)
}

// EUWith gives the emission uniformity that the row would have with a tape of another inside diameter, from the
// pressure that now stands at its head: 0 when that cannot be told.
func (r *RowWater) EUWith(diameter float64) float64 {
	if r.Unsolved != "" || r.Zone == nil {
		return 0
	}
	l := r.lateral
	l.Diameter = diameter
	run, err := l.Run(r.Inlet)
	if err != nil {
		return 0
	}
	return run.EU / 100
}
