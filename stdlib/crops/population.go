package crops

import "haulm/stdlib/quantity"

// PlantsPerAcre gives the plants on one acre of rows at the spacings in m: 43 560 square feet over the
// ground of one plant. It is infinite where a spacing is 0.
func PlantsPerAcre(inRow, betweenRows float64) float64 {
	acre, _ := quantity.UnitNamed("acre")
	return acre.SI / (inRow * betweenRows)
}
