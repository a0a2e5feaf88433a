package water

import (
	"encoding/csv"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawStages(t *rapid.T) Stages {
	draw := func(name string, low float64) float64 { return rapid.Float64Range(low, 80).Draw(t, name) }
	return Stages{draw("initial", 1), draw("development", 0), draw("mid", 0), draw("late", 0)}
}

// Stages fitted to a planting last as long as it does and keep their proportions.
func TestFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStages(t)
		days := rapid.Float64Range(1, 400).Draw(t, "days")
		f, err := s.Fit(days)
		require.NoError(t, err)
		require.InEpsilon(t, days, f.Days(), 1e-12)
		require.InDelta(t, s.Mid*f.Initial, f.Mid*s.Initial, 1e-6)
		again, err := f.Fit(s.Days())
		require.NoError(t, err)
		require.InDelta(t, s.Development, again.Development, 1e-9)
	})
}

// The curve runs level, straight, level, straight, without a jump, and stays between its three values.
func TestCurveLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kc := func(name string) float64 { return rapid.Float64Range(0.1, 1.3).Draw(t, name) }
		s := drawStages(t)
		s.Development, s.Late = max(1, s.Development), max(1, s.Late)
		c := Curve{s, kc("initial kc"), kc("mid kc"), kc("end kc")}
		require.NoError(t, c.Check())
		day := rapid.Float64Range(-10, s.Days()+10).Draw(t, "day")
		got := c.At(day)
		require.GreaterOrEqual(t, got, min(c.Initial, c.Mid, c.End))
		require.LessOrEqual(t, got, max(c.Initial, c.Mid, c.End))
		require.InDelta(t, got, c.At(day+1e-6), 3e-6)
		require.Equal(t, c.Initial, c.At(s.Initial))
		require.InDelta(t, (c.Initial+c.Mid)/2, c.At(s.Initial+s.Development/2), 1e-9)
		require.InDelta(t, c.Mid, c.At(s.Initial+s.Development+s.Mid/2), 1e-9)
		require.InDelta(t, c.End, c.At(s.Days()), 1e-9)
		require.Equal(t, c.End, c.At(s.Days()+5))
	})
	// Stages of no length are stepped over.
	c := Curve{Stages{0, 0, 10, 0}, 0.3, 1, 0.5}
	require.Equal(t, 1., c.At(1))
	require.Equal(t, 0.5, c.At(11))
}

func TestInClimate(t *testing.T) {
	c := Curve{Stages{20, 30, 40, 20}, 0.3, 1.15, 0.35}
	same, err := c.InClimate(2, 45, 0.4)
	require.NoError(t, err)
	require.Equal(t, c, same, "the climate of the tables changes nothing")
	dry, err := c.InClimate(4, 25, 0.4)
	require.NoError(t, err)
	require.Greater(t, dry.Mid, c.Mid)
	require.Equal(t, c.End, dry.End, "a crop left to dry keeps its end")
	c.End = 0.8
	dry, err = c.InClimate(4, 25, 0.4)
	require.NoError(t, err)
	require.InDelta(t, dry.Mid-c.Mid, dry.End-c.End, 1e-12)

	beyond, err := AdjustKc(1, 30, 5, 20)
	require.NoError(t, err)
	limit, err := AdjustKc(1, 6, 20, 10)
	require.NoError(t, err)
	require.Equal(t, limit, beyond, "what lies outside counts as the limit")
}

func TestInitialKc(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Wetting{rapid.Float64Range(0.5, 20).Draw(t, "every"), rapid.Float64Range(1, 50).Draw(t, "depth"), rapid.Float64Range(0.1, 1).Draw(t, "share")}
		eto := rapid.Float64Range(0.5, 10).Draw(t, "eto")
		class := rapid.SampledFrom([]Class{Coarse, Medium, Fine}).Draw(t, "class")
		kc, err := InitialKc(w, eto, class)
		require.NoError(t, err)
		require.LessOrEqual(t, kc, 1.15*w.Share*(1+1e-12))
		require.Positive(t, kc)
		rarer := w
		rarer.Every *= 1.5
		less, err := InitialKc(rarer, eto, class)
		require.NoError(t, err)
		require.LessOrEqual(t, less, kc*(1+1e-12), "rarer wetting never raises it")
		// Drip that wets a share wets it deeper: the same as all the ground wetted so deep, times the share.
		whole, err := InitialKc(Wetting{w.Every, w.Depth / w.Share, 1}, eto, class)
		require.NoError(t, err)
		require.InEpsilon(t, whole*w.Share, kc, 1e-12)
	})
}

