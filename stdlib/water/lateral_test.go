package water

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawLateral gives a drip line that water reaches to the end: friction and rise stay below the pressure.
func drawLateral(t *rapid.T) (Lateral, float64) { return drawLateralOf(t, 1) }

func drawLateralOf(t *rapid.T, fewest int) (Lateral, float64) {
	pressure := rapid.Float64Range(4, 30).Draw(t, "psi") * psi
	n := rapid.IntRange(fewest, 300).Draw(t, "emitters")
	spacing := rapid.Float64Range(0.1, 1).Draw(t, "spacing")
	exponent := rapid.OneOf(rapid.SampledFrom([]float64{0, 0.5, 1}), rapid.Float64Range(0, 1)).Draw(t, "exponent")
	law := rapid.SampledFrom([]Law{Blasius, WattersKeller, HazenWilliams}).Draw(t, "law")
	diameter := rapid.Float64Range(0.012, 0.025).Draw(t, "diameter")
	length := float64(n) * spacing
	// Half of what a pipe of the whole flow may lose leaves the end more than half its pressure.
	flow := rapid.Float64Range(0.01, 0.5).Draw(t, "flow share")
	b := newBore(law, diameter, 130)
	q := 1e-3
	for j, _ := b.loss(q); j*length > pressure; j, _ = b.loss(q) {
		q /= 1.5
	}
	e, err := NewEmitter(flow*q/float64(n), pressure, exponent, 0.03)
	require.NoError(t, err)
	most := min(0.05, 0.2*pressure/weight/length)
	return Lateral{
		Diameter: diameter, Spacing: spacing, Length: length, Emitter: e, Law: law, C: 130,
		Slope: rapid.Float64Range(-most, most).Draw(t, "slope"), Barb: rapid.SampledFrom([]float64{0, 0.1}).Draw(t, "barb"),
		First: rapid.SampledFrom([]float64{0, 0.5, 1}).Draw(t, "first") * spacing,
	}, pressure
}

// headLoss is the pressure lost in Pa over so many m of a lateral, written down once more from the laws.
func headLoss(l Lateral, q, length float64) float64 {
	if l.Law == HazenWilliams {
		return 998.2 * 9.80665 * 10.67 * length * math.Pow(q/l.C, 1.852) / math.Pow(l.Diameter, 4.8704)
	}
	v := 4 * q / (math.Pi * l.Diameter * l.Diameter)
	re := v * l.Diameter / 1.004e-6
	turbulent := func(re float64) float64 {
		if l.Law == WattersKeller {
			d := 1000 * l.Diameter
			q := re * math.Pi / 4 * l.Diameter * 1.004e-6
			j := 7.89e7 / 100 * math.Pow(1000*q, 1.75) / math.Pow(d, 4.75)
			v := 4 * q / (math.Pi * l.Diameter * l.Diameter)
			return j * 2 * 9.80665 * l.Diameter / (v * v)
		}
		if re > 5e4 {
			return max(0.3164*math.Pow(re, -0.25), 0.13*math.Pow(re, -0.172))
		}
		return 0.3164 * math.Pow(re, -0.25)
	}
	f := 64 / re
	switch {
	case re == 0:
		return 0
	case re > 2100:
		f = turbulent(re)
	case re > 2000:
		f = 0.032 + (re-2000)/100*(turbulent(2100)-0.032)
	}
	return f * length / l.Diameter * 998.2 * v * v / 2
}

