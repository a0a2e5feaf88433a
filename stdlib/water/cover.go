package water

import (
	"cmp"
	"math"
)

// CoverFactor gives the part of a full stand's use that a young or widely set drip-watered row draws, from
// the share of the ground that it shades at noon: min(1, cover / 0.85) (Keller and Karmeli, memory). Five
// such rules are in use and differ threefold at a cover of 0.1, where this one lies second lowest; SparseKcb
// is FAO-56's own answer. Error: a cover outside 0 to 1.
func CoverFactor(cover float64) (float64, error) {
	if err := within("cover", cover, "", 0, 1, "it is the shaded share of the ground"); err != nil {
		return 0, err
	}
	return min(1, cover/0.85), nil
}

// Canopy is a stand that does not close.
type Canopy struct {
	Cover         float64 // share of the ground under leaves, seen from above
	Height        float64 // m
	HeightToWidth float64 // of a row's leaves seen from its end
}

func (c Canopy) check() error {
	return cmp.Or(
		within("cover", c.Cover, "", 0, 1, "it is the shaded share of the ground"),
		within("height of the crop", c.Height, "m", 0, 30, "give the height of the day"),
		within("height of the leaves to their width", c.HeightToWidth, "", 0, 20, "it is about 1 for most rows"))
}

// EffectiveCover gives the share of the ground that rows shade at noon, when the sun stands b over the
// horizon: min(1, fc (1 + HWR / tan(b))) (FAO-56 Box 18, rows). Latitude in degrees, day of the year from 1.
func (c Canopy) EffectiveCover(latitude float64, dayOfYear int) (float64, error) {
	if err := cmp.Or(c.check(), checkSun(latitude, dayOfYear)); err != nil {
		return 0, err
	}
	sun := noonSun(radians(latitude), dayOfYear)
	if sun <= 0 {
		return 0, &OutOfRange{
			Name: "noon sun over the horizon", Value: sun, Unit: "rad", Low: 0, High: math.Inf(1), Above: true,
			Advice: "leave plantings out of the time when the sun does not rise",
		}
	}
	return min(1, c.Cover*(1+c.HeightToWidth/math.Tan(sun))), nil
}

// SparseKcb gives the basal coefficient of such a stand from that of a closed one of the same height and
// that of dry bare soil (0.15 to 0.20) (FAO-56 Eq. 98):
//
//	Kcb = KcMin + (full - KcMin) min(1, 2 fc, fceff^(1/(1 + h)))
//
// with the effective cover fceff of EffectiveCover and the height h in m.
func (c Canopy) SparseKcb(full, kcMin, effective float64) (float64, error) {
	err := cmp.Or(c.check(),
		within("effective cover", effective, "", 0, 1, "it is the share of the ground shaded at noon"),
		within("coefficient of dry bare soil", kcMin, "", 0, 2, "FAO-56 takes 0.15 to 0.20"),
		within("basal coefficient of a closed stand", full, "", kcMin, 2, "it lies between 0.8 and 1.2"))
	if err != nil {
		return 0, err
	}
	return kcMin + (full-kcMin)*min(1, 2*c.Cover, math.Pow(effective, 1/(1+c.Height))), nil
}

// ClosedKcb estimates the basal coefficient of a closed stand that no table has from its height in m, wind
// and humidity (FAO-56 Eq. 99 and 100): min(1.2, 1 + 0.1 h), shifted as in AdjustKc, whose units and limits
// hold.
func ClosedKcb(height, wind, leastHumidity float64) (float64, error) {
	return AdjustKc(min(1.2, 1+0.1*height), wind, leastHumidity, height)
}

// ThinStandKcb lowers the basal coefficient of a dense stand to one with gaps (FAO-56 Eq. 96):
// Kcb - (1 - sqrt(cover / dense)), not below 0. Covers are shares of the ground, cover at most dense.
func ThinStandKcb(kcb, cover, dense float64) (float64, error) {
	err := cmp.Or(
		within("basal coefficient", kcb, "", 0, 2, "it lies between 0.1 and 1.2 in the published tables"),
		above("cover of a dense stand", dense, "", 0, 1, "it is a share of the ground"),
		within("cover", cover, "", 0, dense, "a thin stand covers no more than a dense one"))
	if err != nil {
		return 0, err
	}
	return max(0, kcb-(1-math.Sqrt(cover/dense))), nil
}

// Neighbor is one of several crops that share the ground and its water.
type Neighbor struct {
	Share  float64 // of the ground, or of the row
	Height float64 // m
	Kc     float64
}

// MixedKc gives the coefficient of crops side by side (FAO-56 Eq. 104): the mean of theirs weighted with
// share times height. Errors: no crops, or none with share and height above 0.
func MixedKc(crops []Neighbor) (float64, error) {
	var sum, weight float64
	for _, n := range crops {
		err := cmp.Or(
			within("share of the ground", n.Share, "", 0, 1, "the shares of all crops sum to 1"),
			within("height of the crop", n.Height, "m", 0, 30, "give the height of the day"),
			within("crop coefficient", n.Kc, "", 0, 2, "it lies between 0.1 and 1.3 in the published tables"))
		if err != nil {
			return 0, err
		}
		weight += n.Share * n.Height
		sum += n.Share * n.Height * n.Kc
	}
	if err := above("share times height of all crops", weight, "m", 0, 30, "give at least one crop that stands there"); err != nil {
		return 0, err
	}
	return sum / weight, nil
}
