package water

import (
	"cmp"
	"fmt"
	"math"
)

// Source is where water comes from: one pressure up to a most flow, as from a tank, a main or a spring box; or a
// curve, as from a pump.
type Source struct {
	Pressure float64 // at its outlet, Pa; not read where there is a Curve
	Flow     float64 // the most it gives, m3/s; infinite when only the pressure is known; not read where there is a Curve
	Curve    []Duty  // flow rising, pressure falling, at least two; straight lines between
}

// Duty is one point of a pump's curve.
type Duty struct {
	Flow     float64 // m3/s
	Pressure float64 // Pa
}

func (s Source) check() error {
	if s.Curve == nil {
		return cmp.Or(
			above("pressure of the source", s.Pressure, "Pa", 0, 1e8, "measure it at the outlet while water runs"),
			func() error {
				if math.IsInf(s.Flow, 1) {
					return nil
				}
				return above("flow of the source", s.Flow, "m3/s", 0, 100, "time how long it takes to fill a bucket")
			}())
	}
	if len(s.Curve) < 2 {
		return fmt.Errorf("the source's curve has %d points; it needs at least 2: add the flow and pressure of another", len(s.Curve))
	}
	for i, d := range s.Curve {
		low, high := math.Inf(-1), math.Inf(1)
		if i > 0 {
			low, high = s.Curve[i-1].Flow, s.Curve[i-1].Pressure
		}
		point := fmt.Sprintf("at point %d of the source's curve", i+1)
		err := cmp.Or(
			within("flow "+point, d.Flow, "m3/s", 0, 100, "flow cannot run backwards"),
			above("flow "+point, d.Flow, "m3/s", low, 100, "list the points by rising flow"),
			within("pressure "+point, d.Pressure, "Pa", 0, 1e8, "leave out points below the pump's height"),
			within("pressure "+point, d.Pressure, "Pa", 0, high, "a pump gives less pressure at more flow"))
		if err != nil {
			return err
		}
	}
	return nil
}

// most is the largest flow that the source is known to give.
func (s Source) most() float64 {
	if s.Curve == nil {
		return s.Flow
	}
	return s.Curve[len(s.Curve)-1].Flow
}

// at gives the pressure at a flow, and its change with it; the curve's first and last lines go on beyond its ends.
func (s Source) at(flow float64) (pressure, slope float64) {
	if s.Curve == nil {
		return s.Pressure, 0
	}
	i := 1
	for i < len(s.Curve)-1 && flow > s.Curve[i].Flow {
		i++
	}
	a, b := s.Curve[i-1], s.Curve[i]
	slope = (b.Pressure - a.Pressure) / (b.Flow - a.Flow)
	return a.Pressure + slope*(flow-a.Flow), slope
}
