package water

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawStore(t *rapid.T) Store {
	return Store{rapid.Float64Range(5, 300).Draw(t, "TAW"), rapid.Float64Range(0.1, 0.8).Draw(t, "p")}
}

// Over a season every drop is accounted for on every day: what comes in is drawn, drained, lost or kept.
func TestBalanceCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStore(t)
		depletion := rapid.Float64Range(0, s.Total).Draw(t, "depletion")
		for range rapid.IntRange(1, 40).Draw(t, "days") {
			f := Flows{
				Rain: max(0, rapid.Float64Range(-20, 60).Draw(t, "rain")), Irrigation: max(0, rapid.Float64Range(-20, 40).Draw(t, "irrigation")),
				Rise: max(0, rapid.Float64Range(-5, 3).Draw(t, "rise")), Reference: rapid.Float64Range(0, 10).Draw(t, "reference"),
			}
			f.Runoff = f.Rain * rapid.Float64Range(0, 1).Draw(t, "runoff")
			f.Use = f.Reference * rapid.Float64Range(0.2, 1.2).Draw(t, "kc")
			b, err := s.Day(depletion, f)
			require.NoError(t, err)
			in := f.Rain - f.Runoff + f.Irrigation + f.Rise
			out := b.Use + b.Drainage + b.Lost
			require.InDelta(t, in-out, depletion-b.Depletion, 1e-9)
			require.GreaterOrEqual(t, b.Depletion, 0.)
			require.LessOrEqual(t, b.Depletion, s.Total)
			require.GreaterOrEqual(t, b.Drainage, 0.)
			require.LessOrEqual(t, b.Use, f.Use)
			if b.Drainage > 0 {
				require.InDelta(t, b.Use, b.Depletion, 1e-9, "drainage comes before the crop draws")
				require.InDelta(t, 1, b.Stress, 1e-12)
			}
			if b.Stress == 1 && f.Use <= s.Total-s.Ready() {
				require.InDelta(t, f.Use, b.Use, 1e-9)
			}
			depletion = b.Depletion
		}
	})
}

// Without water a crop draws ever less and never below the wilting point.
func TestDrying(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStore(t)
		use := rapid.Float64Range(0.5, 10).Draw(t, "use")
		depletion, last := 0., math.Inf(1)
		for range 200 {
			b, err := s.Day(depletion, Flows{Use: use})
			require.NoError(t, err)
			require.LessOrEqual(t, b.Use, last+1e-12)
			depletion, last = b.Depletion, b.Use
		}
		require.LessOrEqual(t, depletion, s.Total)
		require.Greater(t, depletion, min(s.Ready(), 200*use)*0.999)
	})
}

func TestStress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawStore(t)
		require.Equal(t, 1., s.Stress(s.Ready()))
		require.InDelta(t, 1, s.Stress(s.Ready()*(1+1e-9)), 1e-6, "no jump at RAW")
		require.InDelta(t, 0, s.Stress(s.Total), 1e-12)
		a := rapid.Float64Range(0, s.Total).Draw(t, "depletion")
		require.LessOrEqual(t, s.Stress(s.Total), s.Stress(a))
	})
}

func TestAdjustP(t *testing.T) {
	for _, test := range []struct{ p, use, want float64 }{
		{0.4, 5, 0.4}, {0.4, 8, 0.28}, {0.4, 2, 0.52}, {0.2, 9, 0.1}, {0.7, 0, 0.8},
	} {
		got, err := AdjustP(test.p, test.use)
		require.NoError(t, err)
		require.InDelta(t, test.want, got, 1e-12, "%+v", test)
	}
}

// Light rain wets the leaves and no more.
func TestLightRain(t *testing.T) {
	s := Store{100, 0.5}
	b, err := s.Day(30, Flows{Rain: 0.9, Reference: 5, Use: 4})
	require.NoError(t, err)
	require.InDelta(t, 0.9, b.Lost, 1e-12)
	require.InDelta(t, 34, b.Depletion, 1e-12)
	b, err = s.Day(30, Flows{Rain: 1, Reference: 5, Use: 4})
	require.NoError(t, err)
	require.Zero(t, b.Lost)
	require.InDelta(t, 33, b.Depletion, 1e-12)
}

// The drying layer keeps its own account, and never gives more than it has.
func TestTopsoilCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := rapid.Float64Range(2, 40).Draw(t, "TEW")
		soil := Topsoil{total, total * rapid.Float64Range(0, 1).Draw(t, "ready")}
		depleted := rapid.Float64Range(0, total).Draw(t, "depleted")
		for range 20 {
			kcb := rapid.Float64Range(0, 1.2).Draw(t, "kcb")
			d := Surface{
				Rain: max(0, rapid.Float64Range(-20, 30).Draw(t, "rain")), Irrigation: max(0, rapid.Float64Range(-20, 30).Draw(t, "irrigation")),
				Reference: rapid.Float64Range(0, 12).Draw(t, "reference"), Kcb: kcb, KcMax: kcb + rapid.Float64Range(0, 1).Draw(t, "room"),
				Exposed: rapid.Float64Range(0.01, 1).Draw(t, "exposed"),
			}
			e, err := soil.Day(depleted, d)
			require.NoError(t, err)
			require.InDelta(t, d.Rain+d.Irrigation-e.Drainage-e.Evaporation/d.Exposed, depleted-e.Depleted, 1e-9)
			require.InDelta(t, kcb*d.Reference+e.Evaporation, e.Use, 1e-12)
			require.LessOrEqual(t, e.Use, d.KcMax*d.Reference*(1+1e-12)+1e-12)
			require.LessOrEqual(t, e.Ke, d.Exposed*d.KcMax*(1+1e-12))
			require.GreaterOrEqual(t, e.Depleted, 0.)
			require.LessOrEqual(t, e.Depleted, total)
			depleted = e.Depleted
		}
	})
}

