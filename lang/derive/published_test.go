package derive

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPublishedPopulations plants an acre, as one long bed, and counts: the plants are as many as the source
// in each row printed.
func TestPublishedPopulations(t *testing.T) {
	f, err := os.Open("../../testdata/published/plants.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 4)
	for _, r := range rows[1:] {
		t.Run(r[0], func(t *testing.T) {
			require.NotEmpty(t, r[7], "a source")
			number := func(i int) float64 {
				n, err := strconv.ParseFloat(r[i], 64)
				require.NoError(t, err)
				return n
			}
			const acre = 43_560 // sq ft
			bed := number(1)
			p := newPlan(foot)
			row := p.row(p.plot("acre", acre/bed, bed, 0), bed/2, p.bed(int(number(2)), bed/2, false))
			p.plant(row, crop("strawberry"), number(3)/12, filled)
			facts := derive(t, p)
			require.InEpsilon(t, number(4), facts.Plots[0].Plants, number(5))
			require.InDelta(t, acre*foot*foot, facts.Plots[0].Area, 1e-6)
		})
	}
}