// Every crop of the crop table has stages and basal coefficients, and those are sound.
func TestEveryCropHasAUse(t *testing.T) {
	f, err := os.Open("../crops/names.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	names := map[string]bool{}
	for _, row := range rows[1:] {
		names[row[0]] = true
	}
	own := 0
	for name := range names {
		u, found := UseOf(name)
		require.True(t, found, name)
		require.Positive(t, u.Regions, name)
		require.NotEmpty(t, u.StageSource)
		require.NotEmpty(t, u.BasalSource)
		require.InDelta(t, 150, u.Stages.Days(), 210, name)
		c := Curve{u.Stages, u.KcbInitial, u.KcbMid.Mid(), u.KcbEnd.Mid()}
		require.NoError(t, c.Check())
		require.Greater(t, u.KcbMid.Low, u.KcbInitial, name)
		require.LessOrEqual(t, u.KcbEnd.High, u.KcbMid.High, name)
		require.Positive(t, u.Height.Low, name)
		require.GreaterOrEqual(t, u.Height.High, u.Height.Low, name)
		if u.KcMidTall > 0 {
			require.Greater(t, u.KcbMidTall, u.KcbMid.High, name)
		}
		if u.Like == "" {
			own++
		} else {
			require.True(t, names[u.Like], "%s is like %s, which is no crop", name, u.Like)
		}
	}
	require.GreaterOrEqual(t, own, 35)
	require.Len(t, uses(), len(names), "no use without a crop")
	_, found := UseOf("moon cheese")
	require.False(t, found)

	u, _ := UseOf("eggplant") // FAO-56 prints 30/40/40/20 and 30/45/40/25
	require.Equal(t, 2, u.Regions)
	require.InDelta(t, 42.5, u.Stages.Development, 1e-9)
	require.InDelta(t, 22.5, u.Stages.Late, 1e-9)
}

func TestNeedErrors(t *testing.T) {
	nan := math.NaN()
	s := Stages{20, 30, 40, 20}
	_, fit := s.Fit(0)
	_, noStages := Stages{}.Fit(90)
	_, windless := AdjustKc(1, nan, 45, 1)
	_, heightless := AdjustKc(1, 2, 45, 0)
	_, dripShare := InitialKc(Wetting{3, 10, 1.2}, 5, Fine)
	_, never := InitialKc(Wetting{0, 10, 1}, 5, Fine)
	_, cover := CoverFactor(1.3)
	_, mixed := MixedKc(nil)
	_, thin := ThinStandKcb(1, 0.9, 0.8)
	_, sunless := Canopy{0.3, 1, 1}.EffectiveCover(80, 355)
	_, most := KcMax(-1, 2, 45, 1)
	_, of := CoverOf(1, 0.3, 0.2, 1)
	_, exposed := ExposedShare(0.2, 0, false)
	_, rain := EffectiveRain(ShortUSDA, Month{Rain: -1})
	_, store := EffectiveRain(SoilUSDA, Month{Rain: 50, Use: 100, Store: 300})
	for want, err := range map[string]error{
		"the time in the ground is 0 days; it must be above 0 days and at most 4000 days: let the clearing day follow the planting day":      fit,
		"the sum of the stages is 0 days; it must be above 0 days":                                                                           noStages,
		"the mid-season crop coefficient is 11.5; it must be from 0 to 2: crop coefficients lie between 0.1 and 1.3 in the published tables": Curve{s, 0.3, 11.5, 1}.Check(),
		"the wind speed is not known; it must be from 0 m/s to 60 m/s: take 2 m/s where nothing is known":                                    windless,
		"the height of the crop is 0 m; it must be above 0 m":                                                                                heightless,
		"the wetted share of the ground is 1.2; it must be above 0 and at most 1":                                                            dripShare,
		"the time between wettings is 0 days":                                                                                                never,
		"the cover is 1.3; it must be from 0 to 1: it is the shaded share of the ground":                                                     cover,
		"give at least one crop that stands there":                                                                                           mixed,
		"a thin stand covers no more than a dense one":                                                                                       thin,
		"the sun does not rise":                                                 sunless,
		"the basal coefficient is -1; it must be from 0 to 2":                   most,
		"the greatest crop coefficient is 0.2; it must be above 0.3":            of,
		"the wetted share of the ground is 0; it must be above 0 and at most 1": exposed,
		"the rain of a month is -1 mm; it must be from 0 mm to 1e+04 mm":        rain,
		"the soil's store is 300 mm; it must be from 0 mm to 190.5 mm":          store,
	} {
		require.ErrorContains(t, err, want)
	}
}
