package season

import (
	"math"
	"time"
)

// Normals are a year's twelve monthly means, January first, in any one unit; NaN where a month is not
// known.
type Normals [12]float64

// On gives the value to expect at noon of a day: each month's mean stands at the middle of the month, and
// between two middles the value runs in a straight line, from December into January too (common
// practice). NaN when the day lies between a known month and an unknown one, or has no date.
func (n Normals) On(d Date) float64 {
	if !d.IsSet() {
		return math.NaN()
	}
	year, month := d.Year(), d.Month()
	noon := float64(d) + 0.5
	from, to := middle(year, month), middle(year, month+1)
	if noon < from {
		month--
		from, to = middle(year, month), from
	}
	before, after := n[index(month)], n[index(month+1)]
	if noon == from {
		return before
	}
	return before + (after-before)*(noon-from)/(to-from)
}

// middle gives the middle of a month in days since the first moment of 1970; months run on over the
// ends of the year.
func middle(year int, month time.Month) float64 {
	return float64(On(year, month, 1)+On(year, month+1, 1)) / 2
}

// index gives the place of month 0 (December before), 1 to 12, or 13 (January after).
func index(month time.Month) int { return (int(month) + 11) % 12 }
