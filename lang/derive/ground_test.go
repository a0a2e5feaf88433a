package derive_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

func given(m float64) farm.Length { return farm.Length{Value: quantity.Meters(m), Given: true} }

// plotAt is a plot with its first corner at a place on the farm's map.
func plotAt(east, north, length, width, bearing float64) *farm.Plot {
	return &farm.Plot{
		East: given(east), North: given(north), Length: given(length), Width: given(width),
		Bearing: farm.Number{Value: bearing},
	}
}

func TestSharedGround(t *testing.T) {
	for _, tt := range []struct {
		name string
		a, b *farm.Plot
		want float64
	}{
		{"the same", plotAt(0, 0, 10, 4, 0), plotAt(0, 0, 10, 4, 0), 40},
		{"a corner of each", plotAt(0, 0, 10, 4, 0), plotAt(3, 8, 10, 4, 0), 2},
		{"side by side", plotAt(0, 0, 10, 4, 0), plotAt(4, 0, 10, 4, 0), 0},
		{"turned a quarter about its corner", plotAt(0, 0, 10, 4, 90), plotAt(0, -4, 4, 10, 0), 40},
		{"a square on its corner across a strip", plotAt(-10, -0.5, 1, 20, 0), plotAt(0, 0, 1, 1, 45), math.Sqrt2 - 0.5},
		{"far away", plotAt(0, 0, 10, 4, 30), plotAt(500, 0, 10, 4, 60), 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			a, b := derive.GroundOf(tt.a), derive.GroundOf(tt.b)
			require.InDelta(t, tt.want, a.Shared(b), 1e-9)
			require.InDelta(t, tt.want, b.Shared(a), 1e-9)
		})
	}
}

// Whatever two plots share is shared both ways, and never more than the smaller one; what is moved and
// turned together shares the same.
func TestSharedGroundLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Float64Range(1, 100)
		place := rapid.Float64Range(-60, 60)
		turn := rapid.Float64Range(-360, 360)
		plot := func(name string) *farm.Plot {
			return plotAt(place.Draw(t, name+" east"), place.Draw(t, name+" north"), side.Draw(t, name+" length"),
				side.Draw(t, name+" width"), turn.Draw(t, name+" bearing"))
		}
		a, b := derive.GroundOf(plot("a")), derive.GroundOf(plot("b"))
		shared := a.Shared(b)
		require.InDelta(t, shared, b.Shared(a), 1e-6)
		require.LessOrEqual(t, shared, min(a.Area(), b.Area())+1e-6)
		require.InDelta(t, a.Area(), a.Shared(a), 1e-6)
	})
}
