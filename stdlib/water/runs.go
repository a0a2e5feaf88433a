package water

import (
	"cmp"
	"math"
)

// StripStore gives the water in m3 that each m of row may give up between waterings: available m3 of water in
// m3 of soil, to the depth of the roots and across the wetted width in m, times the share that may be drawn
// down (p of FAO-56, or half by common practice). Errors: numbers not above 0, available above 0.5, a share above 1.
func StripStore(available, depth, width, share float64) (float64, error) {
	err := cmp.Or(
		above("water available in the soil", available, "m3/m3", 0, 0.5, "soils hold 0.05 to 0.20; give the texture"),
		above("depth of the roots", depth, "m", 0, 10, "give the depth that the roots reach"),
		above("wetted width", width, "m", 0, 100, "give the width that the tapes wet"),
		above("share drawn down", share, "", 0, 1, "FAO-56 Table 22 has 0.2 to 0.7"))
	if err != nil {
		return 0, err
	}
	return available * depth * width * share, nil
}

// Watering is what one m of row needs, gets and holds.
type Watering struct {
	Need       float64 // m3 a day at the roots
	Flow       float64 // m3/s from all its tapes
	Efficiency float64 // share of the flow that reaches the roots
	Store      float64 // m3 that may be drawn down between waterings; see StripStore. Infinite when not known
	Longest    float64 // s that water may run before it leaves the roots; see RunToDepth. Infinite when not known
	MostDays   int     // between waterings, however much the soil holds
}

// Runs is when to open a valve, and for how long.
type Runs struct {
	Days    int     // from one watering day to the next; 0 when nothing is needed
	PerDay  int     // waterings on such a day: over 1 where the soil cannot hold a day's need
	Pulses  int     // that each watering is split in, with a rest between
	Pulse   float64 // s
	Opening float64 // s of a watering, all its pulses
	Volume  float64 // m3 that a watering sends out
	Drawn   float64 // m3 drawn down before a watering
}

// mostParts bounds the waterings of a day, and the pulses that a day's need is split in.
const mostParts = 1000

// Plan fits waterings to the soil: as many whole days apart as the store carries (at most MostDays), more than one a
// day where it does not carry a day, each in as many like pulses as keep every one within Longest. Errors:
// a negative need; flow, store, longest run or MostDays not above 0, or so small that a day's need would be cut in
// more than a thousand; an efficiency outside 0 to 1.
func (w Watering) Plan() (Runs, error) {
	atLeastSome := func(name string, v float64, unit, advice string) error {
		if math.IsInf(v, 1) {
			return nil
		}
		return above(name, v, unit, 0, math.Inf(1), advice)
	}
	err := cmp.Or(
		within("need of the row", w.Need, "m3 a day on each m", 0, 10, "count water in m3, none below 0"),
		above("flow of the tapes", w.Flow, "m3/s on each m", 0, 1, "take it from the tape's label"),
		above("efficiency", w.Efficiency, "", 0, 1, "drip brings about 0.9 of its water to the roots"),
		atLeastSome("store of the strip", w.Store, "m3 on each m", "give the soil, the roots and the wetted width"),
		atLeastSome("longest run", w.Longest, "s", "give the soil and the roots"),
		within("most days between waterings", float64(w.MostDays), "", 1, 366, "give a number of days"))
	if err != nil || w.Need == 0 {
		return Runs{}, err
	}
	if err := cmp.Or(
		within("store of the strip", w.Store, "m3 on each m", w.Need/mostParts, math.Inf(1), "water a wider strip or a deeper soil: a day's need would take over a thousand waterings"),
		within("longest run", w.Longest, "s", w.Need/w.Efficiency/w.Flow/mostParts, math.Inf(1), "take tape with less flow: a day's need would take over a thousand pulses"),
	); err != nil {
		return Runs{}, err
	}
	const rounding = 1e-9
	r := Runs{Days: 1, PerDay: 1}
	if days := math.Floor(w.Store/w.Need + rounding); days >= 1 {
		r.Days = int(min(days, float64(w.MostDays)))
	} else {
		r.PerDay = int(math.Ceil(w.Need/w.Store - rounding))
	}
	r.Drawn = w.Need * float64(r.Days) / float64(r.PerDay)
	r.Volume = r.Drawn / w.Efficiency
	r.Opening = r.Volume / w.Flow
	r.Pulses = max(1, int(math.Ceil(r.Opening/w.Longest-rounding)))
	r.Pulse = r.Opening / float64(r.Pulses)
	return r, nil
}
