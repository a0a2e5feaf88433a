package derive

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// inMonths gives normals for some months only.
func inMonths(d quantity.Dimension, of map[time.Month]float64) farm.Months {
	return months(d, func(i int) float64 {
		if v, ok := of[time.Month(i+1)]; ok {
			return v
		}
		return nan
	})
}

// bangkok is FAO-56 Example 17: 13°44' N, 2 m; April with 25.6 to 34.8 °C, a vapor pressure of 2.85 kPa, which is 64.5 %
// of the 4.42 kPa of saturated air, wind of 2 m/s and 8.5 h of sun; March 1 °C cooler in the mean.
func bangkok() *farm.Site {
	const zero = 273.15
	return &farm.Site{
		Latitude: number(13 + 44./60), Elevation: length(2),
		Climate: &farm.Climate{
			TMin:     inMonths(quantity.Temperature, map[time.Month]float64{3: zero + 24.6, 4: zero + 25.6}),
			TMax:     inMonths(quantity.Temperature, map[time.Month]float64{3: zero + 33.8, 4: zero + 34.8}),
			Humidity: inMonths(quantity.Ratio, map[time.Month]float64{4: 2.85 / 4.42}),
			Wind:     inMonths(quantity.Speed, map[time.Month]float64{4: 2}),
			Sunshine: inMonths(quantity.Time, map[time.Month]float64{4: 8.5 * 3600}),
		},
	}
}

func TestMonthsOfTheClimate(t *testing.T) {
	u := newUsual(bangkok())
	require.InDelta(t, 5.72, u.et[time.April-1], 0.02, "FAO-56 Example 17")
	require.Equal(t, "FAO-56 Penman-Monteith, months of the climate", u.method[time.April-1])
	require.InDelta(t, 2, u.wind[time.April-1], 1e-12)
	require.InDelta(t, 100*2.85/5.56, u.rh[time.April-1], 0.2, "e0(34.8) is 5.56 kPa")
	require.Equal(t, "Hargreaves-Samani, months of the climate", u.method[time.March-1], "only temperatures are known of it")
	require.True(t, math.IsNaN(u.et[time.May-1]))
	require.Empty(t, u.trouble)

	// After the middle of April the way to May is not known, so April's own mean holds.
	require.InDelta(t, u.et[time.April-1], u.on(season.On(2027, 4, 28)), 1e-12)
	require.InDelta(t, (u.et[2]+u.et[3])/2, u.on(season.On(2027, 3, 31)), 0.05)
	require.True(t, math.IsNaN(u.on(season.On(2027, 5, 28))))
}

func TestGivenReferenceGoesFirst(t *testing.T) {
	site := bangkok()
	site.Climate.ReferenceET = inMonths(quantity.Speed, map[time.Month]float64{4: 6e-3 / 86400})
	u := newUsual(site)
	require.InDelta(t, 6, u.et[3], 1e-12)
	require.Equal(t, "reference_et of the climate", u.method[3])
	require.InDelta(t, 2, u.wind[3], 1e-12, "the rest of the month still counts")
}

func TestRainOfTheClimate(t *testing.T) {
	site := &farm.Site{Climate: &farm.Climate{Rain: inMonths(quantity.Length, map[time.Month]float64{
		4: 0.060, 5: 0.124, 6: 0.010, 7: -1, 8: math.Inf(1),
	})}}
	u := newUsual(site)
	require.InDelta(t, 2, u.rain[3], 1e-12)
	require.InDelta(t, (0.6*60-10)/30, u.counts[3], 1e-12)
	require.InDelta(t, (0.8*124-24)/31, u.counts[4], 1e-12)
	require.Zero(t, u.counts[5], "0.6 × 10 - 10 mm is less than nothing")
	require.Zero(t, u.rain[6])
	require.Zero(t, u.rain[7])
}

