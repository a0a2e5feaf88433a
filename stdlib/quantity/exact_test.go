package quantity

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestExact(t *testing.T) {
	inch, _ := UnitNamed("inch")
	ft, _ := UnitNamed("ft")
	tests := []struct {
		units System
		q     Quantity
		want  string
	}{
		{US, inch.Of(54), "4.5 * ft"},
		{US, Meters(5*ft.SI + 3*inch.Of(54).SI), "18.5 * ft"}, // added up: not the same to the last bit
		{US, Of(5, Time), "5 * seconds"},
		{US, Fahrenheit(28), "degf(28)"},
		{Metric, Celsius(-2.5), "degc(-2.5)"},
		{Metric, Meters(1.0 / 3), "33.333333333333 * cm"},
		{Metric, Meters(12.3456789), "12.3456789 * m"},
		{US, Of(0, Length), "0 * inch"},
		{US, Of(math.Pi, Dimension{AxisMass: 2, AxisTime: -1}), "3.1415926535898 * kg * kg / seconds"},
		{US, Of(1, Money), ""},
	}
	for _, test := range tests {
		require.Equal(t, test.want, test.units.Exact(test.q))
	}
}

// What Exact writes of a length is worth it, but for the last bits.
func TestExactIsWorthIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(1e-6, 1e6).Draw(t, "m")
		units := rapid.SampledFrom([]System{US, Metric}).Draw(t, "units")
		number, name, _ := strings.Cut(units.Exact(Meters(v)), " * ")
		n, err := strconv.ParseFloat(number, 64)
		require.NoError(t, err)
		unit, ok := UnitNamed(name)
		require.True(t, ok)
		require.InEpsilon(t, v, unit.Of(n).SI, 1e-13)
	})
}
