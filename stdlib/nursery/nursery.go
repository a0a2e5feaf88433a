// Package nursery says how much seed, how many cells, trays and pots a number of plants takes. In go counts and
// shares, out come counts; nothing here knows a plan. Days to emergence are the crop table's (stdlib/crops), for they
// are facts of the crop.
package nursery

import "math"

// hair is what a share may lose in floating point before a whole seed more is ordered.
const hair = 1e-9

// Seeds gives the seeds for a number of plants, each from one seed: plants / (germination × (1 − culls)), rounded up.
// Germination is the share of the seed that sprouts, culls the share of seedlings thrown out, both from 0 to 1. It is
// 0 where no seed sprouts or none is kept. Source: arithmetic.
func Seeds(plants int, germination, culls float64) int {
	return up(float64(plants) / (germination * (1 - culls)))
}

// Stand gives the share of cells with at least one seedling when so many seeds are sown in each: 1 − (1 − g)ⁿ, seeds
// sprouting independently of one another. Source: arithmetic.
func Stand(germination float64, perCell int) float64 {
	return 1 - math.Pow(1-germination, float64(max(perCell, 1)))
}

// Cells gives the cells to sow for a number of plants: plants × (1 + spare) / stand, rounded up, where spare is the
// share of seedlings raised beyond the plants and stand the share of cells that hold one. 0 where none does.
func Cells(plants int, stand, spare float64) int {
	return up(float64(plants) * (1 + spare) / stand)
}

// Trays gives the trays that hold so many cells; 0 for trays without cells.
func Trays(cells, perTray int) int {
	if perTray <= 0 || cells <= 0 {
		return 0
	}
	return (cells + perTray - 1) / perTray
}

func up(x float64) int {
	if math.IsNaN(x) || math.IsInf(x, 0) || x <= 0 || x > 1e12 {
		return 0
	}
	return int(math.Ceil(x - hair))
}
