package feeding

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

func TestParseAnalysis(t *testing.T) {
	for text, want := range map[string]Nutrients{
		"5-10-10": {0.05, 0.10, 0.10}, " 4.5 - 3 - 0 ": {0.045, 0.03, 0}, "0-0-50": {K2O: 0.5}, "33-33-34": {0.33, 0.33, 0.34},
	} {
		got, err := ParseAnalysis(text)
		require.NoError(t, err)
		require.Equal(t, want, got, text)
	}
	for text, want := range map[string]string{
		"5-10":     `"5-10" is not an analysis: write the label's three numbers, such as "5-10-10"`,
		"NPK":      `"NPK" is not an analysis: write the label's three numbers, such as "5-10-10"`,
		"50-50-10": `"50-50-10" adds up to 110 percent: an analysis cannot be more than 100`,
	} {
		_, err := ParseAnalysis(text)
		require.EqualError(t, err, want)
	}
}

func FuzzParseAnalysis(f *testing.F) {
	for _, seed := range []string{"5-10-10", "4.5-3-0", "1e9-2-3", "-5-10-10", "5–10–10", "99999999999999999999-0-0"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		n, err := ParseAnalysis(text)
		if err != nil {
			return
		}
		for _, which := range Fed() {
			require.True(t, n.Of(which) >= 0 && n.Of(which) <= 1, text)
		}
		require.LessOrEqual(t, n.N+n.P2O5+n.K2O, 1+1e-9)
	})
}

// TestProductKeepsNutrients: the mass for an amount feeds that amount, half of it half, and none is made.
func TestProductKeepsNutrients(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(Materials()).Draw(t, "material")
		n := rapid.SampledFrom(Fed()).Draw(t, "nutrient")
		amount := rapid.Float64Range(0, 100).Draw(t, "amount")
		mass, ok := m.MassFor(n, amount)
		require.Equal(t, m.Analysis.Of(n) > 0, ok)
		low, high := m.Feeds(mass)
		for _, which := range Fed() {
			require.LessOrEqual(t, low.Of(which), high.Of(which)+1e-12)
			require.LessOrEqual(t, high.Of(which), m.Holds(mass).Of(which)+1e-12)
		}
		if ok {
			require.InDelta(t, amount, (low.Of(n)+high.Of(n))/2, 1e-9)
		}
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		whole, one, rest := m.Holds(mass), m.Holds(mass*share), m.Holds(mass*(1-share))
		require.InDelta(t, whole.N, one.Plus(rest).N, 1e-9)
		require.InDelta(t, m.Salt(mass), whole.N+whole.K2O, 1e-9)
	})
}

func TestMaterials(t *testing.T) {
	for _, m := range Materials() {
		found, ok := MaterialNamed(m.Name)
		require.True(t, ok)
		require.Equal(t, m, found)
		require.Equal(t, m.Analysis == Nutrients{}, m.AnalysisSource == Source{}, m.Name)
		require.Equal(t, m.Available == Span{}, m.AvailableSource == Source{}, m.Name)
		require.Equal(t, m.Densities == Span{}, m.DensitySource == Source{}, m.Name)
	}
	lime, ok := MaterialNamed("limestone")
	require.True(t, ok)
	require.Equal(t, "ground limestone", lime.Name)
	_, ok = MaterialNamed("moonstone")
	require.False(t, ok)
	_, ok = Product{}.Volume(1)
	require.False(t, ok)
}

func TestScoop(t *testing.T) {
	for _, c := range []struct {
		measures     float64
		text, spoken string
	}{
		{0, "none", "none"}, {0.1, "none", "none"}, {0.13, "1/4 scoop", "a quarter of a scoop"}, {0.5, "1/2 scoop", "half a scoop"},
		{0.66, "2/3 scoop", "two thirds of a scoop"}, {1, "1 scoop", "a scoop"}, {1.32, "1 1/3 scoops", "a scoop and a third"},
		{1.9, "2 scoops", "two scoops"}, {2.76, "2 3/4 scoops", "two scoops and three quarters"}, {12.5, "12 1/2 scoops", "twelve scoops and a half"},
		{15, "15 scoops", "15 scoops"}, {20.4, "20 scoops", "20 scoops"}, {0.9999999999999, "1 scoop", "a scoop"},
	} {
		s := Scoop(c.measures*0.0005, 0.0005)
		require.Equal(t, c.text, s.Text("scoop"), "%g", c.measures)
		require.Equal(t, c.spoken, s.Spoken("scoop"), "%g", c.measures)
	}
	require.Equal(t, "half an ice-cream tub", Scoop(0.5, 1).Spoken("ice-cream tub"))
	require.Equal(t, "2 1/2 dishes", Scoop(2.5, 1).Text("dish"))
	require.Equal(t, "three boxes", Scoop(3, 1).Spoken("box"))
}

