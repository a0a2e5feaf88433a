package water

import (
	"cmp"
	"math"
)

// Emitter is one outlet of a drip line: q = K h^X (Keller and Bliesner 1990).
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
		above("emitter K", e.K, "m3/s at 1 Pa", 0, math.MaxFloat64, "give the emitter's flow at its pressure"),
		checkEmitter(e.X, e.Spread))
}

// Flow gives the flow in m3/s at a pressure in Pa; none at 0 and below.
func (e Emitter) Flow(pressure float64) float64 {
	switch {
	case pressure <= 0:
		return 0
	case e.X == 0:
		return e.K
	case e.X == 0.5:
		return e.K * math.Sqrt(pressure)
	case e.X == 1:
		return e.K * pressure
	}
	return e.K * math.Exp(e.X*math.Log(pressure))
}