// The flow into a line is the sum of its emitters, each gives what its pressure makes it, and between two the
// pressure changes by friction and rise alone.
func TestLateralLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, pressure := drawLateral(t)
		r, err := l.Run(pressure)
		require.NoError(t, err)
		outlets, err := l.Profile(pressure, 0)
		require.NoError(t, err)
		require.Len(t, outlets, l.Emitters())
		sum, beyond := 0.0, 0.0
		for i := len(outlets) - 1; i >= 0; i-- {
			o := outlets[i]
			require.InEpsilon(t, l.Emitter.K*math.Pow(o.Pressure, l.Emitter.X), o.Flow, 1e-9)
			require.LessOrEqual(t, o.Pressure, r.Most*(1+1e-9))
			require.GreaterOrEqual(t, o.Pressure, r.Least*(1-1e-9))
			beyond += o.Flow
			from, start := pressure, 0.0
			if i > 0 {
				from, start = outlets[i-1].Pressure, outlets[i-1].At
			}
			run := o.At - start
			want := headLoss(l, beyond, run+l.Barb) + 998.2*9.80665*l.Slope*run
			require.InDelta(t, want, from-o.Pressure, 1e-9*pressure)
		}
		for _, o := range outlets {
			sum += o.Flow
		}
		require.InEpsilon(t, sum, r.Flow, 1e-9)
		require.InEpsilon(t, r.Flow, r.MeanFlow()*float64(r.Emitters), 1e-12)
		require.LessOrEqual(t, r.Sweeps, 40)
	})
}

// More pressure at the inlet means more at every emitter.
func TestMorePressureMoreWater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, pressure := drawLateral(t)
		before, err := l.Profile(pressure, 0)
		require.NoError(t, err)
		after, err := l.Profile(pressure*rapid.Float64Range(1.001, 2).Draw(t, "more"), 0)
		require.NoError(t, err)
		for i := range before {
			require.Greater(t, after[i].Pressure, before[i].Pressure)
		}
	})
}

// Emitters of half the flow at half the spacing come closer, with every halving, to the same line.
func TestHalvingTheStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, pressure := drawLateralOf(t, 8)
		l.Law, l.Barb, l.First = HazenWilliams, 0, l.Spacing/2 // no bend in the law
		l.Emitter.K /= 2
		var flows [4]float64
		for i := range flows {
			r, err := l.Run(pressure)
			require.NoError(t, err)
			flows[i] = r.Flow
			l.Spacing, l.First, l.Emitter.K = l.Spacing/2, l.First/2, l.Emitter.K/2
		}
		const noise = 1e-10
		for i := range 2 {
			now, next := math.Abs(flows[i+1]-flows[i]), math.Abs(flows[i+2]-flows[i+1])
			require.Less(t, next, now/2+noise*flows[0], "flows %v", flows)
		}
	})
}

// In a tube twice as wide the same flow loses a 16th when laminar and 2^-4.75 or 2^-4.8704 of it when
// turbulent; a line then loses less as well.
func TestDoublingTheTube(t *testing.T) {
	for law, turbulent := range map[Law]float64{Blasius: 4.75, WattersKeller: 4.75, HazenWilliams: 4.8704} {
		narrow, wide := newBore(law, 0.016, 140), newBore(law, 0.032, 140)
		lost := func(b bore, q float64) float64 { j, _ := b.loss(q); return j }
		const fast, slow = 3e-4, 1e-5 // Re 24,000 and 12,000; 800 and 400
		require.InEpsilon(t, math.Pow(2, turbulent), lost(narrow, fast)/lost(wide, fast), 1e-9, law)
		if law != HazenWilliams {
			require.InEpsilon(t, 16., lost(narrow, slow)/lost(wide, slow), 1e-9, law)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		l, pressure := drawLateral(t)
		l.Slope = 0
		wide := l
		wide.Diameter *= 2
		a, err := l.Run(pressure)
		require.NoError(t, err)
		b, err := wide.Run(pressure)
		require.NoError(t, err)
		require.Greater(t, pressure-a.End, 8*(pressure-b.End))
		require.GreaterOrEqual(t, b.Flow, a.Flow*(1-1e-12))
	})
}

// Without friction the pressure follows the rise; emitters that compensate give their flow whatever it is.
func TestLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, pressure := drawLateral(t)
		free := l
		free.Diameter, free.Law = 3, Blasius
		outlets, err := free.Profile(pressure, 0)
		require.NoError(t, err)
		for _, o := range outlets {
			require.InDelta(t, pressure-998.2*9.80665*l.Slope*o.At, o.Pressure, 1e-6*pressure)
		}
		l.Emitter = Emitter{K: l.Emitter.Flow(pressure), X: 0}
		r, err := l.Run(pressure)
		require.NoError(t, err)
		require.InEpsilon(t, l.Emitter.K*float64(l.Emitters()), r.Flow, 1e-12)
		require.InDelta(t, 100, r.EU, 1e-9)
	})
}

