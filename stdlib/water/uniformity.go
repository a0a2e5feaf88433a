package water

import (
	"cmp"
	_ "embed"
	"math"

	"haulm/stdlib/table"
)

// EmissionUniformity gives the design emission uniformity in percent (ASABE EP405.1):
//
//	EU = 100 (1 - 1.27 Cv / sqrt(n)) qmin / qmean
//
// with the emitters' coefficient of variation Cv, n emitters to a plant (at least 1), and the least and mean
// emitter flow in one unit as pressure alone makes them. Errors: a mean flow not above 0, a least one above
// the mean or below 0, fewer than one emitter.
func EmissionUniformity(spread, perPlant, least, mean float64) (float64, error) {
	err := cmp.Or(
		checkEmitter(0, spread),
		within("number of emitters to a plant", perPlant, "", 1, math.Inf(1), "count 1 where plants share emitters"),
		above("mean emitter flow", mean, "m3/s", 0, math.Inf(1), "let water reach the emitters"),
		within("least emitter flow", least, "m3/s", 0, mean*(1+1e-9), "it cannot exceed the mean"))
	if err != nil {
		return 0, err
	}
	return uniformity(spread, perPlant, least, mean), nil
}

func uniformity(spread, perPlant, least, mean float64) float64 {
	return max(0, 100*(1-1.27*spread/math.Sqrt(perPlant))*least/mean)
}

//go:embed uniformity.csv
var uniformityCSV string

// RecommendedEU gives the emission uniformity in percent that ASABE EP405.1 recommends for drip lines with
// emitters along a row (memory), on ground that rises or falls by so many m on each m, or is uneven.
func RecommendedEU(slope float64, uneven bool) Range {
	classes := table.Read("uniformity.csv", uniformityCSV)
	for _, r := range classes {
		if !uneven && math.Abs(slope) <= r.Number("slope_most", 0) {
			return pair(r, "eu")
		}
	}
	return pair(classes[len(classes)-1], "eu")
}
