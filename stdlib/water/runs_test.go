package water

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Waterings bring what is needed, draw down no more than the soil holds, and no pulse runs below the roots.
func TestPlanLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Watering{
			Need: rapid.Float64Range(1e-5, 0.02).Draw(t, "need"), Flow: rapid.Float64Range(2e-7, 2e-5).Draw(t, "flow"),
			Efficiency: rapid.Float64Range(0.5, 1).Draw(t, "efficiency"), Store: rapid.Float64Range(2e-4, 0.1).Draw(t, "store"),
			Longest: rapid.Float64Range(600, 1e5).Draw(t, "longest"), MostDays: rapid.IntRange(1, 14).Draw(t, "most days"),
		}
		if rapid.Bool().Draw(t, "endless") {
			w.Store, w.Longest = math.Inf(1), math.Inf(1)
		}
		r, err := w.Plan()
		if err != nil {
			require.ErrorContains(t, err, "over a thousand")
			return
		}
		perDay := r.Volume * w.Efficiency * float64(r.PerDay) / float64(r.Days)
		require.InEpsilon(t, w.Need, perDay, 1e-9)
		require.InEpsilon(t, r.Volume, w.Flow*r.Pulse*float64(r.Pulses), 1e-9)
		require.InEpsilon(t, r.Opening, r.Pulse*float64(r.Pulses), 1e-9)
		require.LessOrEqual(t, r.Drawn, w.Store*(1+1e-8))
		require.LessOrEqual(t, r.Pulse, w.Longest*(1+1e-8))
		require.LessOrEqual(t, r.Days, w.MostDays)
		require.True(t, r.Days == 1 || r.PerDay == 1)

		// Twice the row, at the same place: twice the need and the flow of two tapes take the same time.
		w.Need, w.Flow, w.Store = 2*w.Need, 2*w.Flow, 2*w.Store
		double, err := w.Plan()
		require.NoError(t, err)
		require.InEpsilon(t, 2*r.Volume, double.Volume, 1e-9)
		require.InEpsilon(t, r.Opening, double.Opening, 1e-9)
	})
}

func TestPlan(t *testing.T) {
	inf := math.Inf(1)
	tests := []struct {
		name string
		w    Watering
		want Runs
	}{
		{"nothing needed", Watering{0, 1e-6, 1, 1, inf, 7}, Runs{}},
		{"store for three days and a half", Watering{0.002, 1e-6, 1, 0.007, inf, 7}, Runs{3, 1, 1, 6000, 6000, 0.006, 0.006}},
		{"held to two days", Watering{0.002, 1e-6, 1, 0.007, inf, 2}, Runs{2, 1, 1, 4000, 4000, 0.004, 0.004}},
		{"twice a day", Watering{0.002, 1e-6, 1, 0.001, inf, 7}, Runs{1, 2, 1, 1000, 1000, 0.001, 0.001}},
		{"in four pulses", Watering{0.002, 1e-6, 0.5, inf, 1000, 1}, Runs{1, 1, 4, 1000, 4000, 0.004, 0.002}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := test.w.Plan()
			require.NoError(t, err)
			require.Equal(t, test.want.Days, got.Days)
			require.Equal(t, test.want.PerDay, got.PerDay)
			require.Equal(t, test.want.Pulses, got.Pulses)
			require.InDelta(t, test.want.Pulse, got.Pulse, 1e-6)
			require.InDelta(t, test.want.Opening, got.Opening, 1e-6)
			require.InDelta(t, test.want.Volume, got.Volume, 1e-12)
			require.InDelta(t, test.want.Drawn, got.Drawn, 1e-12)
		})
	}
}

// An emitter's water reaches a depth when RunToDepth says so; more water wets wider and deeper, finer soil
// wider and less deep.
func TestBulbs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ks := math.Exp(rapid.Float64Range(math.Log(1e-7), math.Log(1e-4)).Draw(t, "log ks"))
		q := rapid.Float64Range(1e-7, 1e-5).Draw(t, "flow")
		depth := rapid.Float64Range(0.05, 2).Draw(t, "depth")
		run, err := RunToDepth(ks, q, depth)
		require.NoError(t, err)
		if q*run < 1000 {
			b, err := WetBulb(ks, q, q*run)
			require.NoError(t, err)
			require.InEpsilon(t, depth, b.Depth, 1e-9)
		}
		a, err := WetBulb(ks, q, 0.005)
		require.NoError(t, err)
		more, err := WetBulb(ks, q, 0.01)
		require.NoError(t, err)
		finer, err := WetBulb(ks/2, q, 0.005)
		require.NoError(t, err)
		require.Greater(t, more.Width, a.Width)
		require.Greater(t, more.Depth, a.Depth)
		require.Greater(t, finer.Width, a.Width)
		require.Less(t, finer.Depth, a.Depth)
	})
}

