package derive

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// By hand: S = π (0.922⁴ − 0.824⁴) / (32 × 0.922) = 0.027860 in³; at 30 000 psi over 10 ft 8 S σ / L is 55.72 lb, and
// twice that over posts half as far apart.
func TestConduitCarries(t *testing.T) {
	const pound = 0.45359237
	rail := Trellis{Apart: 10 * foot, Length: 50 * foot, Rail: []float64{10 * foot}}
	require.InEpsilon(t, 55.72*pound, rail.ConduitCarries(), 1e-4)
	rail.Apart = 5 * foot
	require.InEpsilon(t, 111.44*pound, rail.ConduitCarries(), 1e-4)
	rail.Length = 2.5 * foot
	require.InEpsilon(t, 222.88*pound, rail.ConduitCarries(), 1e-4, "one short span")
	require.Zero(t, (&Trellis{Apart: 10 * foot, Length: 50 * foot}).ConduitCarries(), "no rail")
}
