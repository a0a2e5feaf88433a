package support

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const (
	inch = 0.0254
	ft   = 0.3048
)

func TestStakes(t *testing.T) {
	require.Equal(t, 9, Stakes(16, 2), "sixteen plants, a stake at every second one and at both ends")
	require.Equal(t, 21, Stakes(40, 2), "a 100 ft row at 30 in has 40 plants and, with a stake each 5 ft, 21")
	require.Equal(t, 21, Posts(100*ft, 5*ft))
	require.Equal(t, 4, Posts(25*ft, 10*ft), "the last bay may be short")
	require.Zero(t, Stakes(0, 2))
	require.Zero(t, Posts(10, 0))
}

func TestStrings(t *testing.T) {
	require.Equal(t, 5, Levels(4*ft, 10*inch, 8*inch), "10, 18, 26, 34 and 42 in under a top of 48")
	require.Equal(t, 1, Levels(10*inch, 10*inch, 8*inch))
	require.Zero(t, Levels(9*inch, 10*inch, 8*inch))
	require.InDelta(t, 4*2*(100*ft+21*8*inch), Twine(4, 100*ft, 21, 8*inch), 1e-9)
}

// Mesh 48 in long makes a cage 15.3 in across; 60 in, 19.1 in.
func TestCage(t *testing.T) {
	require.InDelta(t, 15.2789, CageDiameter(48), 1e-4)
	require.InDelta(t, 19.0986, CageDiameter(60), 1e-4)
}

func TestUsual(t *testing.T) {
	v, ok := Usual("stake and weave", "string interval")
	require.True(t, ok)
	require.InDelta(t, 8*inch, v.Low, 1e-12)
	require.Equal(t, "A", v.Grade)
	_, ok = Usual("cage", "string interval")
	require.False(t, ok)
	for k, v := range usual() {
		require.NotEmpty(t, v.Source, k)
		require.Contains(t, []string{"A", "B", "C", "M", "X"}, v.Grade, k)
		require.LessOrEqual(t, v.Low, v.High, k)
		require.Positive(t, v.Low, k)
	}
}

// The pieces of a rail make up its length, none longer than the stock, and no shorter stock count would do.
func TestRailKeepsItsLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length, stock := rapid.Float64Range(0.1, 500).Draw(t, "length"), rapid.Float64Range(1, 10).Draw(t, "stock")
		sum := 0.0
		pieces := Rail(length, stock)
		for _, p := range pieces {
			require.LessOrEqual(t, p, stock)
			sum += p
		}
		require.InDelta(t, length, sum, 1e-5)
		require.LessOrEqual(t, float64(len(pieces)-1)*stock, length+1e-5)
	})
}

// No two posts are farther apart than asked, and one fewer would be.
func TestPostsAreNearEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length, apart := rapid.Float64Range(1, 500).Draw(t, "length"), rapid.Float64Range(0.5, 10).Draw(t, "spacing")
		n := Posts(length, apart)
		require.LessOrEqual(t, length/float64(n-1), apart+1e-5)
		require.True(t, n == 2 || length/float64(n-2) > apart-1e-5)
	})
}

// On the day that a plant has a height it is that high, and the day before it was not.
func TestGrowthReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Growth{First: 6 * inch, Full: rapid.Float64Range(0.3, 3).Draw(t, "full"), Still: 7,
			Grown: rapid.Float64Range(20, 120).Draw(t, "grown")}
		h := rapid.Float64Range(0.16, g.Full).Draw(t, "height")
		day, ok := g.Day(h)
		require.True(t, ok)
		require.GreaterOrEqual(t, g.Height(float64(day)), h-1e-5)
		require.Less(t, g.Height(float64(day-1)), h+1e-5)
		_, ok = g.Day(g.Full + 0.1)
		require.False(t, ok)
	})
	require.True(t, math.Abs(Growth{First: 1, Full: 2, Still: 5, Grown: 10}.Height(7.5)-1.5) < 1e-12)
}
