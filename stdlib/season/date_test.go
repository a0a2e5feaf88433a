package season

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	const form = `: write year-month-day, such as "2027-04-24"`
	tests := []struct {
		text string
		want Date
		err  string
	}{
		{text: "1970-01-01", want: 0},
		{text: "1969-12-31", want: -1},
		{text: "2027-04-24", want: On(2027, time.April, 24)},
		{text: "2028-02-29", want: On(2028, time.March, 1).Add(-1)},
		{text: "2000-02-29", want: On(2000, time.February, 29)},
		{text: "0001-01-01", want: -719162}, // the proleptic calendar's first day (rata die 1; 1970-01-01 is 719163)
		{text: "2027-02-29", err: `"2027-02-29" is not a date: February 2027 has days 01 to 28`},
		{text: "1900-02-29", err: `"1900-02-29" is not a date: February 1900 has days 01 to 28`},
		{text: "2028-02-30", err: `"2028-02-30" is not a date: February 2028 has days 01 to 29`},
		{text: "2027-04-31", err: `"2027-04-31" is not a date: April 2027 has days 01 to 30`},
		{text: "2027-04-00", err: `"2027-04-00" is not a date: April 2027 has days 01 to 30`},
		{text: "2027-13-01", err: `"2027-13-01" is not a date: a year has months 01 to 12`},
		{text: "2027-00-01", err: `"2027-00-01" is not a date: a year has months 01 to 12`},
		{text: "", err: `"" is not a date` + form},
		{text: "2027-4-24", err: `"2027-4-24" is not a date` + form},
		{text: "04/24/2027", err: `"04/24/2027" is not a date` + form},
		{text: "24-04-2027", err: `"24-04-2027" is not a date` + form},
		{text: "2027-04-24 ", err: `"2027-04-24 " is not a date` + form},
		{text: "2027-04-24T00:00:00Z", err: `"2027-04-24T00:00:00Z" is not a date` + form},
		{text: "+027-04-24", err: `"+027-04-24" is not a date` + form},
		{text: "2027-٠٤-1", err: `"2027-٠٤-1" is not a date` + form},
	}
	for _, test := range tests {
		t.Run(test.text, func(t *testing.T) {
			got, err := Parse(test.text)
			if test.err != "" {
				require.EqualError(t, err, test.err)
				require.False(t, got.IsSet())
				return
			}
			require.NoError(t, err)
			require.Equal(t, test.want, got)
			require.Equal(t, test.text, got.String())
		})
	}
}

func TestLeapYears(t *testing.T) {
	for year, days := range map[int]int{1900: 365, 2000: 366, 2026: 365, 2027: 365, 2028: 366, 2100: 365} {
		require.Equal(t, days, On(year+1, time.January, 1).DaysSince(On(year, time.January, 1)), year)
		require.Equal(t, days, On(year, time.December, 31).YearDay(), year)
	}
}

func TestDaysRunOn(t *testing.T) {
	require.Equal(t, "2027-05-01", On(2027, time.April, 31).String())
	require.Equal(t, "2027-02-28", On(2027, time.March, 0).String())
	require.Equal(t, "2028-01-15", On(2027, 13, 15).String())
	require.Equal(t, "2028-03-01", On(2028, time.February, 28).Add(2).String())
	require.Equal(t, "2026-12-25", On(2027, time.January, 1).Add(-7).String())
}

func TestPrint(t *testing.T) {
	d := On(2027, time.April, 24)
	require.Equal(t, time.Saturday, d.Weekday())
	require.Equal(t, "Sat Apr 24", d.Long(2027))
	require.Equal(t, "Sat Apr 24, 2027", d.Long(2026))
	require.Empty(t, None.String())
	require.Empty(t, None.Long(2027))
	require.False(t, None.IsSet())
	require.Equal(t, None, None.Add(7))
}

// A date keeps its year, month and day, survives its text, and adding days undoes taking them.
func TestDateLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Date(rapid.IntRange(int(On(0, time.January, 1)), int(On(9999, time.December, 31))).Draw(t, "date"))
		require.Equal(t, d, On(d.Year(), d.Month(), d.Day()))
		back, err := Parse(d.String())
		require.NoError(t, err)
		require.Equal(t, d, back)
		n := rapid.IntRange(-100_000, 100_000).Draw(t, "days")
		require.Equal(t, n, d.Add(n).DaysSince(d))
		require.Equal(t, d, d.Add(n).Add(-n))
		require.Equal(t, d.Weekday(), d.Add(7*n).Weekday())
	})
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"2027-04-24", "2028-02-29", "2027-02-29", "2027-13-01", "0000-00-00", "", "2027-4-24", "９９９９-01-01"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		ours, err := Parse(text)
		// The standard library reads the same form.
		theirs, theirErr := time.Parse(time.DateOnly, text)
		require.Equal(t, theirErr == nil, err == nil)
		if err == nil {
			require.Equal(t, theirs.Format(time.DateOnly), ours.String())
			require.Equal(t, text, ours.String())
		}
	})
}