// The friction laws rise with the flow without a jump, and tell their own slope.
func TestFrictionLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		law := rapid.SampledFrom([]Law{Blasius, WattersKeller, HazenWilliams}).Draw(t, "law")
		diameter := rapid.Float64Range(0.005, 0.3).Draw(t, "diameter")
		b := newBore(law, diameter, 140)
		re := math.Exp(rapid.Float64Range(math.Log(10), math.Log(1e6)).Draw(t, "log Re"))
		q := re * math.Pi / 4 * diameter * viscosity
		j, slope := b.loss(q)
		h := q * 1e-6
		up, _ := b.loss(q + h)
		down, _ := b.loss(q - h)
		require.Greater(t, up, j)
		require.Greater(t, j, down)
		for _, bend := range []float64{b.smooth, b.rough, b.fast} {
			if math.Abs(q-bend) < 2*h {
				return // the slope has a corner there
			}
		}
		require.InEpsilon(t, (up-down)/(2*h), slope, 1e-4)
	})
}

func TestSeries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p0 := rapid.Float64Range(1, 1e6).Draw(t, "pressure")
		p := p0 * rapid.Float64Range(0.9, 1.1).Draw(t, "ratio")
		o := newOutflow(Emitter{K: 3e-9, X: rapid.Float64Range(0.01, 0.99).Draw(t, "exponent")})
		require.InEpsilon(t, o.at(p), o.beside(p, p0, o.at(p0)), 1e-13)
	})
}

// A sweep tells how inlet and flow answer to the end, which is what makes Newton's rule quick.
func TestSweepTellsItsSlopes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, pressure := drawLateral(t)
		l.Law = HazenWilliams // no bend in the law
		s := newStepper(l)
		end, _, _ := s.solve(pressure)
		h := 1e-5 * pressure
		w, up, down := s.sweep(end, 0), s.sweep(end+h, 0), s.sweep(end-h, 0)
		require.InEpsilon(t, (up.inlet-down.inlet)/(2*h), w.inletSlope, 1e-5)
		require.InDelta(t, (up.flow-down.flow)/(2*h), w.flowSlope, 1e-5*w.flow/pressure)
		require.GreaterOrEqual(t, w.inletSlope, 1.)
	})
}

// A part tells how its loss answers to the flow, also where several lines have one each.
func TestPartsTellTheirSlopes(t *testing.T) {
	parts := []Part{Pipe{Length: 30, Diameter: 0.02, Law: Blasius}, Fitting{2, 0.02}, Filter{14e3, 5e-4}, Regulator{Set: 1e5, Loss: 2e3}}
	for _, p := range parts {
		for _, tapes := range []float64{1, 3} {
			l := p.link()
			l.share = 1 / tapes
			const q = 1e-3
			up, _ := l.loss(q * 1.0001)
			down, _ := l.loss(q * 0.9999)
			_, slope := l.loss(q)
			require.InDelta(t, (up-down)/(q*0.0002), slope, 1e-4*slope+1e-9, "%T", p)
			alone := p.link()
			want, _ := alone.loss(q / tapes)
			got, _ := l.loss(q)
			require.InDelta(t, want, got, 1e-9, "%T", p)
		}
	}
}

func TestProfileSamples(t *testing.T) {
	l := tape(0.45, 400*foot, 0.5)
	all, err := l.Profile(8*psi, 0)
	require.NoError(t, err)
	require.Len(t, all, 400)
	require.InDelta(t, foot, all[0].At, 1e-12)
	require.InDelta(t, 400*foot, all[399].At, 1e-9)
	for _, most := range []int{1, 2, 7, 399, 400, 1000} {
		some, err := l.Profile(8*psi, most)
		require.NoError(t, err)
		require.Len(t, some, min(max(2, most), 400))
		require.Equal(t, all[0], some[0])
		require.Equal(t, all[399], some[len(some)-1])
	}
}

