package water

import (
	"encoding/csv"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// given are the inputs of a published row: "lat=-20; j=246".
type given struct {
	t     *testing.T
	cell  map[string]string
	asked map[string]bool
}

func newGiven(t *testing.T, text string) given {
	g := given{t: t, cell: map[string]string{}, asked: map[string]bool{}}
	for part := range strings.SplitSeq(text, "; ") {
		name, value, ok := strings.Cut(part, "=")
		require.True(t, ok, "%q is not name=value", part)
		g.cell[name] = value
	}
	return g
}

func (g given) has(name string) bool { return g.cell[name] != "" }

func (g given) text(name string) string {
	require.True(g.t, g.has(name), "the row lacks %s", name)
	g.asked[name] = true
	return g.cell[name]
}

func (g given) n(name string) float64 { return number(g.t, g.text(name)) }

// or gives NaN for what a row does not name.
func (g given) or(name string) float64 {
	if !g.has(name) {
		return math.NaN()
	}
	return g.n(name)
}

func number(t *testing.T, text string) float64 {
	n, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return n
}

// ok passes a number on, or ends the row with its error.
func ok(g given) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		require.NoError(g.t, err)
		return v
	}
}

// TestPublished holds every row of testdata/published/water.csv: the equation named in check gives the
// published number within the row's tolerance. A row that its own source contradicts gives the number in
// ours instead, and not the published one; its note says what was chosen.
func TestPublished(t *testing.T) {
	f, err := os.Open("../../testdata/published/water.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	checks := map[string]func(given) float64{}
	for _, some := range []map[string]func(given) float64{airChecks, cropChecks, soilChecks, pipeChecks, stripChecks} {
		for name, check := range some {
			require.NotContains(t, checks, name)
			checks[name] = check
		}
	}
	counts, seen, used := map[string]int{}, map[string]bool{}, map[string]bool{}
	for _, row := range rows[1:] {
		id, check, inputs, within, status, how := row[0], row[1], row[2], row[4], row[6], row[8]
		require.False(t, seen[id], "%s is there twice", id)
		seen[id], used[check] = true, true
		passed := t.Run(id, func(t *testing.T) {
			require.NotEmpty(t, row[9], "a source")
			require.Contains(t, []string{"seen", "memory", "computed"}, how)
			work := checks[check]
			require.NotNil(t, work, "no check is called %q", check)
			g := newGiven(t, inputs)
			got := work(g)
			for name := range g.cell {
				require.True(t, g.asked[name], "the check does not use %s", name)
			}
			expected, tolerance := number(t, row[3]), number(t, within)*(1+1e-9)
			if status == "contradicted" {
				require.Greater(t, math.Abs(got-expected), tolerance, "the source is not contradicted: got %g", got)
				require.NotEmpty(t, row[10], "a note on the choice made")
				expected = number(t, row[7])
			} else {
				require.Equal(t, "met", status)
			}
			require.InDelta(t, expected, got, tolerance, "%s", inputs)
		})
		if passed {
			counts[status+", "+how]++
		}
	}
	for name := range checks {
		require.True(t, used[name], "no row uses the check %q", name)
	}
	total := 0
	for _, kind := range slices.Sorted(maps.Keys(counts)) {
		t.Logf("%3d %s", counts[kind], kind)
		total += counts[kind]
	}
	t.Logf("%3d of %d rows hold", total, len(rows)-1)
	require.Equal(t, len(rows)-1, total)
	require.GreaterOrEqual(t, total, 500)
	require.Equal(t, 5, counts["contradicted, seen"])
}
