package solve

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

func TestUpAndDown(t *testing.T) {
	tests := []struct {
		name     string
		meters   float64
		units    quantity.System
		up, down float64
	}{
		{"half inches below 2 ft", 17.2 * inch, quantity.US, 17.5 * inch, 17 * inch},
		{"whole inches from 2 ft on", 30.6 * inch, quantity.US, 31 * inch, 30 * inch},
		{"on the mark already", 17.5 * inch, quantity.US, 17.5 * inch, 17.5 * inch},
		{"a foot added up in tenths", 0.1*foot + 0.2*foot + 0.7*foot, quantity.US, foot, foot},
		{"below the first half inch", 0.3 * inch, quantity.US, 0.5 * inch, 0.25 * inch},
		{"centimeters", 0.443, quantity.Metric, 0.45, 0.44},
		{"below the first centimeter", 0.0043, quantity.Metric, 0.01, 0.004},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			require.InDelta(t, tt.up, Up(tt.meters, tt.units), 1e-12)
			down, ok := Down(tt.meters, tt.units)
			require.True(t, ok)
			require.InDelta(t, tt.down, down, 1e-12)
		})
	}
	for _, none := range []float64{0, -1, 1e-4, math.NaN(), math.Inf(-1)} {
		_, ok := Down(none, quantity.US)
		require.False(t, ok, none)
	}
}

func TestSpacingWithin(t *testing.T) {
	of := func(low, high float64) *crops.Range { return &crops.Range{Low: low, High: high, Grade: "B"} }
	tests := []struct {
		name string
		now  float64
		r    *crops.Range
		u    quantity.System
		want float64
		ok   bool
	}{
		{"too tight", 9 * inch, of(12*inch, 18*inch), quantity.US, 12 * inch, true},
		{"too wide", 36 * inch, of(12*inch, 18*inch), quantity.US, 18 * inch, true},
		{"centimeters in US units", 9 * inch, of(0.30, 0.45), quantity.US, 12 * inch, true}, // 30 cm is 11.8 in
		{"inches in metric units", 0.2, of(12*inch, 18*inch), quantity.Metric, 0.31, true},  // 30.48 cm
		{"between two marks", 0.2, of(0.0452, 0.0458), quantity.Metric, 0, false},           // no millimeter
		{"one value", 10 * inch, of(2.25*inch, 2.25*inch), quantity.US, 2.25 * inch, true},  // a quarter
		{"not known", 1, &crops.Range{}, quantity.US, 0, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, ok := SpacingWithin(tt.now, tt.r, tt.u)
			require.Equal(t, tt.ok, ok)
			require.InDelta(t, tt.want, got, 1e-12)
		})
	}
}

// The nearest place is free, on the ruler, within bounds, and no mark of the ruler that is free is nearer.
func TestNearestIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		meters := rapid.Float64Range(0, 20)
		want, low, high := meters.Draw(t, "want"), meters.Draw(t, "low"), meters.Draw(t, "high")
		var taken []span
		for range rapid.IntRange(0, 6).Draw(t, "taken") {
			from := rapid.Float64Range(-2, 20).Draw(t, "from")
			taken = append(taken, span{from, from + rapid.Float64Range(-0.5, 6).Draw(t, "wide")})
		}
		free := func(x float64) bool {
			if x < low-1e-7 || x > high+1e-7 {
				return false
			}
			for _, s := range taken {
				if s.from < x-1e-7 && x < s.to-1e-7 {
					return false
				}
			}
			return true
		}
		best, found := nearest(want, low, high, taken, quantity.Metric)
		require.True(t, !found || free(best), "%v is not free", best)
		if found {
			require.InDelta(t, math.Round(best*1000), best*1000, 1e-6, "on the ruler")
		}
		for n := range 2001 {
			x := float64(n) / 100
			clear := true // by more than the slack, so that no rounding decides
			for _, s := range taken {
				clear = clear && (x <= s.from-1e-6 || x >= s.to+1e-6)
			}
			if clear && x >= low+1e-6 && x <= high-1e-6 {
				require.True(t, found)
				require.LessOrEqual(t, math.Abs(best-want), math.Abs(x-want)+1e-6, "%v is nearer than %v", x, best)
			}
		}
	})
}
