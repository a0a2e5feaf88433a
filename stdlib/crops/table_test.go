package crops

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/stdlib/quantity"
)

// TestTableReads: table panics on a row that does not read; this is the test that it cannot happen.
func TestTableReads(t *testing.T) {
	_, err := read()
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(All()), 45)
	require.Len(t, outings(), 8)
}

// TestFactRefused: every way in which a row can be wrong is found when the table is read.
func TestFactRefused(t *testing.T) {
	r := &reader{members: map[string][]*Crop{}, sources: map[string]string{"memory": "memory"}, said: map[*Crop]map[string][]statement{}}
	c := &Crop{Name: "okra"}
	r.members["okra"], r.said[c] = []*Crop{c}, map[string][]statement{}
	good := []string{"okra", "in_row", "8", "24", "in", "M", "memory", "memory", "", ""}
	require.NoError(t, r.fact(good))
	for column, bad := range map[int]string{0: "ocra", 1: "in_rows", 2: "25", 3: "wide", 4: "furlong", 5: "D", 6: "hearsay"} {
		row := slices.Clone(good)
		row[column] = bad
		require.Error(t, r.fact(row), "%v", row)
	}
}

func TestEverySourceIsUsed(t *testing.T) {
	used := map[string]bool{}
	for _, text := range []string{familyCSV, spacingCSV, timingCSV, seedCSV, yieldCSV, waterCSV} {
		for _, row := range mustRows(text) {
			used[row[6]] = true
			require.Equal(t, row[7] == "memory", row[5] == string(GradeMemory), "%v: what is recalled is grade M, what is read is not", row)
			require.Contains(t, []string{"seen", "memory"}, row[7], "%v", row)
		}
	}
	for _, row := range mustRows(emergenceCSV) {
		used[row[5]] = true
	}
	for _, row := range mustRows(familiesCSV) {
		used[row[2]] = true
	}
	for _, row := range mustRows(sourcesCSV) {
		require.True(t, used[row[0]], "no fact is from %s", row[0])
		require.NotEmpty(t, row[1])
	}
}

func TestGroupsAreUsed(t *testing.T) {
	used := map[string]bool{}
	for _, text := range []string{familyCSV, spacingCSV, timingCSV, seedCSV, yieldCSV, waterCSV, emergenceCSV} {
		for _, row := range mustRows(text) {
			used[row[0]] = true
		}
	}
	for _, row := range mustRows(groupsCSV) {
		require.True(t, used[row[0]], "no fact is about %s", row[0])
	}
}

// plausible bounds of each kind, in the kind's own numbers.
var plausible = map[Kind][2]float64{
	Length: {0.002, 4}, Days: {14, 730}, Window: {7, 200}, FromFrost: {-270, 30}, Weeks: {1, 14}, Years: {1, 30}, Number: {0.1, 1.3}, Percent: {0.4, 1},
	Warmth: {1.5e7, 1.5e8}, Temperature: {273, 318}, PerMass: {1e3, 4e6}, PerLength: {0.2, 150}, Mass: {0.3, 30}, LineMass: {0.2, 5}, AreaMass: {0.1, 10},
}

var botanical = []string{
	"Amaranthaceae", "Amaryllidaceae", "Apiaceae", "Asparagaceae", "Asteraceae", "Brassicaceae", "Convolvulaceae",
	"Cucurbitaceae", "Fabaceae", "Lamiaceae", "Malvaceae", "Poaceae", "Rosaceae", "Solanaceae",
}

func TestEveryCrop(t *testing.T) {
	grades, weakest := map[Grade]int{}, map[string]int{}
	seen := map[string]bool{}
	for _, c := range All() {
		t.Run(c.Name, func(t *testing.T) {
			require.False(t, seen[c.Ident])
			seen[c.Ident] = true
			require.Regexp(t, `^[a-z][a-z_]*[a-z]$`, c.Ident)
			require.Contains(t, botanical, c.Family)
			require.NotEqual(t, FrostUnknown, c.Frost)
			require.True(t, c.Transplant || c.Direct)
			for _, v := range values {
				sound(t, v, *v.field(c))
			}
			for _, e := range c.Values() {
				grades[e.Range.Grade]++
				require.Contains(t, gradeOrder, e.Range.Grade, e.Label)
				require.NotEmpty(t, e.Range.Source, e.Label)
				for _, s := range []quantity.System{quantity.US, quantity.Metric} {
					require.NotEmpty(t, e.Format(s), e.Label)
					require.NotContains(t, e.Format(s), "NaN", e.Label)
				}
			}
			for label, r := range map[string]Range{"in the row": c.InRow, "between rows": c.BetweenRows, "spread": c.Spread, "height": c.Height, "harvest": c.HarvestDays, "rotation": c.RotationYears} {
				require.True(t, r.Known(), label)
				weakest[label+" "+string(r.Grade)]++
			}
			require.True(t, c.Depth.Known() || c.Ident == "strawberry", "depth of seed, clove, slip or crown")
			require.True(t, c.TrayWeeks.Known() || !c.Transplant, "weeks in the tray")
			require.True(t, c.MaturitySeed.Known() || c.MaturityTransplant.Known())
			require.True(t, c.YieldPerLength.Known() || c.UnitsPerLength.Known() || c.YieldPerArea.Known() || c.YieldPerPlant.Known())
			require.NotEmpty(t, c.SaleUnit)
			require.LessOrEqual(t, c.InRow.Low, c.BetweenRows.High, "plants stand closer in the row than rows stand apart")
			require.True(t, slices.IsSortedFunc(c.Emergence, func(a, b Emergence) int {
				require.NotEqual(t, a.Celsius, b.Celsius)
				return int(math.Copysign(1, a.Celsius-b.Celsius))
			}))
		})
	}
	t.Logf("values by grade: A %d, B %d, C %d, M %d", grades[GradeA], grades[GradeB], grades[GradeC], grades[GradeMemory])
	t.Log(weakest)
}

