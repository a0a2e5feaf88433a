package water

import "cmp"

// Volume gives the water in m3 to send out so that a depth in mm reaches the roots on an area in m2:
// depth / 1000 * area / efficiency. Efficiency is the share of the water sent that reaches them, with the
// system's evenness in it: about 0.9 for drip (Colorado State University Extension 5.623). Errors: negative
// depth or area, an efficiency outside 0 to 1 or 0.
func Volume(depth, area, efficiency float64) (float64, error) {
	err := cmp.Or(
		within("depth of water", depth, "mm", 0, 20_000, "count water in mm, none below 0"),
		within("area", area, "m2", 0, 1e10, "give the ground that the crop draws from"),
		above("efficiency", efficiency, "", 0, 1, "drip brings about 0.9 of its water to the roots"))
	if err != nil {
		return 0, err
	}
	return depth / 1000 * area / efficiency, nil
}
