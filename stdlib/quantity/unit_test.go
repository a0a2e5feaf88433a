package quantity

import (
	"math"
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The units that plans may name, by dimension, as the language promises them.
const promised = `mm cm m km inch ft yd
sqft sqm acre ha
ml l cup pint quart gal cubic_ft cubic_m acre_inch
g kg oz lb ton tonne
seconds minutes hours days weeks
gpm gph lph lps
psi kpa bar
percent ppm
degf_days degc_days`

func TestUnitsAreThosePromised(t *testing.T) {
	var names []string
	for _, u := range Units() {
		names = append(names, u.Name)
		found, ok := UnitNamed(u.Name)
		require.True(t, ok)
		require.Equal(t, u, found)
		require.NotEmpty(t, u.Source, u.Name)
		require.NotEmpty(t, u.Symbol, u.Name)
		require.NotEmpty(t, u.Plural, u.Name)
	}
	require.Equal(t, strings.Fields(promised), names)
	for _, line := range strings.Split(promised, "\n") {
		line := strings.Fields(line)
		first, _ := UnitNamed(line[0])
		var of []string
		for i, u := range UnitsOf(first.Dim) {
			of = append(of, u.Name)
			require.Equal(t, i+1, u.rank, "likeliness of %s", u.Name)
		}
		require.ElementsMatch(t, line, of)
	}
	_, ok := UnitNamed("feet")
	require.False(t, ok)
	require.Empty(t, UnitsOf(Torque))
}

func TestLikeliestUnits(t *testing.T) {
	for dim, want := range map[Dimension]string{
		Length: "ft inch m", Area: "sqft acre sqm", Volume: "gal l cubic_ft", Mass: "lb kg oz", Time: "days weeks hours",
		Flow: "gpm lph gph", Pressure: "psi kpa bar", Ratio: "percent ppm",
	} {
		var names []string
		for _, u := range UnitsOf(dim) {
			names = append(names, u.Name)
		}
		require.Equal(t, strings.Fields(want), names[:min(3, len(names))])
	}
}

// Factors that follow from the definitions, in exact arithmetic: the inch is 0.0254 m, the pound
// 0.45359237 kg, the gallon 231 cubic inches, standard gravity 9.80665 m/s² (NIST SP 811 (2008) App. B;
// NIST Handbook 44 App. C).
func TestFactorsAreExact(t *testing.T) {
	exact := func(name string) *big.Rat {
		u, ok := UnitNamed(name)
		require.True(t, ok, name)
		f, ok := exactFactor(u.Factor)
		require.True(t, ok, name)
		return f
	}
	times := func(n int64, factors ...*big.Rat) *big.Rat {
		product := big.NewRat(n, 1)
		for _, f := range factors {
			product.Mul(product, f)
		}
		return product
	}
	over := func(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }
	gravity, ok := exactFactor("9.80665")
	require.True(t, ok)
	inch, ft, lb, gal := exact("inch"), exact("ft"), exact("lb"), exact("gal")
	tests := []struct {
		unit string
		want *big.Rat
	}{
		{"inch", big.NewRat(254, 10_000)},
		{"ft", times(12, inch)},
		{"yd", times(3, ft)},
		{"sqft", times(1, ft, ft)},
		{"acre", times(43_560, ft, ft)},
		{"acre_inch", times(43_560, ft, ft, inch)},
		{"gal", times(231, inch, inch, inch)},
		{"quart", over(gal, times(4))},
		{"pint", over(gal, times(8))},
		{"cup", over(gal, times(16))},
		{"cubic_ft", times(1, ft, ft, ft)},
		{"lb", big.NewRat(45_359_237, 100_000_000)},
		{"oz", over(lb, times(16))},
		{"ton", times(2000, lb)},
		{"psi", over(times(1, lb, gravity), times(1, inch, inch))},
		{"gpm", over(gal, exact("minutes"))},
		{"gph", over(gal, exact("hours"))},
		{"lph", over(exact("l"), exact("hours"))},
		{"lps", exact("l")},
		{"weeks", times(7, exact("days"))},
		{"days", times(24, exact("hours"))},
		{"hours", times(60, exact("minutes"))},
		{"minutes", times(60, exact("seconds"))},
		{"ha", times(10_000, exact("sqm"))},
		{"l", times(1000, exact("ml"))},
		{"cubic_m", times(1000, exact("l"))},
		{"bar", times(100, exact("kpa"))},
		{"percent", times(10_000, exact("ppm"))},
	}
	for _, test := range tests {
		require.Zero(t, test.want.Cmp(exact(test.unit)), "%s is %s, not %s", test.unit, exact(test.unit), test.want)
		u, _ := UnitNamed(test.unit)
		nearest, _ := test.want.Float64()
		require.Equal(t, nearest, u.SI, test.unit)
	}
}

func TestBadFactors(t *testing.T) {
	for _, text := range []string{"", "x", "1/0", "1/x", "x/1"} {
		_, ok := exactFactor(text)
		require.False(t, ok, text)
	}
}

// No spelling means two units, nor a base unit of an axis besides.
func TestSpellingsMeanOneUnit(t *testing.T) {
	means := map[string]string{}
	for _, u := range Units() {
		own := append([]string{u.Name, u.Symbol, u.Plural}, u.also...)
		for _, text := range own {
			text = strings.ToLower(text)
			require.Contains(t, []string{"", u.Name}, means[text], "spelling %q", text)
			means[text] = u.Name
			found, ok := UnitCalled(strings.ToUpper(text))
			require.True(t, ok, text)
			require.Equal(t, u.Name, found.Name)
			require.LessOrEqual(t, len(strings.Fields(text)), longestSpelling, text)
		}
	}
	for _, axis := range axisText {
		if u, ok := UnitCalled(axis); ok {
			require.Equal(t, 1.0, u.SI, axis)
		}
	}
	_, ok := UnitCalled("cubit")
	require.False(t, ok)
}

func TestOfAndIn(t *testing.T) {
	foot, _ := UnitNamed("ft")
	inch, _ := UnitNamed("inch")
	pound, _ := UnitNamed("lb")
	require.InDelta(t, 30, foot.Of(2.5).In(inch), 1e-12)
	require.True(t, math.IsNaN(foot.Of(1).In(pound)))
}

func TestUnitsCannotBeChanged(t *testing.T) {
	Units()[0].Name = "other"
	require.True(t, slices.ContainsFunc(Units(), func(u Unit) bool { return u.Name == "mm" }))
}

func TestSystems(t *testing.T) {
	for text, want := range map[string]System{"us": US, "metric": Metric} {
		got, ok := ParseSystem(text)
		require.True(t, ok)
		require.Equal(t, want, got)
		require.Equal(t, text, got.String())
	}
	for _, text := range []string{"", "both", "US", "imperial"} {
		_, ok := ParseSystem(text)
		require.False(t, ok, text)
	}
	require.Equal(t, "both", Both.String())
	require.Equal(t, "system 9", System(9).String())
}
