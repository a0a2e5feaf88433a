package water

import (
	"cmp"
	"math"
)

// RainRule is a rule for the part of a month's rain that the roots find.
type RainRule uint8

// Rules for effective rain, each in mm a month (all from memory).
const (
	FixedShare    RainRule = iota // 0.8 P
	DependableFAO                 // 0.6 P - 10 to 70 mm, 0.8 P - 24 above: what four years in five bring, in dry climates
	ShortUSDA                     // P (125 - 0.2 P)/125 to 250 mm, 125 + 0.1 P above
	SoilUSDA                      // USDA-SCS Technical Release 21, with the crop's use and the soil's store; see EffectiveRain
)

// String names the rule.
func (r RainRule) String() string {
	return [...]string{"fixed share of 80 %", "FAO dependable rain", "USDA short form", "USDA-SCS TR-21"}[r]
}

// Month is a month of rain.
type Month struct {
	Rain  float64 // mm
	Use   float64 // of the crop, mm; SoilUSDA only
	Store float64 // water that the soil takes up between waterings, mm; SoilUSDA only
}

// EffectiveRain gives the part of a month's rain in mm that a crop can use, never more than fell. SoilUSDA
// is, in inches (memory):
//
//	SF (0.70917 P^0.82416 - 0.11556) 10^(0.02426 ETc),  SF = 0.531747 + 0.295164 D - 0.057697 D^2 + 0.003804 D^3
//
// with P the rain, ETc the crop's use and D the store, and never more than ETc; TR-21 tabulates D to 7.5 in.
// Errors: negative rain, use or store.
func EffectiveRain(rule RainRule, m Month) (float64, error) {
	const advice = "count water in mm, none below 0"
	if err := within("rain of a month", m.Rain, "mm", 0, 10_000, advice); err != nil {
		return 0, err
	}
	p := m.Rain
	switch rule {
	case DependableFAO:
		if p <= 70 {
			return max(0, 0.6*p-10), nil
		}
		return 0.8*p - 24, nil
	case ShortUSDA:
		if p <= 250 {
			return p * (125 - 0.2*p) / 125, nil
		}
		return 125 + 0.1*p, nil
	case SoilUSDA:
		err := cmp.Or(
			within("crop's use in a month", m.Use, "mm", 0, 1000, advice),
			within("soil's store", m.Store, "mm", 0, 7.5*inch, "the rule knows no larger store; take 190 mm"))
		if err != nil {
			return 0, err
		}
		in, use, store := p/inch, m.Use/inch, m.Store/inch
		sf := 0.531747 + 0.295164*store - 0.057697*store*store + 0.003804*store*store*store
		effective := sf * (0.70917*math.Pow(in, 0.82416) - 0.11556) * math.Pow(10, 0.02426*use) * inch
		return clamp(effective, 0, min(p, m.Use)), nil
	}
	return 0.8 * p, nil
}

const inch = 25.4 // mm
