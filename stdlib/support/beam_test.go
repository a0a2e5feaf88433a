package support

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// By hand in pounds and inches: a tube 1.5 in across with a wall of 0.12 in has S = π (1.5⁴ − 1.26⁴) / (32 × 1.5) =
// 0.166375 in³; at 30 000 psi over 120 in it carries 8 × 0.166375 × 30 000 / 120 = 332.75 lb.
func TestTubeByHand(t *testing.T) {
	const pound, psi = 0.45359237, 6894.757293168
	require.InEpsilon(t, 332.75*pound, Tube{1.5 * inch, 0.12 * inch}.Carries(10*ft, 30_000*psi), 1e-4)
	require.InEpsilon(t, Tube{inch, inch}.Carries(2, 1e8), Tube{inch, inch / 2}.Carries(2, 1e8), 1e-12, "solid is solid")
}

// Half the span carries twice the load; twice the size carries eight times as much; a thicker wall never less.
func TestTubeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tube := Tube{rapid.Float64Range(0.01, 0.1).Draw(t, "outer"), rapid.Float64Range(0.001, 0.06).Draw(t, "wall")}
		span, stress := rapid.Float64Range(0.5, 8).Draw(t, "span"), rapid.Float64Range(1e7, 1e9).Draw(t, "stress")
		load := tube.Carries(span, stress)
		require.InEpsilon(t, 2*load, tube.Carries(span/2, stress), 1e-9)
		require.InEpsilon(t, 8*load, Tube{2 * tube.Outer, 2 * tube.Wall}.Carries(span, stress), 1e-9)
		require.GreaterOrEqual(t, Tube{tube.Outer, tube.Wall * 1.1}.Carries(span, stress), load*(1-1e-12))
	})
}
