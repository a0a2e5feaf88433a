package water

import (
	"cmp"
	"fmt"
	"math"
)

// Reference is what a short green grass, well watered, would use: the measure of the weather's thirst.
type Reference struct {
	ET      float64  // mm a day
	Method  string   // "FAO-56 Penman-Monteith" or "Hargreaves-Samani"
	Assumed []string // what stands for what was not measured, with its source

	Temperature      float64 // mean, °C
	Wind             float64 // at 2 m, m/s
	RHLeast          float64 // least relative humidity of the day, percent, measured or from the dew point
	Extraterrestrial float64 // radiation at the top of the air, MJ/m2
	Daylight         float64 // hours
	Energy           *Energy // the terms of Penman-Monteith; nil for Hargreaves-Samani
}

// Energy holds the terms of the Penman-Monteith equation.
type Energy struct {
	Pressure      float64 // of the air, kPa
	Psychrometric float64 // kPa/°C
	Slope         float64 // of the saturation curve, kPa/°C
	Saturated     float64 // vapor pressure of saturated air, kPa
	Actual        float64 // vapor pressure, kPa
	Sun           float64 // Rs, MJ/m2
	ClearSun      float64 // Rso, MJ/m2
	Short         float64 // Rns, MJ/m2
	Long          float64 // Rnl, MJ/m2
	Net           float64 // Rn, MJ/m2
	Ground        float64 // G, MJ/m2
}

// ReferenceET gives the reference evapotranspiration of a day by Penman-Monteith, or by Hargreaves-Samani
// when nothing but the temperatures is known. See both.
func ReferenceET(place Place, dayOfYear int, day Day) (Reference, error) {
	return reference(place, dayOfYear, day, 0)
}

func reference(place Place, dayOfYear int, day Day, ground float64) (Reference, error) {
	if day.onlyTemperature() {
		return HargreavesSamani(place, dayOfYear, day)
	}
	return penmanMonteith(place, dayOfYear, day, ground)
}

// PenmanMonteith gives the reference evapotranspiration of a day in mm (FAO-56 Eq. 6):
//
//	ETo = (0.408 D (Rn - G) + g 900/(T + 273) u2 (es - ea)) / (D + g (1 + 0.34 u2))
//
// with D the slope of the saturation curve and g the psychrometric constant in kPa/°C, Rn the net radiation
// and G the heat into the ground in MJ/m2 (0 over a day, Eq. 42), T the mean temperature in °C, u2 the wind
// at 2 m in m/s, es - ea the vapor pressure deficit in kPa. What was not measured is filled in by FAO-56
// chapter 3 and named in Assumed. Errors: a value that cannot be, a latitude beyond 90 degrees, a day on
// which the sun does not rise.
func PenmanMonteith(place Place, dayOfYear int, day Day) (Reference, error) {
	return penmanMonteith(place, dayOfYear, day, 0)
}

func penmanMonteith(place Place, dayOfYear int, day Day, ground float64) (Reference, error) {
	r, err := sunned(place, dayOfYear, day)
	if err != nil {
		return Reference{}, err
	}
	a := day.complete(place, r.Extraterrestrial, r.Daylight)
	r.Method, r.Assumed, r.Wind = "FAO-56 Penman-Monteith", a.assumed, a.wind

	e := &Energy{
		Pressure: airPressure(place.Elevation), Slope: saturationSlope(r.Temperature),
		Saturated: day.saturated(), Actual: min(a.ea, day.saturated()), Sun: a.rs, ClearSun: a.rso, Ground: ground,
	}
	e.Psychrometric = psychrometric(e.Pressure)
	e.Short = shortWave(e.Sun)
	e.Long = longWave(day.Least, day.Greatest, e.Actual, e.Sun, e.ClearSun)
	e.Net = e.Short - e.Long
	r.Energy = e
	if !known(day.RHLeast) {
		r.RHLeast = leastHumidity(e.Actual, day.Greatest)
	}

	r.ET = max(0, (evaporated*e.Slope*(e.Net-e.Ground)+
		e.Psychrometric*900/(r.Temperature+273)*r.Wind*(e.Saturated-e.Actual))/
		(e.Slope+e.Psychrometric*(1+0.34*r.Wind)))
	return r, nil
}

// HargreavesSamani gives the reference evapotranspiration of a day in mm from temperature alone (FAO-56
// Eq. 52):
//
//	ETo = 0.0023 (Tmean + 17.8) sqrt(Tmax - Tmin) 0.408 Ra
//
// with temperatures in °C and Ra in MJ/m2. It tends low in wind and high in damp air,
// and serves periods of five days and more better than single days (memory). Errors as for PenmanMonteith.
func HargreavesSamani(place Place, dayOfYear int, day Day) (Reference, error) {
	r, err := sunned(place, dayOfYear, day)
	if err != nil {
		return Reference{}, err
	}
	r.Method, r.Wind = "Hargreaves-Samani", usualWind
	if known(day.Wind) {
		r.Wind = day.complete(place, r.Extraterrestrial, r.Daylight).wind
	}
	if !known(day.RHLeast) {
		r.RHLeast = leastHumidity(saturation(day.dew(place)), day.Greatest)
	}
	r.ET = max(0, 0.0023*(r.Temperature+17.8)*math.Sqrt(day.Greatest-day.Least)*evaporated*r.Extraterrestrial)
	return r, nil
}

// leastHumidity estimates the least relative humidity of a day in percent from the vapor pressure, which
// hardly changes in a day, at its warmest hour: 100 ea / e0(Tmax) (FAO-56 Eq. 63 and 64).
func leastHumidity(ea, greatest float64) float64 {
	return min(100, 100*ea/saturation(greatest))
}

// sunned checks a day and gives what follows from its date, place and temperatures.
func sunned(place Place, dayOfYear int, day Day) (Reference, error) {
	err := cmp.Or(
		within("elevation", place.Elevation, "m", -430, 6000, "give the farm's height above the sea"),
		checkSun(place.Latitude, dayOfYear))
	if err != nil {
		return Reference{}, err
	}
	latitude := radians(place.Latitude)
	r := Reference{
		Temperature: day.mean(), RHLeast: day.RHLeast,
		Extraterrestrial: extraterrestrial(latitude, dayOfYear), Daylight: daylight(latitude, dayOfYear),
	}
	if err := day.check(r.Extraterrestrial); err != nil {
		return Reference{}, err
	}
	if r.Extraterrestrial < leastSun {
		return Reference{}, fmt.Errorf("the sun hardly rises at latitude %.4g degrees on day %d of the year, %.2g MJ/m2 in all; "+
			"reference evapotranspiration needs %.2g MJ/m2: leave plantings out of that time", place.Latitude, dayOfYear, r.Extraterrestrial, leastSun)
	}
	return r, nil
}

// leastSun is the energy in MJ/m2 a day below which the equations have nothing to work with: a few minutes
// of sun on the horizon.
const leastSun = 0.01
