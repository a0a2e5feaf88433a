package water

import "math"

// stepper is a lateral made ready to step along.
type stepper struct {
	bore            bore
	n               int
	k, x            float64
	kind            kind
	stretch, head   float64 // m of friction between two emitters, and from the inlet to the first
	climb, headRise float64 // Pa that the rise of the same takes
	spread          float64
	area            float64
	at, apart       float64 // of the first emitter from the inlet, and between two, m
}

// kind picks the fast way to raise a pressure to the exponent.
type kind uint8

const (
	anyPower kind = iota
	constant
	root
	linear
)

func newStepper(l Lateral) *stepper {
	s := &stepper{
		bore: newBore(l.Law, l.Diameter, l.C), n: l.Emitters(), k: l.Emitter.K, x: l.Emitter.X,
		stretch: l.Spacing + l.Barb, head: l.first() + l.Barb,
		climb: weight * l.Slope * l.Spacing, headRise: weight * l.Slope * l.first(),
		spread: l.Emitter.Spread, area: area(l.Diameter), at: l.first(), apart: l.Spacing,
	}
	switch l.Emitter.X {
	case 0:
		s.kind = constant
	case 0.5:
		s.kind = root
	case 1:
		s.kind = linear
	}
	return s
}

// swept is what one pass from the last emitter to the inlet finds.
type swept struct {
	inlet, inletSlope float64 // pressure there, and its change with the pressure at the end, never below 1
	flow, flowSlope   float64 // into the line, and its change likewise
	least, most       float64 // pressure at any emitter
	dry               int
}

// emit gives the flow of an emitter at a pressure above 0.
func (s *stepper) emit(p float64) float64 {
	switch s.kind {
	case root:
		return s.k * math.Sqrt(p)
	case constant:
		return s.k
	case linear:
		return s.k * p
	}
	return s.k * math.Exp(s.x*math.Log(p))
}

// emitBeside gives the flow at a pressure from that at another one, both above 0. From emitter to emitter the
// pressure hardly changes, and two short series, exact to the last digits there, are far faster than the
// power: ln(p/p0) = 2 artanh((p - p0)/(p + p0)), and e^y.
func (s *stepper) emitBeside(p, p0, flow0 float64) float64 {
	z := (p - p0) / (p + p0)
	if s.kind != anyPower || z > 0.02 || z < -0.02 {
		return s.emit(p)
	}
	z2 := z * z
	y := 2 * s.x * z * (1 + z2*(1./3+z2*(1./5+z2*(1./7+z2/9))))
	return flow0 * (1 + y*(1+y/2*(1+y/3*(1+y/4*(1+y/5*(1+y/6*(1+y/7*(1+y/8))))))))
}

// leastSlopeAt is the pressure in Pa below which an emitter's change of flow with pressure, which is endless
// at 0, is taken as it is there.
const leastSlopeAt = 1e-3

// sweep steps from the last emitter, at a pressure, to the inlet; tail flows on beyond the last emitter. An
// emitter at no pressure gives nothing, so water stands in a line that rises too far.
func (s *stepper) sweep(end, tail float64) swept {
	p, dp := end, 1.0 // and their changes with end
	q, dq := tail, 0.0
	w := swept{least: end, most: end}
	before, e := 0.0, 0.0 // the emitter beyond; z is 1 for the first
	for i := s.n; ; i-- {
		if p > 0 {
			e = s.emitBeside(p, before, e)
			before = p
			q += e
			at := p
			if at < leastSlopeAt {
				at = leastSlopeAt
			}
			dq += s.x * e / at * dp
		} else {
			w.dry++
		}
		if p < w.least {
			w.least = p
		}
		if p > w.most {
			w.most = p
		}
		j, slope := s.bore.loss(q)
		if i == 1 {
			w.inlet = p + j*s.head + s.headRise
			w.inletSlope = dp + slope*s.head*dq
			w.flow, w.flowSlope = q, dq
			return w
		}
		p += j*s.stretch + s.climb
		dp += slope * s.stretch * dq
	}
}

// guess gives a pressure at the end to begin with.
func (s *stepper) guess(inlet float64) float64 {
	return inlet - s.headRise - float64(s.n-1)*s.climb
}

// solve finds the pressure at the last emitter that asks for a pressure at the inlet. The inlet's pressure
// rises at least as fast as the end's, so what is missing at the inlet bounds what is missing at the end.
func (s *stepper) solve(inlet float64) (end float64, sweeps int) {
	const most, within = 200, 1e-12
	low, high := math.Inf(-1), math.Inf(1)
	end = s.guess(inlet)
	for sweeps = 1; ; sweeps++ {
		w := s.sweep(end, 0)
		over := w.inlet - inlet
		if over > 0 {
			low, high = max(low, end-over), min(high, end)
		} else {
			low, high = max(low, end), min(high, end-over)
		}
		if math.Abs(over) <= within*inlet || high-low <= within*inlet || sweeps == most {
			return end, sweeps
		}
		next := end - over/w.inletSlope
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if next == end {
			return end, sweeps
		}
		end = next
	}
}

func (s *stepper) run(end float64, sweeps int) Run { return s.report(end, s.sweep(end, 0), sweeps) }

func (s *stepper) report(end float64, w swept, sweeps int) Run {
	r := Run{
		Pressure: w.inlet, End: end, Least: w.least, Most: w.most, Flow: w.flow, Emitters: s.n, Dry: w.dry,
		Velocity: w.flow / s.area, Sweeps: sweeps,
	}
	if w.least > 0 {
		r.LeastFlow = s.emit(w.least)
	}
	if w.most > 0 {
		r.MostFlow = s.emit(w.most)
		r.EU = uniformity(s.spread, 1, r.LeastFlow, r.MeanFlow())
	}
	return r
}

// outlets lists the emitters from the inlet on.
func (s *stepper) outlets(end float64) []Outlet {
	out := make([]Outlet, s.n)
	p, q := end, 0.0
	for i := s.n - 1; i >= 0; i-- {
		out[i] = Outlet{At: s.at + float64(i)*s.apart, Pressure: p}
		if p > 0 {
			out[i].Flow = s.emit(p)
		}
		q += out[i].Flow
		j, _ := s.bore.loss(q)
		p += j*s.stretch + s.climb
	}
	return out
}
