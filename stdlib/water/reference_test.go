package water

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawPlace(t *rapid.T) Place {
	return Place{
		Latitude: rapid.Float64Range(-60, 60).Draw(t, "latitude"), Elevation: rapid.Float64Range(-400, 4000).Draw(t, "elevation"),
		Coast: rapid.Bool().Draw(t, "coast"), Arid: rapid.Bool().Draw(t, "arid"),
	}
}

func drawDay(t *rapid.T) Day {
	least := rapid.Float64Range(-10, 30).Draw(t, "least")
	d := Unmeasured(least, least+rapid.Float64Range(0, 20).Draw(t, "span"))
	maybe := func(into *float64, low, high float64, name string) {
		if rapid.Bool().Draw(t, "has "+name) {
			*into = rapid.Float64Range(low, high).Draw(t, name)
		}
	}
	maybe(&d.DewPoint, least-10, least, "dew point")
	maybe(&d.RHMost, 50, 100, "greatest humidity")
	maybe(&d.RHLeast, 10, 50, "least humidity")
	maybe(&d.RHMiddle, 20, 90, "mean humidity")
	maybe(&d.Wind, 0, 10, "wind")
	maybe(&d.WindHeight, 1, 10, "height")
	maybe(&d.Sunshine, 0, 16, "sunshine")
	return d
}

// Whatever is known, the day gives a finite use that is not below nothing, and everything not known and needed
// is named.
func TestReferenceAlwaysAnswers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place, day := drawPlace(t), drawDay(t)
		r, err := PenmanMonteith(place, rapid.IntRange(1, 366).Draw(t, "day"), day)
		require.NoError(t, err)
		require.False(t, math.IsNaN(r.ET) || math.IsInf(r.ET, 0))
		require.GreaterOrEqual(t, r.ET, 0.)
		require.GreaterOrEqual(t, r.Wind, 0.5)
		require.LessOrEqual(t, r.Energy.Actual, r.Energy.Saturated)
		require.LessOrEqual(t, r.Energy.Sun, r.Extraterrestrial)
		require.InDelta(t, r.Energy.Net, r.Energy.Short-r.Energy.Long, 1e-12)
		told := strings.Join(r.Assumed, "\n")
		humid := known(day.DewPoint) || known(day.RHMost) || known(day.RHMiddle)
		require.Equal(t, !humid, strings.Contains(told, "dew point"))
		require.Equal(t, !known(day.Wind), strings.Contains(told, "wind"))
		require.Equal(t, !known(day.Sunshine), strings.Contains(told, "radiation"))
	})
}

// Drier air, more wind in dry air and more sun never lower the use.
func TestReferenceRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := Place{Latitude: 40, Elevation: rapid.Float64Range(0, 2000).Draw(t, "elevation")}
		day := Unmeasured(rapid.Float64Range(5, 20).Draw(t, "least"), 0)
		day.Greatest = day.Least + rapid.Float64Range(2, 18).Draw(t, "span")
		day.DewPoint, day.Wind, day.Sunshine = day.Least-5, 2, 8
		et := func(d Day) float64 {
			r, err := PenmanMonteith(place, 180, d)
			require.NoError(t, err)
			return r.ET
		}
		base := et(day)
		sunny := day
		sunny.Sunshine += 4
		require.Greater(t, et(sunny), base)
		dry := day
		dry.DewPoint -= 5
		require.Greater(t, et(dry), base-0.1, "drier air lets out more heat too")
		high := day
		high.Greatest += 3
		require.Greater(t, et(high), base)
	})
}

func TestReferenceChoosesTheMethod(t *testing.T) {
	place := Place{Latitude: 38, Elevation: 195}
	bare, err := ReferenceET(place, 196, Unmeasured(15, 28))
	require.NoError(t, err)
	require.Equal(t, "Hargreaves-Samani", bare.Method)
	require.Nil(t, bare.Energy)
	windy := Unmeasured(15, 28)
	windy.Wind = 3
	full, err := ReferenceET(place, 196, windy)
	require.NoError(t, err)
	require.Equal(t, "FAO-56 Penman-Monteith", full.Method)
	require.NotNil(t, full.Energy)
	require.InEpsilon(t, bare.RHLeast, full.RHLeast, 1e-12)

	dew := saturation(15.) / saturation(28) * 100
	require.InDelta(t, dew, bare.RHLeast, 1e-9)
	place.Arid = true
	arid, err := ReferenceET(place, 196, Unmeasured(15, 28))
	require.NoError(t, err)
	require.Less(t, arid.RHLeast, bare.RHLeast)
}

