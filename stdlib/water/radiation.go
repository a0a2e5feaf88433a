package water

import "math"

// evaporated is the depth of water in mm that 1 MJ/m2 evaporates, at a latent heat of 2.45 MJ/kg (FAO-56
// Table 3 and Eq. 6).
const evaporated = 0.408

// sunshineRadiation gives the sun's energy that reaches the ground, MJ/m2 a day, from hours of bright
// sunshine: Rs = (0.25 + 0.50 n/N) Ra (FAO-56 Eq. 35).
func sunshineRadiation(hours, daylight, ra float64) float64 { return (0.25 + 0.50*hours/daylight) * ra }

// temperatureRadiation estimates it from the day's span of temperature: Rs = k sqrt(Tmax - Tmin) Ra, k 0.16
// inland and 0.19 on a coast (FAO-56 Eq. 50).
func temperatureRadiation(low, high, ra float64, coast bool) float64 {
	k := 0.16
	if coast {
		k = 0.19
	}
	return k * math.Sqrt(high-low) * ra
}

// clearShare is the part of Ra that reaches the ground under a clear sky at an elevation in m:
// 0.75 + 0.00002 z (FAO-56 Eq. 37).
func clearShare(elevation float64) float64 { return 0.75 + 2e-5*elevation }

// shortWave gives what a green crop keeps of Rs: (1 - 0.23) Rs (FAO-56 Eq. 38).
func shortWave(rs float64) float64 { return (1 - 0.23) * rs }

// blackBody gives sigma T^4 in MJ/m2 a day at a temperature in °C; FAO-56 takes 273.16 here (Table 2.8).
func blackBody(celsius float64) float64 { return 4.903e-9 * math.Pow(celsius+273.16, 4) }

// longWave gives the net heat that ground and crop send out, MJ/m2 a day (FAO-56 Eq. 39):
//
//	Rnl = mean(sigma Tmax^4, sigma Tmin^4) (0.34 - 0.14 sqrt(ea)) (1.35 Rs/Rso - 0.35), Rs/Rso <= 1
func longWave(low, high, ea, rs, rso float64) float64 {
	return (blackBody(high) + blackBody(low)) / 2 * (0.34 - 0.14*math.Sqrt(ea)) * (1.35*min(1, rs/rso) - 0.35)
}
