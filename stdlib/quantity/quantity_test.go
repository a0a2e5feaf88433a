package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestDimensionNames(t *testing.T) {
	tests := []struct {
		dim        Dimension
		noun, name string
	}{
		{Ratio, "a plain ratio", "plain ratio"},
		{Length, "a length", "length"},
		{Area, "an area", "area"},
		{Volume, "a volume", "volume"},
		{Mass, "a mass", "mass"},
		{Time, "a time", "time"},
		{Temperature, "a temperature", "temperature"},
		{Interval, "a temperature difference", "temperature difference"},
		{Money, "money", "money"},
		{Flow, "a flow", "flow"},
		{LineFlow, "a flow for each length", "flow for each length"},
		{Pressure, "a pressure", "pressure"},
		{Speed, "a speed", "speed"},
		{LineMass, "a mass for each length", "mass for each length"},
		{AreaMass, "a mass for each area", "mass for each area"},
		{Density, "a density", "density"},
		{PerMass, "a number for each mass", "number for each mass"},
		{Force, "a force", "force"},
		{Energy, "an energy", "energy"},
		{Torque, "a torque", "torque"},
		{LineTime, "a time for each length", "time for each length"},
		{AreaTime, "a time for each area", "time for each area"},
		{MassRate, "a mass in a time", "mass in a time"},
		{DegreeDays, "degree days", "degree days"},
		{Dimension{AxisLength: 2, AxisMass: 1, AxisTime: -1}, "m^2 kg/s", "m^2 kg/s"},
		{Dimension{AxisTime: -2, AxisMoney: -1}, "1/s^2/money", "1/s^2/money"},
	}
	require.Len(t, tests, len(dimensionNames)+2, "every named dimension is here")
	for _, test := range tests {
		require.Equal(t, test.noun, test.dim.Noun())
		require.Equal(t, test.name, test.dim.Name())
	}
}

func TestMismatches(t *testing.T) {
	foot, pound := read(t, "1 ft"), read(t, "1 lb")
	warm, cold := Fahrenheit(50), Fahrenheit(40)
	tests := []struct {
		name string
		got  func() error
		want string
	}{
		{"add", func() error { _, err := foot.Add(pound); return err }, "cannot add a mass to a length"},
		{"add a number", func() error { _, err := foot.Add(Of(2, Ratio)); return err }, "cannot add a plain ratio to a length"},
		{"take", func() error { _, err := foot.Sub(pound); return err }, "cannot take a mass from a length"},
		{"compare", func() error { _, err := foot.Cmp(pound); return err }, "cannot compare a length with a mass"},
		{"add temperatures", func() error { _, err := warm.Add(cold); return err }, "cannot add a temperature to a temperature"},
		{"take a temperature from a difference", func() error { _, err := Of(5, Interval).Sub(cold); return err },
			"cannot take a temperature from a temperature difference"},
		{"multiply a temperature", func() error { _, err := Of(2, Ratio).Mul(warm); return err },
			"cannot multiply a plain ratio by a temperature"},
		{"divide a temperature", func() error { _, err := warm.Div(cold); return err }, "cannot divide a temperature by a temperature"},
		{"past all sense", func() error {
			x := foot
			for {
				var err error
				if x, err = x.Mul(foot); err != nil {
					return err
				}
			}
		}, "cannot multiply m^100 by a length"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { require.EqualError(t, test.got(), test.want) })
	}
}

func TestTemperatures(t *testing.T) {
	difference, err := Fahrenheit(50).Sub(Fahrenheit(32))
	require.NoError(t, err)
	require.Equal(t, Interval, difference.Dim)
	require.InDelta(t, 10, difference.SI, 1e-12)
	back, err := Fahrenheit(32).Add(difference)
	require.NoError(t, err)
	require.InDelta(t, 50, back.Fahrenheit(), 1e-12)
	back, err = difference.Add(Fahrenheit(32))
	require.NoError(t, err)
	require.InDelta(t, 10, back.Celsius(), 1e-12)
	back, err = back.Sub(difference)
	require.NoError(t, err)
	require.Equal(t, Temperature, back.Dim)
	require.InDelta(t, 0, back.Celsius(), 1e-12)
	// Fixed points of the scales: ice, boiling water, and where the two scales read the same.
	for f, c := range map[float64]float64{32: 0, 212: 100, -40: -40, -459.67: -273.15} {
		require.InDelta(t, c, Fahrenheit(f).Celsius(), 1e-12)
		require.InDelta(t, f, Celsius(c).Fahrenheit(), 1e-12)
	}
}