// TestScoopTellsItsError: the rounded volume less the error is the exact one, and below 20 measures it is off by an
// eighth of a measure at most.
func TestScoopTellsItsError(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		measure := rapid.Float64Range(1e-5, 0.02).Draw(t, "measure")
		volume := measure * rapid.Float64Range(0, 40).Draw(t, "measures")
		s := Scoop(volume, measure)
		require.InDelta(t, volume, s.Volume()-s.Error, 1e-12)
		limit := 0.125
		if volume >= 19.8*measure {
			limit = 0.5
		}
		require.LessOrEqual(t, math.Abs(s.Error), limit*measure*(1+1e-9))
	})
}

func TestWeigh(t *testing.T) {
	for _, c := range []struct {
		ounces, want float64
	}{{0.4, 0.375}, {0.97, 1}, {3.3, 3.5}, {14.2, 14}, {15.9, 16}, {33.4, 33}, {161, 160}, {20 * 16, 320}, {51.4 * 16, 51 * 16}} {
		require.InDelta(t, c.want, Weigh(c.ounces*ounce, quantity.US).Mass/ounce, 1e-9, "%g oz", c.ounces)
	}
	for _, c := range []struct {
		grams, want float64
	}{{3.4, 3}, {26, 25}, {473, 475}, {1234, 1225}, {7777, 7800}, {40_300, 40_500}} {
		require.InDelta(t, c.want, Weigh(c.grams/1000, quantity.Metric).Mass*1000, 1e-9, "%g g", c.grams)
	}
}

// TestWeighingLosesWhatItTells: the rows of a pack, each weighed out, are the pack and their errors together, and each
// error is half a step at most.
func TestWeighingLosesWhatItTells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		system := rapid.SampledFrom([]quantity.System{quantity.US, quantity.Metric}).Draw(t, "system")
		rows := rapid.SliceOfN(rapid.Float64Range(0, 60), 1, 30).Draw(t, "rows")
		pack, weighed, errors := 0.0, 0.0, 0.0
		for _, mass := range rows {
			w := Weigh(mass, system)
			require.LessOrEqual(t, math.Abs(w.Error), w.Step/2*(1+1e-9))
			pack, weighed, errors = pack+mass, weighed+w.Mass, errors+w.Error
		}
		require.InDelta(t, pack, weighed-errors, 1e-9)
	})
}

// TestInjectionKeepsNutrients: what the injector takes from the stock is what the emitters give in that time.
func TestInjectionKeepsNutrients(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mass, share := rapid.Float64Range(0.1, 20).Draw(t, "mass"), rapid.Float64Range(0.01, 0.5).Draw(t, "share")
		volume, flow := rapid.Float64Range(0.005, 0.2).Draw(t, "volume"), rapid.Float64Range(1e-5, 0.01).Draw(t, "flow")
		strength := Strength(mass, share, volume)
		in := InjectFor(rapid.Float64Range(10e-6, 500e-6).Draw(t, "concentration"), strength, volume, flow)
		given := in.Concentration * waterDensity * flow * in.Seconds
		require.InEpsilon(t, mass*share, given, 1e-9)
		require.InEpsilon(t, flow/in.Rate, in.Ratio, 1e-9)
		again := Stock(in.Concentration, in.Ratio, share, volume)
		require.InEpsilon(t, mass, again, 1e-9)
	})
}

func TestSaltNear(t *testing.T) {
	seed, side := SaltNear(WithSeed), SaltNear(BesideSeed)
	// 10 lb/ac in rows 30 in apart, 17,424 ft of row to the acre.
	require.InDelta(t, 10.0/17424, seed.LineMass*foot/pound, 1e-9)
	require.InDelta(t, 8*seed.LineMass, side.LineMass, 1e-12)
	require.True(t, seed.Source.Unverified())
}

func TestManure(t *testing.T) {
	require.Equal(t, 120, ManureDays(true))
	require.Equal(t, 90, ManureDays(false))
	harvest := season.On(2027, 8, 1)
	require.Equal(t, 120, harvest.DaysSince(LatestManure(harvest, true)))
	require.Contains(t, ManureRule().Note, "certifier")
}
