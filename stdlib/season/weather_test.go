package season_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/stdlib/season"
)

func TestReadWeather(t *testing.T) {
	days, err := season.ReadWeather(strings.NewReader("date, tmin (degF), tmax_f, rain (in), wind_mph\n" +
		"2027-05-01, 50, 77, 0.5, 10\n2027-05-03, 41, 68, , \n"))
	require.NoError(t, err)
	require.Len(t, days, 2)
	require.InDelta(t, 10, days[0].TMin, 1e-9)
	require.InDelta(t, 25, days[0].TMax, 1e-9)
	require.InDelta(t, 12.7, days[0].Rain, 1e-9)
	require.InDelta(t, 4.4704, days[0].Wind, 1e-9)
	require.True(t, math.IsNaN(days[1].Rain))
	require.True(t, math.IsNaN(days[0].Radiation))
}

func TestReadWeatherSaysWhatIsWrong(t *testing.T) {
	head := "date,tmin_c,tmax_c,rain_mm\n"
	for name, c := range map[string]struct{ text, want string }{
		"empty":        {"", "the file is empty; its first line names the columns: date, tmin (degF), tmax (degF), rain (in)"},
		"no tmax":      {"date,tmin_c\n", "the heading has no column tmax"},
		"column":       {"date,tmin_c,tmax_c,cloud\n", `there is no use for a column called "cloud"; columns are date, tmin, tmax, rain, humidity, wind, sunshine and radiation`},
		"twice":        {"date,tmin_c,tmin_f,tmax_c\n", "the column tmin stands twice in the heading"},
		"unit":         {"date,tmin_k,tmax_c\n", `the column tmin has the unit "k"; write it as one of tmin (c), tmin (degc), tmin (degf), tmin (f), tmin (°c), tmin (°f)`},
		"date":         {head + "2027-02-30,1,2,3\n", `line 2: `},
		"order":        {head + "2027-02-03,1,2,3\n2027-02-03,1,2,3\n", "line 3: 2027-02-03 does not come after 2027-02-03; list the days in order, each once"},
		"number":       {head + "2027-02-03,1,2,wet\n", `line 2: rain is "wet"; a number belongs there, or nothing`},
		"cells":        {head + "2027-02-03,1,2\n", "line 2 has not as many cells as the heading, 4"},
		"upside down":  {head + "2027-02-03,3,2,0\n", "line 2: tmin is above tmax"},
		"out of range": {head + "2027-02-03,3,200,0\n", "line 2: tmax is 200, which is beyond anything measured on earth; is its unit right?"},
		"not a number": {head + "2027-02-03,3,NaN,0\n", "line 2: tmax is NaN, which is beyond anything measured on earth; is its unit right?"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := season.ReadWeather(strings.NewReader(c.text))
			require.ErrorContains(t, err, c.want)
		})
	}
}

func FuzzReadWeather(f *testing.F) {
	f.Add("date,tmin_c,tmax_c,rain_mm\n2027-02-03,1,2,3\n")
	f.Fuzz(func(t *testing.T, text string) {
		days, err := season.ReadWeather(strings.NewReader(text))
		if err != nil {
			return
		}
		for i, d := range days {
			require.False(t, d.TMin > d.TMax)
			require.False(t, i > 0 && d.Date <= days[i-1].Date)
		}
	})
}
