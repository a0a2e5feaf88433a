package derive

import "haulm/stdlib/water"

// cover is the share of a full stand's use that a young row on drip draws. Tape wets only a strip, so between
// young plants the ground is dry and loses nothing; as their leaves close over it the share grows to 1.
type cover struct {
	whole    bool    // all the ground is wetted, as by rain or sprinklers: the share is 1 throughout
	from, to float64 // days: when the initial stage ends, and the development
	wet      float64 // share of the ground that the tapes wet
}

// usualWet is the share of the ground that drip wets where the soil is not known: the middle of the 0.3 to
// 0.4 of FAO-56 Table 20.
const usualWet = 0.35

// Shares of the ground under leaves at the end of the initial stage (FAO-56 chapter 6: 10 %) and of the
// development: full cover, which CoverFactor reckons from 0.85 on.
const youngCover, fullCover = 0.1, 0.85

// newCover fits the cover to the planting's curve and to the width that its tapes wet: the wetted share of
// the ground is the least, for it dries whether or not leaves shade it (FAO-56 Eq. 60).
func (n *PlantingWater) newCover() cover {
	r := n.Planting.Row.Water
	if r.Zone == nil {
		return cover{whole: true}
	}
	s := n.Curve.Stages
	c := cover{from: s.Initial, to: s.Initial + s.Development, wet: usualWet}
	if r.Wetting != nil {
		c.wet = min(1, r.Wetting.Across/n.Strip)
	}
	return c
}

// at gives the share on a day counted from planting, 1 for the first.
func (c cover) at(day float64) float64 {
	if c.whole || day >= c.to {
		return 1
	}
	covered := youngCover
	if day > c.from {
		covered += (fullCover - youngCover) * (day - c.from) / (c.to - c.from)
	}
	share, err := water.CoverFactor(covered)
	if err != nil {
		return 1
	}
	return max(c.wet, share)
}