func TestEmitters(t *testing.T) {
	for _, test := range []struct {
		length, spacing, first float64
		want                   int
	}{
		{10, 1, 0, 10}, {10.5, 1, 0, 10}, {10, 1, 0.5, 10}, {10, 1, 10, 1}, {30 * 0.3, 0.3, 0, 30}, {0.999, 1, 0, 0},
	} {
		l := Lateral{Length: test.length, Spacing: test.spacing, First: test.first}
		require.Equal(t, test.want, l.Emitters(), "%+v", test)
	}
}

// A line whose far end lies above what the pressure reaches still waters its near part.
func TestDryEnd(t *testing.T) {
	l := tape(0.45, 100, 0.5)
	l.Diameter, l.Slope = 0.5, 0.1 // no friction to speak of
	r, err := l.Run(weight * 5)
	var dry *DryLine
	require.ErrorAs(t, err, &dry)
	require.InDelta(t, 50/foot, float64(r.Emitters-r.Dry), 2, "water stands 5 m high: halfway along")
	require.Zero(t, r.LeastFlow)
	require.Zero(t, r.EU)
	require.EqualError(t, err, "165 of 328 emitters get no water from 48.9 kPa at the head of the line; the line rises 10 m to its end, "+
		"which alone takes 97.9 kPa: feed it from its upper end, or raise the pressure")

	l = tape(1.34, 3000, 0.5)
	_, err = l.Run(8 * psi)
	require.ErrorAs(t, err, &dry)
	require.ErrorContains(t, err, "friction uses it up: shorten the line, or take a wider tube")
}

// A line that falls runs full to its end, however little comes in.
func TestDownhillStaysFull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := tape(rapid.Float64Range(0.1, 0.7).Draw(t, "flow"), 60, rapid.Float64Range(0, 1).Draw(t, "exponent"))
		l.Slope = -rapid.Float64Range(0.01, 0.5).Draw(t, "fall")
		r, err := l.Run(rapid.Float64Range(0.1, 10).Draw(t, "psi") * psi)
		require.NoError(t, err)
		require.Greater(t, r.Least, 0.)
	})
}

// However long a line is, it comes to an end: water, dry emitters or a word that it cannot be worked out.
func TestLongLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := tape(rapid.Float64Range(0.1, 20).Draw(t, "flow"), rapid.Float64Range(100, 3000).Draw(t, "length"), rapid.Float64Range(0, 1).Draw(t, "exponent"))
		l.Diameter = rapid.Float64Range(0.002, 0.02).Draw(t, "diameter")
		l.Slope = rapid.SampledFrom([]float64{0, 0, -0.3, -0.01, 0.01, 0.3}).Draw(t, "slope")
		pressure := rapid.Float64Range(0.1, 20).Draw(t, "psi") * psi
		r, err := l.Run(pressure)
		var dry *DryLine
		switch {
		case errors.As(err, &dry):
			require.Equal(t, r.Dry, dry.Dry)
		case err != nil:
			require.ErrorContains(t, err, "far too long for its bore")
			return
		default:
			require.GreaterOrEqual(t, r.Least, float64(Trickle))
		}
		require.LessOrEqual(t, r.Sweeps, 200)
		require.LessOrEqual(t, r.End+weight*l.Slope*l.Spacing*float64(r.Emitters), pressure*1.001)
	})
}

// Flushing runs the tube at the speed asked, and takes what the friction of that flow asks.
func TestFlush(t *testing.T) {
	l := tape(0.45, 200*foot, 0.5)
	f, err := l.Flush(FlushVelocity)
	require.NoError(t, err)
	v, err := Velocity(f.End, l.Diameter)
	require.NoError(t, err)
	require.InDelta(t, FlushVelocity, v, 1e-12)
	require.Greater(t, f.Flow, f.End)
	require.Greater(t, f.Pressure, headLoss(l, f.End, l.Length))
	require.Less(t, f.Pressure, headLoss(l, f.Flow, l.Length))

	// An inch of tube beyond the last emitter loses an inch's friction more.
	longer := l
	longer.Length += 0.1
	g, err := longer.Flush(FlushVelocity)
	require.NoError(t, err)
	require.Greater(t, g.Pressure, f.Pressure+headLoss(l, f.End, 0.1))
}
