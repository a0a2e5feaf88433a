package water

import (
	"cmp"
	"math"
)

// Place is where weather was measured.
type Place struct {
	Latitude  float64 // degrees, north positive
	Elevation float64 // m above the sea
	Coast     bool    // on the coast of a large body of water; matters where radiation must be estimated
	Arid      bool    // so dry that even the night does not bring dew; matters where humidity must be estimated
}

// Day is the weather of a day, or the mean day of a month. Least and Greatest are needed; all else may be
// NaN. Start from Unmeasured.
type Day struct {
	Least, Greatest float64 // temperature of the air, °C

	// Humidity: the first that is known counts, in the order FAO-56 prefers them; the greatest relative
	// humidity counts with the least one if both are known, else alone.
	VaporPressure             float64 // actual, kPa
	DewPoint                  float64 // °C
	RHMost, RHLeast, RHMiddle float64 // relative humidity, percent

	Wind       float64 // m/s
	WindHeight float64 // m at which it was measured; 2 when not known

	Radiation float64 // of the sun on the ground, MJ/m2
	Sunshine  float64 // hours of bright sun; counts where Radiation is not known
}

// Unmeasured is a day of which only the two temperatures are known.
func Unmeasured(least, greatest float64) Day {
	nan := math.NaN()
	return Day{
		Least: least, Greatest: greatest, VaporPressure: nan, DewPoint: nan, RHMost: nan, RHLeast: nan, RHMiddle: nan,
		Wind: nan, WindHeight: nan, Radiation: nan, Sunshine: nan,
	}
}

func known(v float64) bool { return !math.IsNaN(v) }

// onlyTemperature tells whether nothing but the two temperatures is known.
func (d Day) onlyTemperature() bool {
	for _, v := range []float64{d.VaporPressure, d.DewPoint, d.RHMost, d.RHMiddle, d.Wind, d.Radiation, d.Sunshine} {
		if known(v) {
			return false
		}
	}
	return true
}

func (d Day) mean() float64 { return (d.Least + d.Greatest) / 2 }

// saturated is the mean vapor pressure of saturated air over the day, kPa:
// es = (e0(Tmax) + e0(Tmin)) / 2 (FAO-56 Eq. 12).
func (d Day) saturated() float64 { return (saturation(d.Greatest) + saturation(d.Least)) / 2 }

// check holds what is known to what can be; ra is the radiation at the top of the air.
func (d Day) check(ra float64) error {
	errs := []error{
		within("least temperature", d.Least, "°C", -60, 60, "look at its unit in the weather record"),
		within("greatest temperature", d.Greatest, "°C", max(-60, d.Least), 60,
			"the day's greatest temperature cannot lie below its least; look at the order of the columns"),
	}
	optional := func(name string, v float64, unit string, low, high float64, advice string) {
		if known(v) {
			errs = append(errs, within(name, v, unit, low, high, advice))
		}
	}
	const percent = "relative humidity is counted in percent"
	optional("vapor pressure", d.VaporPressure, "kPa", 0, 10, "look at its unit; it is counted in kPa")
	optional("dew point", d.DewPoint, "°C", -60, 40, "look at its unit in the weather record")
	optional("greatest relative humidity", d.RHMost, "%", 1, 100, percent)
	optional("least relative humidity", d.RHLeast, "%", 1, 100, percent)
	optional("mean relative humidity", d.RHMiddle, "%", 1, 100, percent)
	optional("wind speed", d.Wind, "m/s", 0, 60, "look at its unit; it is counted in m/s")
	optional("height of the wind gauge", d.WindHeight, "m", 0.5, 200, "give the height over the ground at which the wind was measured")
	optional("sunshine", d.Sunshine, "h", 0, 24, "a day has 24 hours")
	optional("sun's radiation", d.Radiation, "MJ/m2", 0, ra, "no more than that reaches the top of the air on this day; look at its unit")
	return cmp.Or(errs...)
}

// air is a day's weather with the gaps filled, and what was taken in their place.
type air struct {
	ea, wind, rs, rso float64
	assumed           []string
}

// complete fills the gaps by FAO-56 chapter 3.
func (d Day) complete(place Place, ra, hours float64) air {
	a := air{rso: clearShare(place.Elevation) * ra}
	assume := func(text string) { a.assumed = append(a.assumed, text) }

	switch {
	case known(d.VaporPressure):
		a.ea = d.VaporPressure
	case known(d.DewPoint): // Eq. 14
		a.ea = saturation(d.DewPoint)
	case known(d.RHMost) && known(d.RHLeast): // Eq. 17
		a.ea = (saturation(d.Least)*d.RHMost + saturation(d.Greatest)*d.RHLeast) / 200
	case known(d.RHMost): // Eq. 18
		a.ea = saturation(d.Least) * d.RHMost / 100
	case known(d.RHMiddle): // Eq. 19
		a.ea = d.saturated() * d.RHMiddle / 100
	default: // Eq. 48
		a.ea = saturation(d.dew(place))
		if place.Arid {
			assume("dew point 2 °C below the least temperature (FAO-56 Eq. 48, dry climate)")
		} else {
			assume("dew point at the least temperature (FAO-56 Eq. 48)")
		}
	}

	if known(d.Wind) {
		a.wind = d.Wind
		if known(d.WindHeight) && d.WindHeight != 2 {
			a.wind = windAt2(d.Wind, d.WindHeight)
		}
	} else {
		a.wind = usualWind
		assume("wind of 2 m/s (FAO-56 chapter 3)")
	}
	a.wind = max(a.wind, leastWind)

	switch {
	case known(d.Radiation):
		a.rs = d.Radiation
	case known(d.Sunshine):
		a.rs = sunshineRadiation(min(d.Sunshine, hours), hours, ra)
	default:
		a.rs = min(a.rso, temperatureRadiation(d.Least, d.Greatest, ra, place.Coast))
		assume("sun's radiation from the span of temperature (FAO-56 Eq. 50)")
	}
	return a
}

// Wind at 2 m in m/s: what stands for an unknown one, and the least that the equation is used with, since
// even still air mixes over a warm crop (FAO-56 chapters 3 and 4).
const usualWind, leastWind = 2, 0.5

// dew estimates the dew point in °C from the least temperature (FAO-56 Eq. 48).
func (d Day) dew(place Place) float64 {
	if place.Arid {
		return d.Least - 2
	}
	return d.Least
}
