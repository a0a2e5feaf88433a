package crops

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/stdlib/quantity"
)

// TestPublished holds the table against figures that others printed; the source stands in each row.
func TestPublished(t *testing.T) {
	f, err := os.Open("../../testdata/published/crops.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 80)
	for _, r := range rows[1:] {
		id, check, crop, given, expected := r[0], r[1], r[2], r[3], r[4]
		t.Run(id+" "+crop, func(t *testing.T) {
			require.NotEmpty(t, r[7], "a source")
			c, ok := Named(crop)
			require.True(t, ok)
			got, known := published(t, c, check, given)
			if expected == "NG" || expected == "none" {
				require.False(t, known, "got %g", got)
				return
			}
			require.True(t, known)
			want, within := number(t, expected), number(t, r[5])
			require.LessOrEqual(t, math.Abs(got-want), within*math.Abs(want)+1e-9*math.Abs(want), "got %g, published %g", got, want)
		})
	}
}

func published(t *testing.T, c *Crop, check, given string) (got float64, known bool) {
	switch check {
	case "emergence":
		return c.DaysToEmerge(quantity.Fahrenheit(number(t, given)).Celsius())
	case "germination":
		return c.Germination.Low * 100, c.Germination.Known()
	case "seeds per g":
		return c.SeedsPerMass.Low * named("g"), c.SeedsPerMass.Known()
	case "SI low", "SI high":
		for _, v := range values {
			if r := v.field(c); v.name == given && check == "SI low" {
				return r.Low, r.Known()
			} else if v.name == given {
				return r.High, r.Known()
			}
		}
	}
	require.Fail(t, "no such check", "%s %s", check, given)
	return 0, false
}

func number(t *testing.T, text string) float64 {
	n, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return n
}
