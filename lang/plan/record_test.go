package plan_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/derive"
	"haulm/lang/plan"
	"haulm/stdlib/season"
)

const recordedFarm = `load("crops", "bell_pepper", "okra", "radish")
here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14")
farm("Ferry Bank", year = 2027, site = here)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
red = bell_pepper.variety("Lantern Red", days_to_maturity = 72, harvest_window = 40)
peppers = plant(row(bench, at = 4 * ft), red, count = 24, spacing = 18 * inch, on = "2027-05-15")
early = row(bench, at = 8 * ft)
first = sow(early, radish, fill = True, spacing = 1 * inch, on = "2027-04-05")
second = sow(early, radish, fill = True, spacing = 1 * inch, on = "2027-06-01")
`

func recorded(t require.TestingT, more string) *derive.Facts {
	s := plan.Check(context.Background(), fstest.MapFS{"farm.star": {Data: []byte(recordedFarm + more)}}, "farm.star")
	require.NoError(t, s.Trouble)
	return s.Facts
}

// A late planting moves all that follows, and the plan stays to be compared with; its seedlings were sown all the
// same.
func TestRecordMovesDates(t *testing.T) {
	before := recorded(t, "").Plantings[0]
	rapid.Check(t, func(t *rapid.T) {
		late := rapid.IntRange(-30, 60).Draw(t, "days late")
		p := recorded(t, fmt.Sprintf("done(\"planting\", peppers, on = %q)\n", before.Plant.Add(late))).Plantings[0]
		require.Equal(t, before.Plant.Add(late), p.Plant)
		require.Equal(t, before.Sow, p.Sow)
		require.Equal(t, before.FirstHarvest.Add(late), p.FirstHarvest)
		require.Equal(t, min(before.LastHarvest.Add(late), season.On(2027, 10, 14)), p.LastHarvest)
		require.Equal(t, p.LastHarvest+1, p.Clear)
		require.Equal(t, derive.Days{Sow: before.Sow, Plant: before.Plant, FirstHarvest: before.FirstHarvest, LastHarvest: before.LastHarvest, Clear: before.Clear},
			p.Record.Planned)
		require.Equal(t, [2]int{before.Plants, before.Number}, [2]int{p.Plants, p.Number})
	})
}

// Plants lost before the harvest lower all of it by their share, later ones what is left of it; the weeks sum up to
// the amount in every case.
func TestRecordLowersHarvest(t *testing.T) {
	whole := recorded(t, "").Harvest().Plantings[0]
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 24).Draw(t, "lost")
		day := season.On(2027, 6, 1).Add(rapid.IntRange(0, 120).Draw(t, "day"))
		now := recorded(t, fmt.Sprintf("lost(peppers, %d, on = %q)\n", n, day)).Harvest().Plantings[0]
		require.LessOrEqual(t, now.Amount, whole.Amount*(1+1e-9))
		require.GreaterOrEqual(t, now.Amount, whole.Amount*float64(24-n)/24-1e-9)
		if day <= whole.Planting.FirstHarvest {
			require.InDelta(t, whole.Amount*float64(24-n)/24, now.Amount, 1e-9)
		}
		sum := 0.0
		for _, v := range now.Weeks {
			sum += v
		}
		require.InDelta(t, now.Amount, sum, 1e-6)
		require.InDelta(t, whole.Full*whole.Share, now.Planned, 1e-9)
	})
}

// The record of a place is of the planting planned nearest to its day.
func TestRecordFindsItsPlanting(t *testing.T) {
	for text, want := range map[string]int{
		`done("sowing", early, on = "2027-04-09")`:                           0,
		`done("sowing", "Lower bench/2", on = "2027-05-20")`:                 1,
		`done("seeded", "lower-bench/row 2/Radish", on = "2027-05-20")`:      1,
		`harvested("radish", count = 40, on = "2027-05-04")`:                 0,
		`harvested("Lower bench/radish", count = 40, on = "2027-06-29")`:     1,
		`harvested("Lower bench/2/radish/2", count = 40, on = "2027-06-29")`: 1,
		`lost(radish, 40, on = "2027-06-10")`:                                1,
		`done("clearing", early, on = "2027-05-14")`:                         0,
	} {
		facts := recorded(t, text+"\n")
		require.Empty(t, facts.Record.Strays, text)
		require.Len(t, facts.Record.Plantings, 1, text)
		require.Equal(t, []string{"2027-04-05", "2027-06-01"}[want], facts.Record.Plantings[0].Planned.Plant.String(), text)
		require.Equal(t, fmt.Sprintf("Lower bench/2/radish/%d", want+1), facts.Record.Plantings[0].Planting.Path())
	}
}

// What is picked of a row that is cleared is its harvest, however much was expected.
func TestRecordEndsHarvest(t *testing.T) {
	facts := recorded(t, `harvested(peppers, mass = 10 * lb, on = "2027-07-30")
harvested(peppers, mass = 5 * lb, on = "2027-08-10")
done("clearing", peppers, on = "2027-08-20")
`)
	p, n := facts.Plantings[0], facts.Harvest().Plantings[0]
	require.Equal(t, []string{"2027-07-30", "2027-08-10", "2027-08-20"}, []string{p.FirstHarvest.String(), p.LastHarvest.String(), p.Clear.String()})
	require.InDelta(t, 15, n.Expected(), 1e-9)
	require.InDelta(t, 13.5, n.Amount, 1e-9)
	var told []string
	for _, r := range p.Why() {
		told = append(told, r.Title+" "+r.Source)
	}
	require.Contains(t, told, "First harvest recorded")
	require.Contains(t, told, "Last harvest recorded")
	require.Contains(t, told, "Clear recorded")
}

// Weather that happened counts up to today, normals after; without a day the whole file counts.
func TestWeatherUpToToday(t *testing.T) {
	var days strings.Builder
	days.WriteString("date,tmin (degF),tmax (degF)\n")
	for d := season.On(2027, 5, 17); d < season.On(2027, 8, 30); d++ {
		fmt.Fprintf(&days, "%s,70,100\n", d)
	}
	files := fstest.MapFS{"weather.csv": {Data: []byte(days.String())}, "farm.star": {Data: []byte(`load("crops", "sweet_corn")
farm("Ferry Bank", year = 2027, site = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14",
    weather = weather("weather.csv"),
    climate = climate(
        tmin = [degf(v) for v in [24, 27, 35, 45, 54, 63, 67, 65, 58, 46, 36, 28]],
        tmax = [degf(v) for v in [41, 46, 56, 67, 76, 84, 87, 86, 80, 69, 56, 45]],
    ),
))
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
sow(row(bench, at = 4 * ft), sweet_corn, fill = True, on = "2027-05-17")
`)}}
	measured := func(today season.Date) (n int) {
		for _, week := range plan.CheckOn(context.Background(), files, "farm.star", today).Facts.Water.Climate {
			n += week.Measured
		}
		return n
	}
	all := measured(season.None)
	require.Greater(t, all, 60)
	require.Equal(t, 15, measured(season.On(2027, 5, 31)))
	require.Equal(t, 0, measured(season.On(2027, 5, 16)))
	require.Equal(t, all, measured(season.On(2028, 1, 1)))
}
