package labor

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestHeatOf(t *testing.T) {
	for index, want := range map[float64]string{70: "lower", 90.9: "lower", 91: "moderate", 95: "moderate", 102.9: "moderate",
		103: "high", 115: "high", 115.1: "very high"} {
		require.Equal(t, want, HeatOf(index).String(), index)
	}
}

// Damp air never feels cooler than drier air of the same warmth, within what the regression is off, and mild air feels
// about as warm as it is.
func TestHeatIndexLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		air := rapid.Float64Range(40, 110).Draw(t, "air")
		dry := rapid.Float64Range(0, 100).Draw(t, "dry")
		damp := rapid.Float64Range(dry, 100).Draw(t, "damp")
		require.LessOrEqual(t, HeatIndex(air, dry), HeatIndex(air, damp)+1.3)
		if air < 75 {
			require.InDelta(t, air, HeatIndex(air, damp), 4)
		}
	})
	require.Equal(t, HeatIndex(90, 100), HeatIndex(90, 120))
}