func TestStrips(t *testing.T) {
	const liter = 1. / 1000 / 3600 // an hour's, m3/s
	sand, found := SoilOf("sand")
	require.True(t, found)
	s, err := WetStrip(sand, liter, 0.3, 2*3600)
	require.NoError(t, err)
	require.InDelta(t, 0.3048, s.Width, 1e-9, "sand never wets less than a foot across")
	require.Zero(t, s.Gap)
	require.InDelta(t, 0.8*s.Width, s.Reach, 1e-12)
	wide, err := WetStrip(sand, liter, 0.6, 2*3600)
	require.NoError(t, err)
	require.InDelta(t, 0.6-s.Width, wide.Gap, 1e-12)

	for _, test := range []struct {
		tapes int
		apart float64
		want  float64
	}{{1, 0, 0.4}, {2, 0.3, 0.7}, {2, 0.5, 0.8}, {3, 0.2, 0.8}} {
		got, err := Strip{Width: 0.4}.Across(test.tapes, test.apart)
		require.NoError(t, err)
		require.InDelta(t, test.want, got, 1e-12, "%+v", test)
	}

	for _, texture := range []string{
		"sand", "loamy sand", "sandy loam", "loam", "silt loam", "silt", "sandy clay loam", "clay loam", "silty clay loam", "sandy clay", "silty clay", "clay",
	} {
		soil, found := SoilOf(texture)
		require.True(t, found, texture)
		require.NotEmpty(t, soil.Source)
		require.NotEmpty(t, soil.WetSource)
		require.NotEmpty(t, soil.ConductivitySource)
		require.Greater(t, soil.FieldCapacity.Mid(), soil.WiltingPoint.Mid(), texture)
		require.InDelta(t, soil.FieldCapacity.Mid()-soil.WiltingPoint.Mid(), soil.Available.Mid(), 0.035, texture)
		require.Positive(t, soil.Ready.Low)
		require.InDelta(t, 3e-5, soil.Conductivity, 3e-5, texture)
		w, err := WetStrip(soil, liter, 0.3, 3*3600)
		require.NoError(t, err)
		require.GreaterOrEqual(t, w.Width, soil.WetDiameter.Low)
		require.LessOrEqual(t, w.Width, soil.WetDiameter.High)
	}
	require.Equal(t, "coarse medium fine", Coarse.String()+" "+Medium.String()+" "+Fine.String())
	clay, _ := SoilOf("clay")
	require.Equal(t, Fine, clay.Class)
	_, found = SoilOf("peat")
	require.False(t, found)
}

func TestStripErrors(t *testing.T) {
	good := Watering{0.002, 1e-6, 0.9, 0.01, 3600, 7}
	plan := func(change func(*Watering)) error {
		w := good
		change(&w)
		_, err := w.Plan()
		return err
	}
	_, noFlow := WetBulb(1e-5, 0, 0.01)
	_, noRun := WetStrip(Soil{Conductivity: 1e-5}, 1e-6, 0.3, 0)
	_, noDepth := RunToDepth(1e-5, 1e-6, 0)
	_, noTape := Strip{Width: 1}.Across(0, 0)
	_, share := StripStore(0.1, 0.3, 0.5, 50)
	for want, err := range map[string]error{
		"the need of the row is -1 m3 a day on each m": plan(func(w *Watering) { w.Need = -1 }),
		"the flow of the tapes is 0 m3/s on each m; it must be above 0 m3/s on each m and at most 1 m3/s on each m: take it from the tape's label": plan(func(w *Watering) { w.Flow = 0 }),
		"the efficiency is 1.1; it must be above 0 and at most 1":                                                                                  plan(func(w *Watering) { w.Efficiency = 1.1 }),
		"the store of the strip is 0 m3 on each m":                                                                                                 plan(func(w *Watering) { w.Store = 0 }),
		"the longest run is not known":                                                                                                             plan(func(w *Watering) { w.Longest = math.NaN() }),
		"the most days between waterings is 0":                                                                                                     plan(func(w *Watering) { w.MostDays = 0 }),
		"a day's need would take over a thousand waterings":                                                                                        plan(func(w *Watering) { w.Store = 1e-9 }),
		"a day's need would take over a thousand pulses":                                                                                           plan(func(w *Watering) { w.Longest = 0.1 }),
		"the emitter flow is 0 m3/s; it must be above 0 m3/s and at most 1 m3/s":                                                                   noFlow,
		"the run time is 0 s":           noRun,
		"the depth of the roots is 0 m": noDepth,
		"the number of tapes is 0; it must be from 1 to 100: a row has one tape or more":               noTape,
		"the share drawn down is 50; it must be above 0 and at most 1: FAO-56 Table 22 has 0.2 to 0.7": share,
	} {
		require.ErrorContains(t, err, want)
	}
}
