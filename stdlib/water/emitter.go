package water

import (
	"cmp"
	"math"
)

// Emitter is one outlet of a drip line: q = K h^X (Keller and Bliesner 1990). Near no pressure the flow falls in
// proportion to the pressure, as it does in any emitter once it is slow enough: under Trickle, or under 3 kPa where
// the exponent is 0.2 or less, for no emitter compensates with less (common practice).
type Emitter struct {
	K      float64 // m3/s at 1 Pa
	X      float64 // 0 when it compensates for pressure, 0.5 when turbulent, 1 when laminar
	Spread float64 // manufacturer's coefficient of variation, standard deviation of the flow by its mean
}

// NewEmitter gives the emitter that passes a flow in m3/s at a pressure in Pa. Errors: flow or pressure not
// above 0, an exponent outside 0 to 1, a spread outside 0 to 1.
func NewEmitter(flow, pressure, exponent, spread float64) (Emitter, error) {
	err := cmp.Or(
		above("emitter flow", flow, "m3/s", 0, 1, "take it from the tape's label: the flow of a length, divided by its emitters"),
		above("pressure of the emitter flow", pressure, "Pa", 0, 1e7, "take it from the tape's label, where it stands beside the flow"),
		checkEmitter(exponent, spread))
	if err != nil {
		return Emitter{}, err
	}
	return Emitter{flow / math.Pow(pressure, exponent), exponent, spread}, nil
}

func checkEmitter(exponent, spread float64) error {
	return cmp.Or(
		within("emitter exponent", exponent, "", 0, 1, "take it from the maker's sheet: 0.5 for plain emitters, near 0 for compensating ones"),
		within("emitter spread", spread, "", 0, 1, "good tape has 0.04, given as a ratio"))
}

func (e Emitter) check() error {
	return cmp.Or(
		above("emitter K", e.K, "m3/s at 1 Pa", 0, math.Inf(1), "give the emitter's flow at its pressure"),
		checkEmitter(e.X, e.Spread))
}

// Trickle is the pressure in Pa, a centimeter of water, under which an emitter gives next to nothing.
const Trickle = 100

// Flow gives the flow in m3/s at a pressure in Pa; none at 0 and below.
func (e Emitter) Flow(pressure float64) float64 {
	if pressure <= 0 {
		return 0
	}
	o := newOutflow(e)
	return o.at(pressure)
}

const (
	compensates      = 0.2  // exponent up to which an emitter counts as compensating
	leastCompensated = 3000 // Pa
)

// outflow is an emitter made ready.
type outflow struct {
	k, x float64
	kind kind
	low  float64 // pressure under which the flow is slow times the pressure
	slow float64
}

// kind picks the fast way to raise a pressure to the exponent.
type kind uint8

const (
	anyPower kind = iota
	constant
	root
	linear
)

func newOutflow(e Emitter) outflow {
	o := outflow{k: e.K, x: e.X}
	switch e.X {
	case 0:
		o.kind = constant
	case 0.5:
		o.kind = root
	case 1:
		o.kind = linear
	}
	o.low = Trickle
	if e.X <= compensates {
		o.low = leastCompensated
	}
	o.slow = e.K * math.Pow(o.low, e.X-1)
	return o
}

// at gives the flow at a pressure above 0.
func (o *outflow) at(p float64) float64 {
	if p < o.low {
		return o.slow * p
	}
	switch o.kind {
	case root:
		return o.k * math.Sqrt(p)
	case constant:
		return o.k
	case linear:
		return o.k * p
	}
	return o.k * math.Exp(o.x*math.Log(p))
}

// beside gives the flow at a pressure from that at another one, both above 0. From emitter to emitter the
// pressure hardly changes, and two short series, exact to the last digits there, are far faster than the
// power: ln(p/p0) = 2 artanh((p - p0)/(p + p0)), and e^y.
func (o *outflow) beside(p, p0, flow0 float64) float64 {
	z := (p - p0) / (p + p0)
	if o.kind != anyPower || z > 0.02 || z < -0.02 || p0 < o.low || p < o.low {
		return o.at(p)
	}
	z2 := z * z
	y := 2 * o.x * z * (1 + z2*(1./3+z2*(1./5+z2*(1./7+z2/9))))
	return flow0 * (1 + y*(1+y/2*(1+y/3*(1+y/4*(1+y/5*(1+y/6*(1+y/7*(1+y/8))))))))
}

// slope gives the change of a flow with its pressure.
func (o *outflow) slope(p, flow float64) float64 {
	if p < o.low {
		return o.slow
	}
	return o.x * flow / p
}
