package season

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestDegreeDaysOfADay(t *testing.T) {
	tests := []struct {
		name      string
		scale     DegreeDays
		low, high float64
		want      float64
	}{
		{"mean above the base", DegreeDays{SimpleDegrees, 10, 0}, 12, 26, 9},
		{"a cold night takes away", DegreeDays{SimpleDegrees, 10, 0}, 2, 20, 1},
		{"a cold night takes nothing away", DegreeDays{FlooredDegrees, 10, 0}, 2, 20, 5},
		{"a cold day", DegreeDays{SimpleDegrees, 10, 0}, 0, 12, 0},
		{"all below the base", DegreeDays{FlooredDegrees, 10, 0}, 0, 8, 0},
		{"heat does not count", DegreeDays{CappedDegrees, 10, 30}, 20, 36, 15},
		{"the most that a day can have", DegreeDays{CappedDegrees, 10, 30}, 31, 40, 20},
		{"heat counts against", DegreeDays{PenalizedDegrees, 10, 30}, 20, 36, 12},
		{"great heat counts no less than nothing", DegreeDays{PenalizedDegrees, 10, 30}, 10, 60, 0},
		{"no heat, no penalty", DegreeDays{PenalizedDegrees, 10, 30}, 12, 26, 9},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { require.InDelta(t, tt.want, tt.scale.Of(tt.low, tt.high), 1e-12) })
	}
	for _, m := range []DegreeMethod{SimpleDegrees, FlooredDegrees, CappedDegrees, PenalizedDegrees} {
		s := DegreeDays{m, 10, 30}
		require.True(t, math.IsNaN(s.Of(math.NaN(), 20)), m)
		require.True(t, math.IsNaN(s.Of(10, math.NaN())), m)
	}
}

func TestDegreeDaysValid(t *testing.T) {
	require.NoError(t, DegreeDays{CappedDegrees, 10, 30}.Valid())
	require.NoError(t, DegreeDays{SimpleDegrees, (65.0 - 32) / 1.8, 0}.Valid(), "pepper, 65 °F")
	require.ErrorContains(t, DegreeDays{SimpleDegrees, 23.4, 0}.Valid(), "23.4 °C is above that of any crop, 18.3 °C (65 °F)")
	require.ErrorContains(t, DegreeDays{CappedDegrees, 10, 0}.Valid(), "not above the base")
	require.Error(t, DegreeDays{SimpleDegrees, math.NaN(), 0}.Valid())
	require.Equal(t, "heat penalty", PenalizedDegrees.String())
}

func TestDegreeDaysOverWeather(t *testing.T) {
	may := On(2027, time.May, 1)
	w := Weather{{Date: may, TMin: 10, TMax: 20}, {Date: may + 1, TMin: 12, TMax: 24}, {Date: may + 3, TMin: 14, TMax: 26}}
	s := DegreeDays{SimpleDegrees, 10, 0}
	warmth := s.Over(w.Temperatures(), may, may+4)
	sum, unknown := warmth.Sum(may, may+4)
	require.InDelta(t, 5+8+10, sum, 1e-12)
	require.Equal(t, 1, unknown, "the third of May was not measured")

	on, ok := warmth.Reach(may, 13)
	require.True(t, ok)
	require.Equal(t, may+1, on)
	_, ok = warmth.Reach(may, 14)
	require.False(t, ok, "a day is missing on the way")
	on, ok = warmth.Reach(may+3, 10)
	require.True(t, ok)
	require.Equal(t, may+3, on)
	_, ok = warmth.Reach(may+4, 0)
	require.False(t, ok, "the stretch is over")
	_, ok = warmth.Reach(None, 1)
	require.False(t, ok)
	on, ok = warmth.Latest(may+1, 13)
	require.True(t, ok)
	require.Equal(t, may, on)
	for _, by := range []Date{None, may - 1, may + 4, may} {
		_, ok = warmth.Latest(by, 13)
		require.False(t, ok, "outside the stretch, or too little")
	}
	_, ok = warmth.Latest(may+3, 13)
	require.False(t, ok, "a day is missing on the way")
	sum, unknown = warmth.Sum(may-2, may+6)
	require.InDelta(t, 23, sum, 1e-12)
	require.Equal(t, 5, unknown, "days outside are not known")
	sum, unknown = warmth.Sum(may+10, may+12)
	require.Zero(t, sum)
	require.Equal(t, 2, unknown)
	_, unknown = warmth.Sum(may+2, may)
	require.Zero(t, unknown)

	cold, warm := flat(2), flat(8)
	_, ok = s.Over(NormalTemperatures(&cold, &warm), may, may+700).Reach(may, 1)
	require.False(t, ok, "it is never warm enough")
}

func flat(v float64) (n Normals) {
	for i := range n {
		n[i] = v
	}
	return n
}

// Every method agrees with the simple one between base and upper temperature; none gives less than nothing; a cap
// never adds and a penalty never adds to a cap.
func TestDegreeDaysLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := rapid.Float64Range(0, 18).Draw(t, "base")
		upper := base + rapid.Float64Range(5, 25).Draw(t, "upper")
		low := rapid.Float64Range(-20, 40).Draw(t, "low")
		high := low + rapid.Float64Range(0, 25).Draw(t, "range")
		of := func(m DegreeMethod) float64 { return DegreeDays{m, base, upper}.Of(low, high) }
		if low >= base && high <= upper {
			for m := range PenalizedDegrees {
				require.InDelta(t, of(SimpleDegrees), of(m+1), 1e-9)
			}
		}
		require.GreaterOrEqual(t, of(PenalizedDegrees), 0.0)
		require.LessOrEqual(t, of(PenalizedDegrees), of(CappedDegrees))
		require.LessOrEqual(t, of(CappedDegrees), of(FlooredDegrees))
		require.LessOrEqual(t, of(SimpleDegrees), of(FlooredDegrees)+1e-9)
		require.LessOrEqual(t, of(CappedDegrees), upper-base+1e-9)
	})
}

// On the day that the need is met the sum through it is enough, and the sum before it was not; sums add up.
func TestDegreeDaysReachReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var low, high Normals
		for i := range low {
			low[i] = rapid.Float64Range(5, 20).Draw(t, "low")
			high[i] = low[i] + rapid.Float64Range(8, 15).Draw(t, "range")
		}
		s := DegreeDays{CappedDegrees, 10, 30}
		days := NormalTemperatures(&low, &high)
		from := On(2027, time.April, 1).Add(rapid.IntRange(0, 200).Draw(t, "from"))
		need := rapid.Float64Range(1, 1000).Draw(t, "need")
		warmth := s.Over(days, from.Add(-30), from.Add(730))
		on, ok := warmth.Reach(from, need)
		require.True(t, ok)
		through, unknown := warmth.Sum(from, on+1)
		before, _ := warmth.Sum(from, on)
		last, _ := warmth.Sum(on, on+1)
		require.Zero(t, unknown)
		require.GreaterOrEqual(t, through, need-1e-6)
		require.Less(t, before, need)
		require.InDelta(t, through, before+last, 1e-9)
		latest, ok := warmth.Latest(on, need)
		require.True(t, ok)
		require.GreaterOrEqual(t, latest, from)
		again, _ := warmth.Reach(latest, need)
		require.LessOrEqual(t, again, on)
		if next, ok := warmth.Reach(latest+1, need); ok {
			require.Greater(t, next, on)
		}
	})
}
