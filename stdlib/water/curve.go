package water

import (
	"cmp"
	"math"
)

// Curve is a crop coefficient over a planting's life: level at Initial, rising through the development
// stage, level at Mid, falling to End through the late stage. It serves single coefficients (Kc) and basal
// ones (Kcb) alike.
type Curve struct {
	Stages            Stages
	Initial, Mid, End float64
}

// Check holds the curve to what can be.
func (c Curve) Check() error {
	const advice = "crop coefficients lie between 0.1 and 1.3 in the published tables"
	return cmp.Or(c.Stages.check(),
		within("initial crop coefficient", c.Initial, "", 0, 2, advice),
		within("mid-season crop coefficient", c.Mid, "", 0, 2, advice),
		within("last crop coefficient", c.End, "", 0, 2, advice))
}

// At gives the coefficient at the end of a day counted from planting, 1 for the first (FAO-56 Eq. 66):
//
//	Kc = Kc before + (day - days before the stage) / length of the stage * (Kc next - Kc before)
//
// Before planting it is that of the first day, after the last stage that of the last.
func (c Curve) At(day float64) float64 {
	s := c.Stages
	day -= s.Initial
	switch {
	case day <= 0:
		return c.Initial
	case day < s.Development:
		return c.Initial + day/s.Development*(c.Mid-c.Initial)
	}
	day -= s.Development + s.Mid
	switch {
	case day <= 0:
		return c.Mid
	case day < s.Late:
		return c.Mid + day/s.Late*(c.End-c.Mid)
	}
	return c.End
}

// InClimate gives the curve with Mid and End brought from the tables' climate to another; see AdjustKc. An
// End below 0.45, of a crop left to dry, stays (FAO-56 Eq. 65).
func (c Curve) InClimate(wind, leastHumidity, height float64) (Curve, error) {
	var err error
	if c.Mid, err = AdjustKc(c.Mid, wind, leastHumidity, height); err != nil {
		return Curve{}, err
	}
	if c.End >= 0.45 {
		c.End, err = AdjustKc(c.End, wind, leastHumidity, height)
	}
	return c, err
}

// AdjustKc brings a mid-season or late crop coefficient, single or basal, from the climate of the tables (wind of
// 2 m/s, least relative humidity 45 %) to another (FAO-56 Eq. 62, 65 and 70):
//
//	Kc + (0.04 (u2 - 2) - 0.004 (RHmin - 45)) (h/3)^0.3
//
// Wind at 2 m in m/s, humidity in percent, crop height in m, means over the stage. FAO-56 limits them to
// 1 to 6 m/s, 20 to 80 % and 0.1 to 10 m; what lies outside counts as the limit. Errors: a negative or
// unknown number, a height of 0.
func AdjustKc(kc, wind, leastHumidity, height float64) (float64, error) {
	err := cmp.Or(
		within("crop coefficient", kc, "", 0, 2, "crop coefficients lie between 0.1 and 1.3 in the published tables"),
		within("wind speed", wind, "m/s", 0, 60, "take 2 m/s where nothing is known"),
		within("least relative humidity", leastHumidity, "%", 0, 100, "take 45 % where nothing is known"),
		above("height of the crop", height, "m", 0, 30, "give the height at full growth"))
	if err != nil {
		return 0, err
	}
	return kc + climateShift(wind, leastHumidity, height), nil
}

func climateShift(wind, leastHumidity, height float64) float64 {
	return (0.04*(clamp(wind, 1, 6)-2) - 0.004*(clamp(leastHumidity, 20, 80)-45)) *
		math.Pow(clamp(height, 0.1, 10)/3, 0.3)
}
