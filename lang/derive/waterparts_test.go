package derive

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

func TestRollsFor(t *testing.T) {
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
			rolls, joints := rollsFor(cuts)
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
		rolls, _ := rollsFor(cuts)
		require.GreaterOrEqual(t, float64(rolls)*roll, sum-1e-6)
		require.Less(t, float64(rolls-1)*roll, 2*sum)
	})
}

func TestPartsToBuy(t *testing.T) {
	p, _ := zoned(12, 11, regulated(10), func(z *farm.Zone) { z.Supply, z.Header = run(120, 1.25), run(50, 1) })
	p.Rows[0].Tapes = count(2)
	other := p.zone("roots", p.Sources[0], p.Tapes[0])
	p.row(p.Plots[0], 60, watered(other))
	p.zone("empty", p.Sources[0], p.Tapes[0])
	p.Sources[0].Backflow = farm.Text{Value: "double check valve", Given: true}
	w := Derive(&p.Farm).Water
	type line struct {
		zone, name string
		count      int
	}
	var got []line
	for _, part := range w.Parts {
		name := ""
		if part.Zone != nil {
			name = part.Zone.Decl.Name.Value
		}
		require.NotEmpty(t, part.For)
		require.Equal(t, part.Kind == FilterPart || part.Kind == BackflowPart, part.Source != nil)
		got = append(got, line{name, part.Name, part.Count})
	}
	require.Equal(t, []line{
		{"fruiting", "coupling from pipe to tape, with shutoff", 13},
		{"fruiting", "sleeve, cut from the tape", 13},
		{"fruiting", "valve", 1},
		{"fruiting", "polyethylene pipe, 1.25 in inside", 1},
		{"fruiting", "polyethylene pipe, 1 in inside", 1},
		{"fruiting", "pressure regulator, 10 psi", 1},
		{"fruiting", "air and vacuum vent", 1},
		{"roots", "coupling from pipe to tape, with shutoff", 1},
		{"roots", "sleeve, cut from the tape", 1},
		{"roots", "valve", 1},
		{"roots", "air and vacuum vent", 1},
		// 14 cuts of 100 ft 5 in, nine to a roll.
		{"", "drip tape, 12 in between emitters, 0.34 gpm per 100 ft", 2},
		{"", "filter, 150 mesh", 1},
		{"", "double check valve", 1},
	}, got)
	tape := w.Parts[11]
	require.InDelta(t, 14*(100+5./12)*foot, tape.Length, 1e-6)
	require.Equal(t, "zones fruiting, roots", tape.For)
	require.InDelta(t, 120*foot, w.Parts[3].Length, 1e-9)

	p.Tapes[0].Flow = amount(0.22*gpm/(100*foot), quantity.LineFlow)
	p.Sources[0].Backflow.Value = "none"
	w = Derive(&p.Farm).Water
	require.Equal(t, "filter, 200 mesh", w.Parts[12].Name, "0.13 gph is a fine emitter")
	require.Contains(t, w.Parts[13].Name, "local code")
}
