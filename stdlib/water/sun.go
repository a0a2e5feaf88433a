package water

import (
	"cmp"
	"math"
	"time"
)

// Daylight gives the hours from sunrise to sunset: N = 24 ws / pi (FAO-56 Eq. 34), 0 in polar night and 24
// under the midnight sun. Latitude in degrees, north positive, from -90 to 90; day of the year from 1 to
// 366. The sun is a point and the air does not bend its light, so an almanac's day is some minutes longer.
func Daylight(latitude float64, dayOfYear int) (float64, error) {
	if err := checkSun(latitude, dayOfYear); err != nil {
		return 0, err
	}
	return daylight(radians(latitude), dayOfYear), nil
}

// ExtraterrestrialRadiation gives the sun's energy on a level surface at the top of the air, in MJ/m2 for
// the day (FAO-56 Eq. 21):
//
//	Ra = (24*60/pi) Gsc dr (ws sin(lat) sin(decl) + cos(lat) cos(decl) sin(ws)), Gsc = 0.0820 MJ/m2/min
//
// Arguments as for Daylight; 0 in polar night. In winter beyond 55 degrees it is only an estimate (FAO-56,
// memory).
func ExtraterrestrialRadiation(latitude float64, dayOfYear int) (float64, error) {
	if err := checkSun(latitude, dayOfYear); err != nil {
		return 0, err
	}
	return extraterrestrial(radians(latitude), dayOfYear), nil
}

func checkSun(latitude float64, dayOfYear int) error {
	return cmp.Or(
		within("latitude", latitude, "degrees", -90, 90, "give the farm's latitude, north positive"),
		within("day of the year", float64(dayOfYear), "", 1, 366, "count from 1 on the first of January"))
}

func radians(degrees float64) float64 { return degrees * math.Pi / 180 }

// sunDistance is the inverse relative distance of the sun: dr = 1 + 0.033 cos(2 pi J / 365) (FAO-56 Eq. 23).
func sunDistance(dayOfYear int) float64 {
	return 1 + 0.033*math.Cos(2*math.Pi*float64(dayOfYear)/365)
}

// declination of the sun in radians: 0.409 sin(2 pi J / 365 - 1.39) (FAO-56 Eq. 24).
func declination(dayOfYear int) float64 {
	return 0.409 * math.Sin(2*math.Pi*float64(dayOfYear)/365-1.39)
}

// sunsetAngle in radians: arccos(-tan(lat) tan(decl)) (FAO-56 Eq. 25). Beyond the polar circles the
// argument leaves [-1, 1] and is held there: the sun then does not rise, or does not set.
func sunsetAngle(latitude float64, dayOfYear int) float64 {
	return math.Acos(clamp(-math.Tan(latitude)*math.Tan(declination(dayOfYear)), -1, 1))
}

func daylight(latitude float64, dayOfYear int) float64 {
	return 24 / math.Pi * sunsetAngle(latitude, dayOfYear)
}

func extraterrestrial(latitude float64, dayOfYear int) float64 {
	const solarConstant = 0.0820
	ws, decl := sunsetAngle(latitude, dayOfYear), declination(dayOfYear)
	ra := 24 * 60 / math.Pi * solarConstant * sunDistance(dayOfYear) *
		(ws*math.Sin(latitude)*math.Sin(decl) + math.Cos(latitude)*math.Cos(decl)*math.Sin(ws))
	return max(0, ra) // rounding can leave a hair below nothing in polar night
}

// noonSun gives the sun's height over the horizon at noon, in radians: 90 degrees less the angle between
// latitude and declination.
func noonSun(latitude float64, dayOfYear int) float64 {
	return math.Pi/2 - math.Abs(latitude-declination(dayOfYear))
}

// midMonth gives the day of the year that stands for a month: INT(30.4 M - 15) (FAO-56 Annex 2).
func midMonth(month time.Month) int { return int(30.4*float64(month) - 15) }