func sound(t *testing.T, v value, r Range) {
	if !r.Known() {
		require.Zero(t, r.Low, v.name)
		require.Zero(t, r.High, v.name)
		return
	}
	require.LessOrEqual(t, r.Low, r.High, v.name)
	require.Equal(t, v.kind.dim(), r.Dim, v.name)
	bounds := plausible[v.kind]
	require.GreaterOrEqual(t, r.Low, bounds[0], v.name)
	require.LessOrEqual(t, r.High, bounds[1], v.name)
	last := GradeA
	for _, o := range r.Others {
		require.Contains(t, gradeOrder, o.Grade, v.name)
		require.NotEmpty(t, o.Source, v.name)
		require.LessOrEqual(t, byGrade(last, o.Grade), 0, "%s: best grade first", v.name)
		last = o.Grade
	}
}

// TestSpacings holds the ranges that decide warnings against what growers in rows use (common practice).
func TestSpacings(t *testing.T) {
	for _, k := range []struct {
		crop                     string
		inLow, inHigh, low, high int // in
	}{
		{"bell pepper", 12, 24, 18, 36},
		{"tomato", 18, 36, 24, 48},
		{"sweet potato", 9, 18, 36, 72},
		{"strawberry", 12, 24, 30, 60},
		{"onion", 1, 4, 12, 24},
		{"sweet corn", 8, 14, 30, 42},
		{"garlic", 3, 6, 12, 24},
	} {
		c, _ := Named(k.crop)
		inch := named("inch")
		require.InDeltaSlice(t, []float64{float64(k.inLow), float64(k.inHigh), float64(k.low), float64(k.high)},
			[]float64{c.InRow.Low / inch, c.InRow.High / inch, c.BetweenRows.Low / inch, c.BetweenRows.High / inch}, 1e-9, k.crop)
		for _, o := range c.InRow.Others {
			if strings.Contains(o.Source, "intensive spacing") {
				require.Contains(t, o.Note, "equal distance", "beds are told apart from rows")
			}
		}
	}
}

func TestOkraHasNoWaterCoefficient(t *testing.T) {
	c, _ := Named("okra")
	require.False(t, c.KcIni.Known() || c.KcMid.Known() || c.KcEnd.Known() || c.RootDepth.Known(), "FAO-56 has no okra")
}

func TestMisprintsAreNoValues(t *testing.T) {
	c, _ := Named("cabbage")
	for _, e := range c.Emergence {
		require.False(t, e.Sprouts && e.NormalPct == 0, "a percentage of 0 beside a count of days")
	}
	c, _ = Named("sweet potato")
	require.Less(t, c.YieldPerLength.High, 500*named("lb")/(100*named("ft")))
}

func ExampleCrop_Values() {
	c, _ := Named("bell pepper")
	for _, e := range c.Values()[:7] {
		fmt.Printf("%s: %s (%s)\n", e.Label, e.Format(quantity.US), e.Range.Grade.Words())
		for _, o := range e.Range.Others {
			fmt.Printf("  %s (%s)\n", e.FormatStated(o, quantity.US), joined(string(o.Grade), o.Note))
		}
	}
	// Output:
	// family: Solanaceae (A, read in a standard, regulation or university page)
	// started: transplant (B, the same read through a copy)
	// frost class: very tender (M, from memory, not checked)
	//   tender (C; a list of three levels, which has no very tender)
	// goes out: 1 week after the last frost (M, from memory, not checked)
	// in the row: 12 to 24 in (M, from memory, not checked)
	//   12 in (B; equal distance in every direction in rich beds)
	//   15 in (C)
	//   18 to 24 in (C)
	//   12 to 18 in (M; double row on plastic 12 x 14-18)
	// between rows: 18 to 36 in (M, from memory, not checked)
	//   12 in (B; equal distance in every direction in rich beds)
	//   18 to 24 in (C)
	//   24 to 36 in (C)
	// depth: 0.25 to 0.5 in (C, trade charts and secondary pages)
	//   0.25 in (C)
	//   0.5 in (C)
	//   0.25 to 0.5 in (M)
}