// The radiation estimated from a wide span of temperature is held to that of a clear sky.
func TestRadiationIsHeldToClearSky(t *testing.T) {
	d := Unmeasured(2, 35)
	d.Wind = 2
	r, err := PenmanMonteith(Place{Latitude: 30}, 170, d)
	require.NoError(t, err)
	require.InDelta(t, r.Energy.ClearSun, r.Energy.Sun, 1e-12)
}

// What is known of the day's humidity counts in the order FAO-56 prefers.
func TestHumidityOrder(t *testing.T) {
	d := Unmeasured(10, 24)
	d.Wind = 2
	actual := func() float64 {
		r, err := PenmanMonteith(Place{Latitude: 40}, 180, d)
		require.NoError(t, err)
		return r.Energy.Actual
	}
	require.InDelta(t, saturation(10), actual(), 1e-12)
	d.RHMiddle = 60
	require.InDelta(t, 0.6*(saturation(10)+saturation(24))/2, actual(), 1e-12)
	d.RHMost = 85
	require.InDelta(t, 0.85*saturation(10), actual(), 1e-12)
	d.RHLeast = 40
	require.InDelta(t, (0.85*saturation(10)+0.4*saturation(24))/2, actual(), 1e-12)
	d.DewPoint = 7
	require.InDelta(t, saturation(7), actual(), 1e-12)
	d.VaporPressure = 1.1
	require.InDelta(t, 1.1, actual(), 1e-12)
	d.VaporPressure = 9
	require.InDelta(t, d.saturated(), actual(), 1e-12, "air holds no more")
}

// On a coast the same span of temperature means more sun.
func TestCoast(t *testing.T) {
	d := Unmeasured(14.8, 20)
	d.Wind = 2
	inland, err := PenmanMonteith(Place{Latitude: 40}, 180, d)
	require.NoError(t, err)
	coast, err := PenmanMonteith(Place{Latitude: 40, Coast: true}, 180, d)
	require.NoError(t, err)
	require.InEpsilon(t, 0.19/0.16, coast.Energy.Sun/inland.Energy.Sun, 1e-12)
}

func TestReferenceErrors(t *testing.T) {
	good := Unmeasured(12, 25)
	good.Wind, good.Sunshine = 2, 9
	tests := []struct {
		name   string
		place  Place
		day    int
		change func(*Day)
		want   string
	}{
		{"latitude", Place{Latitude: 91}, 180, nil, "the latitude is 91 degrees; it must be from -90 degrees to 90 degrees: give the farm's latitude, north positive"},
		{"latitude not given", Place{Latitude: math.NaN()}, 180, nil, "the latitude is not known; it must be from -90 degrees to 90 degrees: give the farm's latitude, north positive"},
		{"elevation", Place{Elevation: 9000}, 180, nil, "the elevation is 9000 m; it must be from -430 m to 6000 m: give the farm's height above the sea"},
		{"day of the year", Place{}, 0, nil, "the day of the year is 0; it must be from 1 to 366: count from 1 on the first of January"},
		{"polar night", Place{Latitude: 70}, 350, nil, "the sun hardly rises at latitude 70 degrees on day 350 of the year, 0 MJ/m2 in all; " +
			"reference evapotranspiration needs 0.01 MJ/m2: leave plantings out of that time"},
		{"order of temperatures", Place{}, 180, func(d *Day) { d.Greatest = 10 }, "the greatest temperature is 10 °C; it must be from 12 °C to 60 °C: " +
			"the day's greatest temperature cannot lie below its least; look at the order of the columns"},
		{"no temperature", Place{}, 180, func(d *Day) { d.Least = math.NaN() }, "the least temperature is not known; it must be from -60 °C to 60 °C"},
		{"fahrenheit", Place{}, 180, func(d *Day) { d.Greatest = 77 }, "the greatest temperature is 77 °C"},
		{"humidity as a share", Place{}, 180, func(d *Day) { d.RHMost = 0.8 }, "the greatest relative humidity is 0.8 %; it must be from 1 % to 100 %: relative humidity is counted in percent"},
		{"wind", Place{}, 180, func(d *Day) { d.Wind = -1 }, "the wind speed is -1 m/s; it must be from 0 m/s to 60 m/s: look at its unit; it is counted in m/s"},
		{"gauge", Place{}, 180, func(d *Day) { d.WindHeight = 0 }, "the height of the wind gauge is 0 m"},
		{"sunshine", Place{}, 180, func(d *Day) { d.Sunshine = 540 }, "the sunshine is 540 h; it must be from 0 h to 24 h: a day has 24 hours"},
		{"radiation in watts", Place{}, 180, func(d *Day) { d.Radiation = 250 }, "no more than that reaches the top of the air on this day; look at its unit"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d := good
			if test.change != nil {
				test.change(&d)
			}
			for _, method := range []func(Place, int, Day) (Reference, error){PenmanMonteith, HargreavesSamani, ReferenceET} {
				_, err := method(test.place, test.day, d)
				require.ErrorContains(t, err, test.want)
			}
		})
	}
}