func TestMonthsThatCannotBe(t *testing.T) {
	site := bangkok()
	site.Climate.Humidity.Value[3].SI = 3 // a percentage given as a ratio of 300
	u := newUsual(site)
	require.Contains(t, u.trouble, "April: the mean relative humidity is 300 %")
	require.True(t, math.IsNaN(u.et[3]))
	require.False(t, math.IsNaN(u.et[2]), "March still holds")

	site = bangkok()
	site.Latitude = farm.Number{}
	u = newUsual(site)
	require.Contains(t, u.trouble, "latitude is not known")
	require.True(t, math.IsNaN(u.et[3]))

	// In Tromsø the sun does not rise in December, which takes nothing from June.
	site = &farm.Site{Latitude: number(69.6), Climate: &farm.Climate{
		TMin: months(quantity.Temperature, same(278)), TMax: months(quantity.Temperature, same(288)),
	}}
	u = newUsual(site)
	require.Contains(t, u.trouble, "the sun hardly rises")
	require.True(t, math.IsNaN(u.et[11]))
	require.Greater(t, u.et[5], 2.0)
}

// measured is a week of weather from Monday 2027-04-05 on, its Wednesday left out and its Friday without temperatures.
func measuredWeek() season.Weather {
	var out season.Weather
	for i := range 7 {
		if i == 2 {
			continue
		}
		d := season.WeatherDay{
			Date: season.On(2027, 4, 5+i), TMin: 25.6, TMax: 34.8, Rain: float64(i), Humidity: nan, Wind: nan, Sunshine: nan, Radiation: nan,
		}
		if i == 4 {
			d.TMin = nan
		}
		out = append(out, d)
	}
	return out
}

func TestWeatherGoesBeforeTheMonths(t *testing.T) {
	site := bangkok()
	site.Climate.Rain = inMonths(quantity.Length, map[time.Month]float64{4: 0.060})
	site.Weather = &farm.Weather{Days: measuredWeek()}
	from := season.On(2027, 4, 5)
	d := newThirst(site, from, from+14, farm.DateArg{})
	require.Equal(t, []DayGap{{from + 2, from + 2}, {from + 4, from + 4}}, d.gaps)
	weeks := d.weeks()
	require.Len(t, weeks, 2)
	require.Equal(t, 5, weeks[0].Measured)
	require.Equal(t, "Hargreaves-Samani, days of the weather file", weeks[0].Method)
	require.InDelta(t, 0+1+2+3+4+5+6, weeks[0].Rain, 1e-9, "the missing Wednesday rains as April does, 2 mm")
	require.Equal(t, 0, weeks[1].Measured)
	require.Equal(t, "FAO-56 Penman-Monteith, months of the climate", weeks[1].Method)
	require.InDelta(t, 14, weeks[1].Rain, 1e-9)
	require.True(t, d.days[4].fell, "the rain gauge was read on Friday")
	require.False(t, d.days[4].measured)

	// Hargreaves-Samani on April 5 (Ra by Eq. 21) by hand: 0.0023 (30.2 + 17.8) sqrt(9.2) 0.408 Ra.
	require.InDelta(t, 0.0023*48*math.Sqrt(9.2)*0.408*37.6, d.days[0].et, 0.05)
}

func TestWhatGivesWeather(t *testing.T) {
	kelvin := months(quantity.Temperature, same(290))
	tests := []struct {
		name string
		site *farm.Site
		want string // why not
	}{
		{"no site", nil, "the farm has no site, and so neither climate nor weather"},
		{"bare site", &farm.Site{}, "the site has neither climate nor weather"},
		{"soil temperatures only", &farm.Site{Climate: &farm.Climate{SoilTemperature: kelvin}}, "the climate gives neither tmin and tmax nor reference_et"},
		{"one temperature", &farm.Site{Climate: &farm.Climate{TMin: kelvin}}, "the climate gives neither tmin and tmax nor reference_et"},
		{"empty weather", &farm.Site{Weather: &farm.Weather{}}, "the site has neither climate nor weather"},
		{"both temperatures", &farm.Site{Climate: &farm.Climate{TMin: kelvin, TMax: kelvin}}, ""},
		{"reference", &farm.Site{Climate: &farm.Climate{ReferenceET: months(quantity.Speed, same(1e-8))}}, ""},
		{"weather", &farm.Site{Weather: &farm.Weather{Days: measuredWeek()}}, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			require.Equal(t, tt.want == "", givesWeather(tt.site))
			if tt.want != "" {
				require.Equal(t, tt.want, noWeather(tt.site))
			}
			p := newPlan(foot)
			p.Site = tt.site
			require.Equal(t, tt.want == "", Derive(&p.Farm).Water != nil, "without a zone, water is worked out only for its need")
		})
	}
}
