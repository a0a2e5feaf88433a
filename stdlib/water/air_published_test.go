package water

import (
	"math"
)

// day is the weather of a row.
func (g given) day() (Place, int, Day) {
	d := Unmeasured(g.n("tmin"), g.n("tmax"))
	d.VaporPressure, d.RHMost, d.RHLeast, d.RHMiddle = g.or("ea"), g.or("rhmax"), g.or("rhmin"), g.or("rhmean")
	d.Wind, d.WindHeight, d.Sunshine = g.or("u"), g.or("height"), g.or("n")
	place, j := Place{}, 1
	if g.has("lat") {
		place.Latitude, j = g.n("lat"), int(g.n("j"))
	}
	if g.has("elevation") {
		place.Elevation = g.n("elevation")
	}
	return place, j, d
}

func (g given) air() air {
	place, j, d := g.day()
	return d.complete(place, extraterrestrial(radians(place.Latitude), j), daylight(radians(place.Latitude), j))
}

// penman works a whole day by Penman-Monteith.
func (g given) penman() Reference {
	place, j, d := g.day()
	ground := 0.0
	if g.has("tbefore") {
		ground = groundHeat(g.n("t"), g.n("tbefore"))
	}
	r, err := penmanMonteith(place, j, d, ground)
	if err != nil {
		g.t.Fatal(err)
	}
	return r
}

// seaLevel gives the short and long wave radiation of a row without an elevation.
func (g given) seaLevel() (short, long float64) {
	lat, j := radians(g.n("lat")), int(g.n("j"))
	ra := extraterrestrial(lat, j)
	rs := sunshineRadiation(g.n("n"), daylight(lat, j), ra)
	return shortWave(rs), longWave(g.n("tmin"), g.n("tmax"), g.n("ea"), rs, clearShare(0)*ra)
}

var airChecks = map[string]func(given) float64{
	"air pressure":           func(g given) float64 { return airPressure(g.n("z")) },
	"psychrometric constant": func(g given) float64 { return psychrometric(airPressure(g.n("z"))) },
	"saturation":             func(g given) float64 { return saturation(g.n("t")) },
	"slope":                  func(g given) float64 { return saturationSlope(g.n("t")) },
	"black body":             func(g given) float64 { return blackBody(g.n("t")) },
	"wind at 2 m":            func(g given) float64 { return windAt2(g.n("u"), g.n("z")) },
	"sun distance":           func(g given) float64 { return sunDistance(int(g.n("j"))) },
	"declination":            func(g given) float64 { return declination(int(g.n("j"))) },
	"sunset angle":           func(g given) float64 { return sunsetAngle(radians(g.n("lat")), int(g.n("j"))) },
	"Ra":                     func(g given) float64 { return ok(g)(ExtraterrestrialRadiation(g.n("lat"), int(g.n("j")))) },
	"daylight":               func(g given) float64 { return ok(g)(Daylight(g.n("lat"), int(g.n("j")))) },
	// An inequality holds when what lies on the right side of it counts as met.
	"daylight above": func(g given) float64 { return min(18, ok(g)(Daylight(g.n("lat"), int(g.n("j"))))) },
	"daylight below": func(g given) float64 { return max(6, ok(g)(Daylight(g.n("lat"), int(g.n("j"))))) },

	"mean saturation": func(g given) float64 { _, _, d := g.day(); return d.saturated() },
	"vapor pressure":  func(g given) float64 { return g.air().ea },
	"vapor deficit":   func(g given) float64 { _, _, d := g.day(); return d.saturated() - g.air().ea },

	"Rs from sunshine": func(g given) float64 {
		lat, j := radians(g.n("lat")), int(g.n("j"))
		return sunshineRadiation(g.n("n"), daylight(lat, j), extraterrestrial(lat, j))
	},
	"Rs from temperature": func(g given) float64 { return g.air().rs },
	"Rnl at sea level":    func(g given) float64 { _, long := g.seaLevel(); return long },
	"Rn at sea level":     func(g given) float64 { short, long := g.seaLevel(); return short - long },

	"day slope": func(g given) float64 { return g.penman().Energy.Slope },
	"day gamma": func(g given) float64 { return g.penman().Energy.Psychrometric },
	"day P":     func(g given) float64 { return g.penman().Energy.Pressure },
	"day u2":    func(g given) float64 { return g.penman().Wind },
	"day es":    func(g given) float64 { return g.penman().Energy.Saturated },
	"day ea":    func(g given) float64 { return g.penman().Energy.Actual },
	"day RHmin": func(g given) float64 { return g.penman().RHLeast },
	"day Ra":    func(g given) float64 { return g.penman().Extraterrestrial },
	"day N":     func(g given) float64 { return g.penman().Daylight },
	"day Rs":    func(g given) float64 { return g.penman().Energy.Sun },
	"day Rso":   func(g given) float64 { return g.penman().Energy.ClearSun },
	"day Rns":   func(g given) float64 { return g.penman().Energy.Short },
	"day Rnl":   func(g given) float64 { return g.penman().Energy.Long },
	"day Rn":    func(g given) float64 { return g.penman().Energy.Net },
	"day G":     func(g given) float64 { return g.penman().Energy.Ground },
	"day ETo":   func(g given) float64 { return g.penman().ET },

	"Hargreaves": func(g given) float64 {
		place, j, d := g.day()
		r, err := ReferenceET(place, j, d)
		if err != nil || r.Method != "Hargreaves-Samani" {
			return math.NaN()
		}
		return r.ET
	},
}
