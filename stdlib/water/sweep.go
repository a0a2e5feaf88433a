package water

import "math"

// stepper is a lateral made ready to step along.
type stepper struct {
	bore            bore
	n               int
	out             outflow
	stretch, head   float64 // m of friction between two emitters, and from the inlet to the first
	climb, headRise float64 // Pa that the rise of the same takes
	spread          float64
	area            float64
	at, apart       float64 // of the first emitter from the inlet, and between two, m
}

func newStepper(l Lateral) *stepper {
	return &stepper{
		bore: newBore(l.Law, l.Diameter, l.C), n: l.Emitters(), out: newOutflow(l.Emitter),
		stretch: l.Spacing + l.Barb, head: l.first() + l.Barb,
		climb: weight * l.Slope * l.Spacing, headRise: weight * l.Slope * l.first(),
		spread: l.Emitter.Spread, area: area(l.Diameter), at: l.first(), apart: l.Spacing,
	}
}

// swept is what one pass from the last emitter to the inlet finds.
type swept struct {
	inlet, inletSlope float64 // pressure there, and its change with the pressure at the end, never below 1
	flow, flowSlope   float64 // into the line, and its change likewise
	least, most       float64 // pressure at any emitter
	dry               int
}

// sweep steps from the last emitter, at a pressure, to the inlet; tail flows on beyond the last emitter. An
// emitter at no pressure gives nothing, so water stands in a line that rises too far.
func (s *stepper) sweep(end, tail float64) swept {
	p, dp := end, 1.0 // and their changes with end
	q, dq := tail, 0.0
	w := swept{least: end, most: end}
	before, e := 0.0, 0.0 // pressure and flow of the emitter beyond
	for i := s.n; ; i-- {
		if p > 0 {
			e = s.out.beside(p, before, e)
			before = p
			q += e
			dq += s.out.slope(p, e) * dp
		}
		if p < Trickle {
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
		if p > endless {
			w.inlet, w.inletSlope, w.flow, w.flowSlope = math.Inf(1), 1, q, 0
			return w
		}
	}
}

// endless is a pressure in Pa from which on a sweep need not go on: the end was thought far too high.
const endless = 1e12

// guess gives a pressure at the end to begin with.
func (s *stepper) guess(inlet float64) float64 {
	return inlet - s.headRise - float64(s.n-1)*s.climb
}

// solve finds the pressure at the last emitter that asks for a pressure at the inlet. That lies above the one at
// which the whole line is dry, and below that of still water; and as the inlet's pressure rises at least as fast
// as the end's, what is missing at the inlet bounds what is missing at the end. Over is what the inlet's pressure
// comes out too high.
func (s *stepper) solve(inlet float64) (end, over float64, sweeps int) {
	const most, within = 200, 1e-12
	end = s.guess(inlet)
	high, low := end, min(0, inlet)-max(0, inlet-end)
	near := within * max(math.Abs(inlet), Trickle)
	for sweeps = 1; ; sweeps++ {
		w := s.sweep(end, 0)
		over = w.inlet - inlet
		if over > 0 {
			low, high = max(low, end-over), min(high, end)
		} else {
			low, high = max(low, end), min(high, end-over)
		}
		if math.Abs(over) <= near || sweeps == most {
			return end, over, sweeps
		}
		next := end - over/w.inletSlope
		if !(next > low && next < high) {
			next = between(low, high)
		}
		if next == end || !(next > low && next < high) {
			return end, over, sweeps
		}
		end = next
	}
}

// between halves an interval: by its ratio where it spans orders of magnitude.
func between(low, high float64) float64 {
	const far = 16
	switch {
	case low > 0 && high > far*low:
		return math.Sqrt(low) * math.Sqrt(high)
	case low == 0 && high > 0:
		return high / far
	}
	return low + (high-low)/2
}

func (s *stepper) run(end float64, sweeps int) Run { return s.report(end, s.sweep(end, 0), sweeps) }

func (s *stepper) report(end float64, w swept, sweeps int) Run {
	r := Run{
		Pressure: w.inlet, End: end, Least: w.least, Most: w.most, Flow: w.flow, Emitters: s.n, Dry: w.dry,
		Velocity: w.flow / s.area, Sweeps: sweeps,
	}
	if w.least > 0 {
		r.LeastFlow = s.out.at(w.least)
	}
	if w.most > 0 {
		r.MostFlow = s.out.at(w.most)
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
			out[i].Flow = s.out.at(p)
		}
		q += out[i].Flow
		j, _ := s.bore.loss(q)
		p += j*s.stretch + s.climb
	}
	return out
}
