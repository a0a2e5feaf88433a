package water

import (
	"cmp"
	"math"
)

// Bulb is the ground that one emitter wets.
type Bulb struct{ Width, Depth float64 } // m

// WetBulb gives the ground that a volume in m3 wets from one emitter of a flow in m3/s, where water enters saturated
// ground at a conductivity in m/s (Schwartzman and Zur 1986, memory):
//
//	W = 1.82 V^0.22 (Ks/q)^-0.17,  Z = 2.54 V^0.63 (Ks/q)^0.45
//
// It is a fit to a few soils: count on half as much again either way. Errors: numbers not above 0.
func WetBulb(conductivity, flow, volume float64) (Bulb, error) {
	err := cmp.Or(
		checkSpot(conductivity, flow),
		above("volume from an emitter", volume, "m3", 0, 1000, "run the water for a while"))
	if err != nil {
		return Bulb{}, err
	}
	ratio := conductivity / flow
	return Bulb{
		Width: 1.82 * math.Pow(volume, 0.22) * math.Pow(ratio, -0.17),
		Depth: 2.54 * math.Pow(volume, 0.63) * math.Pow(ratio, 0.45),
	}, nil
}

func checkSpot(conductivity, flow float64) error {
	return cmp.Or(
		above("conductivity of the soil", conductivity, "m/s", 0, 1, "give the soil's texture"),
		above("emitter flow", flow, "m3/s", 0, 1, "give the tape's emitters a flow"))
}

// RunToDepth gives the time in s until an emitter's water stands at a depth in m, from WetBulb. Errors as
// there.
func RunToDepth(conductivity, flow, depth float64) (float64, error) {
	err := cmp.Or(
		checkSpot(conductivity, flow),
		above("depth of the roots", depth, "m", 0, 10, "give the depth that the roots reach"))
	if err != nil {
		return 0, err
	}
	volume := math.Pow(depth/(2.54*math.Pow(conductivity/flow, 0.45)), 1/0.63)
	return volume / flow, nil
}

// Strip is the ground that a line of emitters wets.
type Strip struct {
	Width float64 // of one emitter's ground, m
	Depth float64 // m
	Reach float64 // the widest emitter spacing whose spots still join, m
	Gap   float64 // of dry ground between two emitters' spots, m; 0 where they touch
}

// overlap is the share of the wetted width that emitters may be apart for their spots to join: Se' = 0.8 Sw
// (Keller and Bliesner 1990, memory).
const overlap = 0.8

// WetStrip gives the ground that emitters a spacing in m apart wet in a run of so many s at a flow in m3/s
// each. The width of WetBulb is held within what the soil's class is seen to wet. Errors: numbers not above
// 0.
func WetStrip(s Soil, flow, spacing, run float64) (Strip, error) {
	err := cmp.Or(
		above("emitter spacing", spacing, "m", 0, 100, "take it from the tape's label"),
		above("run time", run, "s", 0, 30*86400, "run the water for a while"))
	if err != nil {
		return Strip{}, err
	}
	b, err := WetBulb(s.Conductivity, flow, flow*run)
	if err != nil {
		return Strip{}, err
	}
	width := clamp(b.Width, s.WetDiameter.Low, s.WetDiameter.High)
	return Strip{Width: width, Depth: b.Depth, Reach: overlap * width, Gap: max(0, spacing-width)}, nil
}

// Across gives the wetted width in m under one or more tapes so many m apart: what they wet together, once
// where they overlap. Errors: no tape, a negative distance.
func (s Strip) Across(tapes int, apart float64) (float64, error) {
	err := cmp.Or(
		within("number of tapes", float64(tapes), "", 1, 100, "a row has one tape or more"),
		within("distance between tapes", apart, "m", 0, 10, "measure from tape to tape"))
	if err != nil {
		return 0, err
	}
	return s.Width + float64(tapes-1)*min(apart, s.Width), nil
}