func TestExposedShare(t *testing.T) {
	for _, test := range []struct {
		cover, wetted float64
		underLeaves   bool
		want          float64
	}{
		{0.2, 0.4, false, 0.4}, {0.8, 0.4, false, 0.2}, {0.6, 0.4, true, 0.24}, {0, 0.4, true, 0.4}, {1, 1, false, 0.01},
	} {
		got, err := ExposedShare(test.cover, test.wetted, test.underLeaves)
		require.NoError(t, err)
		require.InDelta(t, test.want, got, 1e-12, "%+v", test)
	}
}

// Twice the ground, or twice the depth, takes twice the water.
func TestVolume(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		depth, ground := rapid.Float64Range(0, 20).Draw(t, "depth"), rapid.Float64Range(0, 1e5).Draw(t, "area")
		efficiency := rapid.Float64Range(0.3, 1).Draw(t, "efficiency")
		one, err := Volume(depth, ground, efficiency)
		require.NoError(t, err)
		two, err := Volume(depth, 2*ground, efficiency)
		require.NoError(t, err)
		require.InDelta(t, 2*one, two, 1e-9*two+1e-300)
		net, err := Volume(depth, ground, 1)
		require.NoError(t, err)
		require.InDelta(t, net, one*efficiency, 1e-9*one+1e-300)
	})
	liter, err := Volume(1, 1, 1)
	require.NoError(t, err)
	require.InDelta(t, 0.001, liter, 1e-15)
}

// Effective rain is no more than fell, and more rain never gives less.
func TestEffectiveRain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rule := rapid.SampledFrom([]RainRule{FixedShare, DependableFAO, ShortUSDA, SoilUSDA}).Draw(t, "rule")
		m := Month{rapid.Float64Range(0, 600).Draw(t, "rain"), rapid.Float64Range(0, 250).Draw(t, "use"), rapid.Float64Range(0, 190).Draw(t, "store")}
		got, err := EffectiveRain(rule, m)
		require.NoError(t, err)
		require.GreaterOrEqual(t, got, 0.)
		require.LessOrEqual(t, got, m.Rain+1e-12)
		more := m
		more.Rain += 10
		wetter, err := EffectiveRain(rule, more)
		require.NoError(t, err)
		require.GreaterOrEqual(t, wetter, got-1e-9)
		require.NotEmpty(t, rule.String())
	})
}

func TestSoilErrors(t *testing.T) {
	good := Store{80, 0.4}
	day := func(depletion float64, change func(*Flows)) error {
		f := Flows{Rain: 5, Reference: 4, Use: 4}
		if change != nil {
			change(&f)
		}
		_, err := good.Day(depletion, f)
		return err
	}
	_, noRoots := NewStore(0.15, 0, 0.4)
	_, tooMuch := NewStore(15, 0.6, 0.4)
	_, noShare := NewStore(0.15, 0.6, 1)
	_, salt := Salinity{1, 19, 0}.Stress(2)
	_, p := AdjustP(0, 5)
	_, volume := Volume(5, 100, 90)
	_, deep := NewTopsoil(Soil{}, 1)
	_, top := Topsoil{20, 25}.Day(0, Surface{Exposed: 1})
	for want, err := range map[string]error{
		"the water lacking in the root zone is 90 mm; it must be from 0 mm to 80 mm: carry on the day before": day(90, nil),
		"the rain is -1 mm; it must be from 0 mm to 2000 mm":                                                  day(0, func(f *Flows) { f.Rain = -1 }),
		"the runoff is 6 mm; it must be from 0 mm to 5 mm: no more runs off than falls":                       day(0, func(f *Flows) { f.Runoff = 6 }),
		"the crop's use is not known": day(0, func(f *Flows) { f.Use = math.NaN() }),
		"the depth of the roots is 0 m; it must be above 0 m and at most 10 m: give the depth that the roots reach": noRoots,
		"the water available in the soil is 15 m3/m3; it must be above 0 m3/m3 and at most 0.5 m3/m3":               tooMuch,
		"the share drawn without stress is 1; it must be above 0 and at most 0.8":                                   noShare,
		"the yield response is 0; it must be above 0 and at most 3":                                                 salt,
		"the share drawn without stress is 0":                                                                       p,
		"the efficiency is 90; it must be above 0 and at most 1: drip brings about 0.9 of its water to the roots":   volume,
		"the depth of the drying layer is 1 m":                                                                      deep,
		"the readily evaporated water is 25 mm; it must be from 0 mm to 20 mm":                                      top,
	} {
		require.ErrorContains(t, err, want)
	}
}