// Torque and energy share their SI units, m² kg/s², but a torque has an angle under it: it takes an angle
// turned through to make an energy.
func TestTorqueIsNoEnergy(t *testing.T) {
	force, arm := Of(200, Force), Meters(0.25)
	work, err := force.Mul(arm)
	require.NoError(t, err)
	require.Equal(t, Energy, work.Dim)
	torque, err := work.Div(Of(1, Dimension{AxisAngle: 1}))
	require.NoError(t, err)
	require.Equal(t, Torque, torque.Dim)
	_, err = torque.Add(work)
	require.EqualError(t, err, "cannot add an energy to a torque")
	_, err = torque.Cmp(work)
	require.EqualError(t, err, "cannot compare a torque with an energy")
	turned, err := torque.Mul(Of(2*math.Pi, Dimension{AxisAngle: 1}))
	require.NoError(t, err)
	require.Equal(t, Energy, turned.Dim)
}

// Sums are undone by differences, products by quotients, and comparing agrees with the difference.
func TestArithmeticLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyQuantity(t, "a"), anyQuantity(t, "b")
		product, err := a.Mul(b)
		if a.Dim == Temperature || b.Dim == Temperature {
			require.Error(t, err)
		} else {
			require.NoError(t, err)
			other, err := b.Mul(a)
			require.NoError(t, err)
			require.Equal(t, product, other)
			if b.SI != 0 {
				back, err := product.Div(b)
				require.NoError(t, err)
				require.Equal(t, a.Dim, back.Dim)
				require.InDelta(t, a.SI, back.SI, math.Abs(a.SI)*1e-12)
			}
		}
		sum, err := a.Add(Of(b.SI, a.Dim))
		if a.Dim == Temperature {
			require.Error(t, err)
			return
		}
		require.NoError(t, err)
		back, err := sum.Sub(Of(b.SI, a.Dim))
		require.NoError(t, err)
		require.InDelta(t, a.SI, back.SI, (math.Abs(a.SI)+math.Abs(b.SI))*1e-12)
		order, err := a.Cmp(Of(b.SI, a.Dim))
		require.NoError(t, err)
		require.Equal(t, a.SI < b.SI, order < 0)
		require.Equal(t, a.SI > b.SI, order > 0)
	})
}

func read(t require.TestingT, text string) Quantity {
	q, err := Parse(text)
	require.NoError(t, err, text)
	return q
}

// anyQuantity draws a quantity of a named dimension: mostly of the sizes met on a farm, on and off the
// round numbers of its units, of either sign, but also nothing, and far too large or small.
func anyQuantity(t *rapid.T, label string) Quantity {
	d := dimensionNames[rapid.IntRange(0, len(dimensionNames)-1).Draw(t, label+" dimension")].dim
	sign := rapid.SampledFrom([]float64{1, 1, 1, -1}).Draw(t, label+" sign")
	si := 1.0
	if units := UnitsOf(d); len(units) > 0 {
		si = rapid.SampledFrom(units).Draw(t, label+" unit").SI
	} else if forms := US.formsOf(d); len(forms) > 0 {
		si = forms[rapid.IntRange(0, len(forms)-1).Draw(t, label+" form")].si()
	}
	var n float64
	switch rapid.IntRange(0, 4).Draw(t, label+" kind") {
	case 0:
		n = float64(rapid.IntRange(0, 5000).Draw(t, label+" whole"))
	case 1:
		n = float64(rapid.IntRange(0, 50_000).Draw(t, label+" hundredths")) / 100
	case 2: // a hair off a round number, as sums of floats leave it
		n = float64(rapid.IntRange(0, 500).Draw(t, label+" round")) * (1 + rapid.Float64Range(-1e-3, 1e-3).Draw(t, label+" hair"))
	case 3:
		n = rapid.Float64Range(1e-3, 1e4).Draw(t, label+" number")
	default:
		n = math.Pow(10, rapid.Float64Range(-12, 18).Draw(t, label+" power"))
	}
	if d == Temperature {
		return Celsius(sign * n)
	}
	return Of(sign*n*si, d)
}
