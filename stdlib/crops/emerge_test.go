package crops

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestEmergeBetweenCells: between two cells that sprouted the days lie between theirs, and the nearer
// cell weighs more.
func TestEmergeBetweenCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom(All()).Draw(t, "crop")
		if len(c.Emergence) < 2 {
			return
		}
		i := rapid.IntRange(1, len(c.Emergence)-1).Draw(t, "cell")
		lo, hi := c.Emergence[i-1], c.Emergence[i]
		part := rapid.Float64Range(0, 1).Draw(t, "part")
		celsius := lo.Celsius + part*(hi.Celsius-lo.Celsius)
		days, ok := c.DaysToEmerge(celsius)
		switch {
		case hi.Celsius-lo.Celsius > cellGap && celsius > lo.Celsius+cellSlack && celsius < hi.Celsius-cellSlack:
			require.False(t, ok, "nothing is read across a temperature that was not tested")
		case !lo.Sprouts && !hi.Sprouts:
			require.False(t, ok)
		case lo.Sprouts && hi.Sprouts:
			require.True(t, ok)
			require.LessOrEqual(t, days, max(lo.Days, hi.Days)+1e-9)
			require.GreaterOrEqual(t, days, min(lo.Days, hi.Days)-1e-9)
		case ok:
			require.GreaterOrEqual(t, days, 0.999*sprouting(lo, hi).Days, "slower towards the cell that did not germinate")
		}
	})
}

func sprouting(a, b Emergence) Emergence {
	if a.Sprouts {
		return a
	}
	return b
}

func TestEmergeOutside(t *testing.T) {
	c, _ := Named("tomato")
	for _, celsius := range []float64{-5, -0.01, 40.01, 60} {
		_, ok := c.DaysToEmerge(celsius)
		require.False(t, ok, "%g °C", celsius)
	}
	garlic, _ := Named("garlic")
	_, ok := garlic.DaysToEmerge(15)
	require.False(t, ok)
	days, ok := c.DaysToEmerge(7.5)
	require.True(t, ok, "half way from 41 °F, none, to 50 °F, 43 days")
	require.InDelta(t, 86, days, 1e-6)
}