// Beyond the polar circles the sun stays up or down; on the equator the day is half the day.
func TestSun(t *testing.T) {
	for _, test := range []struct {
		latitude float64
		day      int
		want     float64
	}{{80, 172, 24}, {80, 355, 0}, {-80, 172, 0}, {-80, 355, 24}, {0, 100, 12}, {90, 172, 24}, {-90, 172, 0}} {
		got, err := Daylight(test.latitude, test.day)
		require.NoError(t, err)
		require.InDelta(t, test.want, got, 1e-9, "%+v", test)
		ra, err := ExtraterrestrialRadiation(test.latitude, test.day)
		require.NoError(t, err)
		require.Equal(t, test.want > 0, ra > 0.01, "%+v", test)
	}
	_, err := Daylight(-90.5, 1)
	require.ErrorContains(t, err, "latitude")
	_, err = ExtraterrestrialRadiation(10, 367)
	require.ErrorContains(t, err, "day of the year")
	for m := time.January; m <= time.December; m++ {
		middle := time.Date(2027, m, 15, 0, 0, 0, 0, time.UTC).YearDay()
		require.InDelta(t, middle, midMonth(m), 2, m)
	}
}

// A year of like months has no heat going into the ground and gives each month what a day of it gives.
func TestYear(t *testing.T) {
	place := Place{Latitude: 38, Elevation: 195}
	var year Year
	for i := range year {
		year[i] = Unmeasured(10, 22)
		year[i].Wind = 2
	}
	all, err := year.References(place)
	require.NoError(t, err)
	for i, r := range all {
		day, err := PenmanMonteith(place, midMonth(time.Month(i+1)), year[i])
		require.NoError(t, err)
		require.InEpsilon(t, day.ET, r.ET, 1e-12)
		require.Zero(t, r.Energy.Ground)
	}

	year[5].Least, year[5].Greatest = 16, 30 // June: 23, between months of 16
	year[6].Least, year[6].Greatest = 18, 32
	all, err = year.References(place)
	require.NoError(t, err)
	require.InDelta(t, 0.07*(23-16), all[4].Energy.Ground, 1e-12, "May: Eq. 43")
	require.InDelta(t, 0.07*(25-16), all[5].Energy.Ground, 1e-12, "June: Eq. 43")
	require.InDelta(t, 0.07*(16-25), all[7].Energy.Ground, 1e-12, "August: Eq. 43")

	year[6].Greatest = math.NaN()
	year[11].Least = math.NaN()
	all, err = year.References(place)
	require.EqualError(t, err, "the climate gives no least and greatest temperature for July, December: give them for every month with a planting in it")
	var missing *Missing
	require.ErrorAs(t, err, &missing)
	require.Equal(t, []time.Month{time.July, time.December}, missing.Months)
	require.InDelta(t, 0.14*(23-16), all[5].Energy.Ground, 1e-12, "June: Eq. 44")
	require.Zero(t, all[0].Energy.Ground, "January: no December before it")
	require.Zero(t, all[7].Energy.Ground, "August: no July before it")
	require.Positive(t, all[7].ET)
	require.Equal(t, Reference{}, all[6])

	year[2].Wind = -3
	_, err = year.References(place)
	require.ErrorContains(t, err, "March: the wind speed is -3 m/s")
}
