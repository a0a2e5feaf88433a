package derive

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/farm"
	"haulm/stdlib/season"
)

func frostSite(last, first season.Date) *farm.Site {
	return &farm.Site{
		LastFrost:  farm.DateArg{Value: last, Given: last.IsSet()},
		FirstFrost: farm.DateArg{Value: first, Given: first.IsSet()},
	}
}

func TestSeasonOfADay(t *testing.T) {
	on := season.On
	for _, c := range []struct {
		name        string
		last, first season.Date
		day         season.Date
		want        season.Date // the last frost of its season
	}{
		{"spring", on(2027, 4, 24), on(2027, 10, 14), on(2027, 4, 1), on(2027, 4, 24)},
		{"autumn", on(2027, 4, 24), on(2027, 10, 14), on(2027, 11, 1), on(2027, 4, 24)},
		{"autumn before", on(2027, 4, 24), on(2027, 10, 14), on(2026, 10, 20), on(2026, 4, 24)},
		{"late winter", on(2027, 4, 24), on(2027, 10, 14), on(2027, 2, 1), on(2027, 4, 24)},
		{"frosts of another year", on(2020, 4, 24), on(2020, 10, 14), on(2027, 4, 1), on(2027, 4, 24)},
		{"first frost written with the year before", on(2027, 4, 24), on(2026, 10, 14), on(2027, 4, 1), on(2027, 4, 24)},
		{"south, late summer", on(2026, 9, 20), on(2027, 5, 10), on(2027, 2, 10), on(2026, 9, 20)},
		{"south, spring", on(2026, 9, 20), on(2027, 5, 10), on(2026, 9, 1), on(2026, 9, 20)},
		{"only the last, autumn before", on(2027, 4, 24), season.None, on(2026, 11, 1), on(2026, 4, 24)},
		{"only the last, winter", on(2027, 4, 24), season.None, on(2027, 1, 10), on(2027, 4, 24)},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, c.want.String(), newSeasons(frostSite(c.last, c.first)).Of(c.day).LastFrost.String())
		})
	}
}

// TestSeasonsMeet holds that every day belongs to one season, and that the seasons follow one another.
func TestSeasonsMeet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		day := rapid.Custom(func(t *rapid.T) season.Date {
			return season.On(rapid.IntRange(2020, 2030).Draw(t, "year"), 1, rapid.IntRange(1, 366).Draw(t, "day of the year"))
		})
		last, first := day.Draw(t, "last"), day.Draw(t, "first")
		switch rapid.IntRange(0, 2).Draw(t, "given") {
		case 0:
			last = season.None
		case 1:
			first = season.None
		}
		w := newSeasons(frostSite(last, first))
		d := day.Draw(t, "day")
		f := w.Of(d)
		require.LessOrEqual(t, f.Begin, d)
		require.Less(t, d.DaysSince(f.Begin), 367)
		if last.IsSet() && first.IsSet() {
			require.LessOrEqual(t, f.LastFrost, f.FirstFrost)
			require.LessOrEqual(t, f.Begin, f.LastFrost)
		}
	})
}
