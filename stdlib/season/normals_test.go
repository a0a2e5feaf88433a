package season

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseMonth(t *testing.T) {
	for m := time.January; m <= time.December; m++ {
		for _, text := range []string{m.String(), m.String()[:3], strings.ToLower(m.String()), strings.ToUpper(m.String()[:3]), " " + m.String()[:3] + ". "} {
			got, err := ParseMonth(text)
			require.NoError(t, err, text)
			require.Equal(t, m, got, text)
		}
	}
	got, err := ParseMonth("sept")
	require.NoError(t, err)
	require.Equal(t, time.September, got)
	for _, text := range []string{"", "j", "ja", "janx", "januaryx", "uar", "13", "1", "may be", "märz"} {
		_, err := ParseMonth(text)
		require.ErrorContains(t, err, `is not a month: write "jan", "feb" and so on to "dec"`, text)
	}
}

func year(values ...float64) Normals {
	n := Normals{}
	for i := range n {
		n[i] = math.NaN()
	}
	copy(n[:], values)
	return n
}

func TestNormals(t *testing.T) {
	full := Normals{10, 20, 30, 40, 50, 60, 70, 80, 90, 100, 110, 120}
	tests := []struct {
		name    string
		normals Normals
		on      string
		want    float64
	}{
		{"middle of a month of 31 days", full, "2027-01-16", 10},
		{"middle of a month of 31 days, summer", full, "2027-07-16", 70},
		// April's middle is the midnight before the 16th: noon of the 15th is half a day before it, and
		// from mid-March (16th, noon) to there it is 30.5 days.
		{"before the middle of a month of 30 days", full, "2027-04-15", 30 + 10*30/30.5},
		{"first of May", full, "2027-05-01", 40 + 10*15.5/30.5},
		{"leap February", full, "2028-03-01", 20 + 10*15/30.},
		{"common February", full, "2027-03-01", 20 + 10*14.5/29.5},
		{"over New Year", full, "2027-01-01", 120 - 110*16/31.},
		{"last of the year", full, "2026-12-31", 120 - 110*15/31.},
		{"both months known", year(10, 20), "2027-02-01", 10 + 10*16/29.5},
		{"the month before not known", year(10, 20), "2027-01-05", math.NaN()},
		{"the month after not known", year(10, 20), "2027-02-20", math.NaN()},
		{"only the month itself, at its middle", year(10), "2027-01-16", 10},
		{"nothing known", year(), "2027-05-05", math.NaN()},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, err := Parse(test.on)
			require.NoError(t, err)
			got := test.normals.On(d)
			if math.IsNaN(test.want) {
				require.True(t, math.IsNaN(got), got)
				return
			}
			require.InDelta(t, test.want, got, 1e-9)
		})
	}
	require.True(t, math.IsNaN(full.On(None)))
}

// The value of a day lies between the year's least and greatest mean, a year of one value has it every
// day, and no day is further from the next than the steepest pair of months allows.
func TestNormalsLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var n Normals
		least, most := math.Inf(1), math.Inf(-1)
		for i := range n {
			n[i] = rapid.Float64Range(-40, 130).Draw(t, "mean")
			least, most = min(least, n[i]), max(most, n[i])
		}
		d := Date(rapid.IntRange(-10_000, 60_000).Draw(t, "day"))
		got, next := n.On(d), n.On(d.Add(1))
		require.LessOrEqual(t, got, most+1e-9)
		require.GreaterOrEqual(t, got, least-1e-9)
		// Two middles are at least 29.5 days apart.
		require.LessOrEqual(t, math.Abs(next-got), (most-least)/29.5+1e-9)
		same := Normals{n[0], n[0], n[0], n[0], n[0], n[0], n[0], n[0], n[0], n[0], n[0], n[0]}
		require.InDelta(t, n[0], same.On(d), 1e-9)
	})
}
