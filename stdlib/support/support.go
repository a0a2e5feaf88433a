// Package support says what a trellis takes: posts, strings, twine, rails, clips, nets, and when plants are high
// enough for each string. In go lengths in m and counts, out come lengths, counts and days; nothing here knows a plan.
// What is usual for a style stands with its source in usual.csv.
package support

import "math"

// hair is what a length may lose in floating point, m.
const hair = 1e-6

// Stakes gives the stakes of a line of plants with one between every so many of them and one at either end:
// ⌈plants / between⌉ + 1. Source: common practice; it agrees with a stake every 5 ft of a 100 ft row, 21, where plants
// stand at 30 in and two share a bay.
func Stakes(plants, between int) int {
	if plants <= 0 || between <= 0 {
		return 0
	}
	return (plants+between-1)/between + 1
}

// Posts gives the posts of a length with one at either end and no two farther apart than the spacing: ⌈length /
// spacing⌉ + 1. Source: arithmetic.
func Posts(length, spacing float64) int {
	if !(length > 0) || !(spacing > 0) || length/spacing > 1e6 {
		return 0
	}
	return int(math.Ceil((length-hair)/spacing)) + 1
}

// Levels gives the strings one above the other from the first one's height on, none of them above the top: ⌊(top −
// first) / interval⌋ + 1, heights in m. Source: arithmetic.
func Levels(top, first, interval float64) int {
	if !(top >= first-hair) || !(interval > 0) || (top-first)/interval > 1e4 {
		return 0
	}
	return int(math.Floor((top-first)/interval+hair)) + 1
}

// Twine gives the twine of a stake and weave in m: each level runs along both faces of the row and once around every
// stake on each of them, levels × 2 × (length + stakes × wrap). Source: arithmetic on the way it is strung.
func Twine(levels int, length float64, stakes int, wrap float64) float64 {
	return float64(levels) * 2 * (length + float64(stakes)*wrap)
}

// Rail gives the pieces that a rail is made of, in m: whole lengths of stock and a rest, so that it is joined at one
// place fewer than there are pieces.
func Rail(length, stock float64) []float64 {
	if !(length > 0) || !(stock > 0) || length/stock > 1e6 {
		return nil
	}
	var pieces []float64
	for length > hair {
		piece := math.Min(length, stock)
		pieces = append(pieces, piece)
		length -= piece
	}
	return pieces
}

// CageDiameter gives the diameter of a cage rolled from a length of mesh, both in m: length / π.
func CageDiameter(mesh float64) float64 { return mesh / math.Pi }

// Growth is how high a plant stands day by day: it stands still at its first height for some days, then grows evenly
// to its full height on the day that it is full grown (common practice; growers string staked tomatoes every 8 in
// about weekly, which is this line for a plant 6 ft high in 10 weeks).
type Growth struct {
	First, Full  float64 // heights, m
	Still, Grown float64 // days from planting
}

// Height gives the height on a day from planting, m.
func (g Growth) Height(day float64) float64 {
	switch {
	case day <= g.Still || g.Grown <= g.Still:
		return g.First
	case day >= g.Grown:
		return g.Full
	}
	return g.First + (g.Full-g.First)*(day-g.Still)/(g.Grown-g.Still)
}

// Day gives the first whole day from planting on which the plant stands that high; false when it never does.
func (g Growth) Day(height float64) (int, bool) {
	switch {
	case height <= g.First+hair:
		return 0, true
	case height > g.Full+hair || g.Grown <= g.Still:
		return 0, false
	}
	return int(math.Ceil(g.Still + (g.Grown-g.Still)*(height-g.First)/(g.Full-g.First) - hair)), true
}
