package water

import "math"

// airPressure gives the pressure of the air in kPa at an elevation in m:
// P = 101.3 ((293 - 0.0065 z) / 293)^5.26 (FAO-56 Eq. 7).
func airPressure(elevation float64) float64 {
	return 101.3 * math.Pow((293-0.0065*elevation)/293, 5.26)
}

// psychrometric gives the psychrometric constant in kPa/°C at a pressure in kPa: 0.000665 P (FAO-56 Eq. 8).
func psychrometric(pressure float64) float64 { return 0.665e-3 * pressure }

// saturation gives the vapor pressure of saturated air in kPa at a temperature in °C:
// e0 = 0.6108 exp(17.27 T / (T + 237.3)) (FAO-56 Eq. 11).
func saturation(celsius float64) float64 {
	return 0.6108 * math.Exp(17.27*celsius/(celsius+237.3))
}

// saturationSlope gives the slope of that curve in kPa/°C: 4098 e0 / (T + 237.3)^2 (FAO-56 Eq. 13).
func saturationSlope(celsius float64) float64 {
	return 4098 * saturation(celsius) / ((celsius + 237.3) * (celsius + 237.3))
}

// windAt2 brings a wind speed measured at a height in m over short grass down to 2 m:
// u2 = uz 4.87 / ln(67.8 z - 5.42) (FAO-56 Eq. 47).
func windAt2(speed, height float64) float64 { return speed * 4.87 / math.Log(67.8*height-5.42) }
