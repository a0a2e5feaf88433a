package feeding

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/stdlib/quantity"
)

func parts6(v float64) quantity.Quantity { return quantity.Of(v*ppm, quantity.Ratio) }

func poundsOnAcre(v float64) quantity.Quantity { return quantity.Of(v*poundPerAcre, quantity.AreaMass) }

func TestRate(t *testing.T) {
	plain := func(v float64) quantity.Quantity { return quantity.Of(v, quantity.Ratio) }
	for _, c := range []struct {
		name, lab, method string
		nutrient          Nutrient
		value             quantity.Quantity
		depth             float64
		category          string
		level             Level
	}{
		{"lowest bound as printed", "rutgers", "mehlich-3", P, poundsOnAcre(25), 0, "low", Low},
		{"uppermost as printed", "rutgers", "mehlich-3", P, poundsOnAcre(45), 0, "low", Low},
		{"between two printed bounds", "rutgers", "mehlich-3", P, poundsOnAcre(45.4), 0, "medium", Medium},
		{"no end above", "rutgers", "mehlich-3", P, poundsOnAcre(9000), 0, "very high", VeryHigh},
		{"nothing found", "rutgers", "mehlich-3", P, poundsOnAcre(0), 0, "very low", VeryLow},
		{"ppm, twice as many pounds", "rutgers", "mehlich-3", P, parts6(22.5), 0, "low", Low},
		{"ppm, whatever the depth", "rutgers", "mehlich-3", P, parts6(22.5), 12 * inch, "low", Low},
		{"pounds to twice the depth", "rutgers", "mehlich-3", P, poundsOnAcre(90), 2 * FurrowSlice, "low", Low},
		{"without a laboratory the best read table", "", "mehlich-3", K, parts6(71), 0, "medium", Medium},
		{"another name of the laboratory", "NCDA&CS", "Mehlich 3", P, plain(26), 0, "medium", Medium},
		{"what it calls optimum is enough", "umass", "modified morgan", P, parts6(5), 0, "optimum", High},
		{"sufficient is enough, high more than that", "clemson", "mehlich-1", P, poundsOnAcre(121), 0, "high", VeryHigh},
		{"below a limit", "california tomato", "olsen", P, parts6(14.9), 0, "low", Low},
		{"at the limit", "california tomato", "olsen", P, parts6(15), 0, "between the limits", Medium},
		{"at the upper limit", "california tomato", "olsen", P, parts6(25), 0, "between the limits", Medium},
		{"an index below 0", "rutgers", "mehlich-3", Mn, plain(-3), 0, "below the critical level", Low},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Rate(c.lab, c.method, c.nutrient, c.value, c.depth)
			require.NoError(t, err)
			require.Equal(t, c.category, r.Category)
			require.Equal(t, c.level, r.Level)
			require.NotEmpty(t, r.Source.Title)
			require.NotEmpty(t, r.Lab.Title)
		})
	}
}

func TestRateRefuses(t *testing.T) {
	for _, c := range []struct {
		lab, method string
		nutrient    Nutrient
		value       quantity.Quantity
		want        string
	}{
		{"rutgers", "mehlich-1", P, parts6(38),
			"no table rates P for rutgers by mehlich-1; there are: Rutgers (Mid-Atlantic) by mehlich-3. Results by one extractant cannot be read in the table of another"},
		{"", "bray-1", Mg, parts6(38),
			"no table rates Mg for bray-1; there are: University of Florida (2014) by mehlich-3, Rutgers (Mid-Atlantic) by mehlich-3. Results by one extractant cannot be read in the table of another"},
		{"ncda", "mehlich-3", P, parts6(38),
			"North Carolina (P-I and K-I index) prints P in index: write the number that the report prints, without a unit"},
		{"rutgers", "mehlich-3", P, quantity.Of(38, quantity.Ratio),
			"Rutgers (Mid-Atlantic) prints P in lb/ac: write it in ppm or as a mass for each area"},
		{"rutgers", "mehlich-3", P, quantity.Meters(1),
			"Rutgers (Mid-Atlantic) prints P in lb/ac: write it in ppm or as a mass for each area"},
		{"rutgers", "mehlich-3", P, parts6(-1),
			"Rutgers (Mid-Atlantic) prints P in lb/ac: write it in ppm or as a mass for each area"},
	} {
		_, err := Rate(c.lab, c.method, c.nutrient, c.value, 0)
		require.EqualError(t, err, c.want)
	}
}

// TestLaboratories: every table begins at 0, leaves no gap wider than 1 between its categories and none overlapping, rises
// from level to level, ends without bound, and is found by its own name.
func TestLaboratories(t *testing.T) {
	require.Contains(t, Methods(), "mehlich-3")
	for _, l := range Labs() {
		require.NotEmpty(t, l.Title, l.Name)
		name, ok := LabNamed(l.Title)
		if ok {
			require.Equal(t, l.Name, name)
		}
		name, ok = LabNamed(l.Name)
		require.True(t, ok)
		require.Equal(t, l.Name, name)
		for _, n := range l.Nutrients {
			rows := ratings().rows[ratingKey{l.Name, l.Method, n}]
			require.Zero(t, rows[0].Low)
			require.True(t, math.IsInf(rows[len(rows)-1].High, 1))
			for i, row := range rows {
				require.NotEqual(t, "not rated", row.Level.String())
				require.Contains(t, []Grade{GradeA, GradeB, GradeC, GradeMemory}, row.Source.Grade)
				if i == 0 {
					continue
				}
				require.GreaterOrEqual(t, row.Low, rows[i-1].High, "%s %s", l.Name, n)
				require.LessOrEqual(t, row.Low, rows[i-1].High+1, "%s %s", l.Name, n)
				require.GreaterOrEqual(t, row.Level, rows[i-1].Level, "%s %s", l.Name, n)
				require.Equal(t, rows[0].Unit, row.Unit)
			}
		}
	}
}

// TestRateRises: more of a nutrient is never rated lower.
func TestRateRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.SampledFrom(Labs()).Draw(t, "laboratory")
		n := rapid.SampledFrom(l.Nutrients).Draw(t, "nutrient")
		value := func(name string) quantity.Quantity {
			v := rapid.Float64Range(0, 400).Draw(t, name)
			switch ratings().rows[ratingKey{l.Name, l.Method, n}][0].Unit {
			case "ppm":
				return parts6(v)
			case "lb/ac":
				return poundsOnAcre(v)
			}
			return quantity.Of(v+shareLimit, quantity.Ratio)
		}
		a, b := value("one"), value("other")
		if a.SI > b.SI {
			a, b = b, a
		}
		low, err := Rate(l.Name, l.Method, n, a, 0)
		require.NoError(t, err)
		high, err := Rate(l.Name, l.Method, n, b, 0)
		require.NoError(t, err)
		require.LessOrEqual(t, low.Level, high.Level)
		require.LessOrEqual(t, low.Value, low.High*(1+hair))
	})
}

func TestSoilMassRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		share, depth := rapid.Float64Range(0, 0.01).Draw(t, "share"), rapid.Float64Range(0, 1).Draw(t, "depth")
		require.InDelta(t, share, SoilShare(SoilMass(share, depth), depth), 1e-12)
		require.InDelta(t, share, POfOxide(OxideOfP(share)), 1e-12)
		require.InDelta(t, share, KOfOxide(OxideOfK(share)), 1e-12)
	})
}
