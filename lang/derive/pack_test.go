package derive

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPacksFor(t *testing.T) {
	tests := []struct {
		name          string
		cuts          []float64 // ft
		rolls, joints int
	}{
		{"none", nil, 0, 0},
		{"ten of a tenth", repeat(100, 10), 1, 0},
		{"one more", repeat(100, 11), 2, 0},
		{"nine leave an end that is no use", repeat(101, 10), 2, 0},
		{"short ones use the ends", append(repeat(600, 2), 400, 300, 100), 2, 0},
		{"order does not matter", []float64{100, 300, 600, 400, 600}, 2, 0},
		{"longer than a roll", []float64{2500}, 3, 2},
		{"two rolls and no more", []float64{2000}, 2, 1},
		{"the end of a long one serves others", []float64{1400, 600}, 2, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cuts := slices.Clone(tt.cuts)
			for i := range cuts {
				cuts[i] *= foot
			}
			rolls, joints := packsFor(cuts, roll, nil), jointsIn(cuts, roll)
			require.Equal(t, tt.rolls, rolls)
			require.Equal(t, tt.joints, joints)
		})
	}
}

func repeat(v float64, n int) []float64 { return slices.Repeat([]float64{v}, n) }

// Rolls hold the cuts, and not more than twice as many are bought as would hold them without waste.
func TestRollsHoldTheCuts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cuts := rapid.SliceOfN(rapid.Float64Range(1, 3*roll), 1, 40).Draw(t, "cuts")
		sum := 0.0
		for _, c := range cuts {
			sum += c
		}
		rolls := packsFor(cuts, roll, nil)
		require.GreaterOrEqual(t, float64(rolls)*roll, sum-1e-6)
		require.Less(t, float64(rolls-1)*roll, 2*sum)
	})
}

// What is at hand counts: rolls and what is in stock hold the cuts, and the rolls that would have been bought
// leave nothing to buy when they are there already.
func TestOpenPacksAreUsed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cuts := rapid.SliceOfN(rapid.Float64Range(1, 3*roll), 1, 20).Draw(t, "cuts")
		stock := rapid.Float64Range(0, 5*roll).Draw(t, "stock")
		sum := 0.0
		for _, c := range cuts {
			sum += c
		}
		require.GreaterOrEqual(t, float64(packsFor(cuts, roll, openPacks(stock, roll)))*roll+stock, sum-1e-6)
		bought := packsFor(cuts, roll, nil)
		require.Zero(t, packsFor(cuts, roll, openPacks(float64(bought)*roll, roll)))
	})
}
