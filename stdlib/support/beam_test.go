package support

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// By hand in pounds and inches: 200 lb over 10 ft of a tube 1.5 in across with a wall of 0.12 in has M = 200 × 120 / 8 =
// 3000 lb in, I = π (1.5⁴ − 1.26⁴) / 64 = 0.12478 in⁴ and S = 0.16637 in³: 18 032 psi, and at 29 000 000 psi
// a sag of 5 × 200 × 120³ / (384 × 29e6 × 0.12478) = 1.2436 in.
func TestTubeByHand(t *testing.T) {
	const pound, psi = 0.45359237, 6894.757293168
	tube := Tube{1.5 * inch, 0.12 * inch}
	require.InEpsilon(t, 18_032*psi, tube.Stress(200*pound, 10*ft), 1e-4)
	require.InEpsilon(t, 1.2436*inch, tube.Sag(200*pound, 10*ft, 29e6*psi), 1e-4)
	require.True(t, math.IsNaN(Tube{}.Stress(1, 1)))
}

// Twice the load is twice the stress and the sag; a span of half the length under the same load for each meter has a
// quarter of the stress and a sixteenth of the sag; a thicker wall never has more.
func TestTubeLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tube := Tube{rapid.Float64Range(0.01, 0.1).Draw(t, "outer"), rapid.Float64Range(0.001, 0.06).Draw(t, "wall")}
		mass, span := rapid.Float64Range(1, 500).Draw(t, "mass"), rapid.Float64Range(0.5, 8).Draw(t, "span")
		require.InEpsilon(t, 2*tube.Stress(mass, span), tube.Stress(2*mass, span), 1e-9)
		require.InEpsilon(t, tube.Stress(mass, span)/4, tube.Stress(mass/2, span/2), 1e-9)
		require.InEpsilon(t, tube.Sag(mass, span, 200e9)/16, tube.Sag(mass/2, span/2, 200e9), 1e-9)
		thicker := Tube{tube.Outer, tube.Wall * 1.1}
		require.LessOrEqual(t, thicker.Stress(mass, span), tube.Stress(mass, span)*(1+1e-12))
	})
}
