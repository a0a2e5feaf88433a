package crops

import (
	"math"
	"slices"
	"sort"
)

// cellGap is the width of the trial's steps, °C. A wider gap holds a temperature that was not tested,
// and nothing is read across it.
const cellGap = 5 + cellSlack

// cellSlack is how near a temperature is the cell's own, °C: conversions from °F leave less.
const cellSlack = 0.001

// DaysToEmerge gives the days from sowing to emergence at a soil temperature in °C, between the trial's
// cells linear in rate (1/days), where a cell that did not germinate has the rate 0. So the days grow
// without bound towards such a cell. It is not ok where the seed does not sprout, outside the tested
// temperatures, and next to a temperature that was not tested.
func (c *Crop) DaysToEmerge(celsius float64) (days float64, ok bool) {
	cells := c.Emergence
	at := slices.IndexFunc(cells, func(e Emergence) bool { return math.Abs(e.Celsius-celsius) <= cellSlack })
	if at >= 0 {
		return cells[at].Days, cells[at].Sprouts
	}
	above := sort.Search(len(cells), func(i int) bool { return cells[i].Celsius >= celsius })
	if above == 0 || above == len(cells) || cells[above].Celsius-cells[above-1].Celsius > cellGap {
		return 0, false
	}
	lo, hi := cells[above-1], cells[above]
	part := (celsius - lo.Celsius) / (hi.Celsius - lo.Celsius)
	rate := lo.rate()*(1-part) + hi.rate()*part
	if rate <= 0 {
		return 0, false
	}
	return 1 / rate, true
}

func (e Emergence) rate() float64 {
	if !e.Sprouts {
		return 0
	}
	return 1 / e.Days
}
