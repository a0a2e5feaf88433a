package labor

import "math"

// Heat is how great the danger of heat is for people at work outdoors in the shade.
type Heat uint8

const (
	// HeatLower is a heat index under 91 °F.
	HeatLower Heat = iota
	// HeatModerate is 91 °F and more.
	HeatModerate
	// HeatHigh is 103 °F and more.
	HeatHigh
	// HeatVeryHigh is above 115 °F.
	HeatVeryHigh
)

func (h Heat) String() string {
	return [...]string{"lower", "moderate", "high", "very high"}[h]
}

// HeatOf gives the danger at a heat index in °F. Full sun adds up to 15 °F to the index, heavy work and heavy clothes
// their own. Where two bands of the source touch, at 103 °F, the more careful one holds. Source: OSHA, Using the
// Heat Index; the addition for sun from the National Weather Service (memory). Local rules come first.
func HeatOf(index float64) Heat {
	switch {
	case index > 115:
		return HeatVeryHigh
	case index >= 103:
		return HeatHigh
	case index >= 91:
		return HeatModerate
	}
	return HeatLower
}

// HeatIndex gives the heat index in °F of the air in the shade at a temperature in °F and a relative humidity in
// percent.
//
// Rothfusz's regression where it gives 80 °F or more, with the National Weather Service's two adjustments, for air
// under 13 % from 80 to 112 °F and for air over 85 % from 80 to 87 °F; below, half of
// T + 61 + 1.2 (T − 68) + 0.094 R, averaged with T. The regression is off by up to 1.3 °F. Source: L. P. Rothfusz,
// The Heat Index Equation, National Weather Service technical attachment SR 90-23 (1990), and the adjustments of the
// Weather Prediction Center's page; the coefficients are from memory and are held against the service's chart by
// the tests.
func HeatIndex(fahrenheit, humidity float64) float64 {
	t, r := fahrenheit, math.Max(0, math.Min(100, humidity))
	if simple := (t + 61 + 1.2*(t-68) + 0.094*r) / 2; (simple+t)/2 < 80 {
		return (simple + t) / 2
	}
	index := -42.379 + 2.04901523*t + 10.14333127*r - 0.22475541*t*r - 0.00683783*t*t - 0.05481717*r*r +
		0.00122874*t*t*r + 0.00085282*t*r*r - 0.00000199*t*t*r*r
	switch {
	case r < 13 && t >= 80 && t <= 112:
		index -= (13 - r) / 4 * math.Sqrt((17-math.Abs(t-95))/17)
	case r > 85 && t >= 80 && t <= 87:
		index += (r - 85) / 10 * (87 - t) / 5
	}
	return index
}
