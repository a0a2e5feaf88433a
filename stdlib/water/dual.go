package water

import (
	"cmp"
	"math"
)

// Topsoil is the layer that dries by evaporation.
type Topsoil struct {
	Total float64 // TEW: water it can lose, mm
	Ready float64 // REW: of that, what leaves as fast as the weather asks, mm
}

// NewTopsoil gives the layer of a soil to a depth in m, 0.10 to 0.15 (FAO-56 Eq. 73):
//
//	TEW = 1000 (FC - 0.5 WP) Ze
//
// with the middle of the soil's REW.
func NewTopsoil(s Soil, depth float64) (Topsoil, error) {
	if err := above("depth of the drying layer", depth, "m", 0, 0.3, "FAO-56 takes 0.10 to 0.15 m"); err != nil {
		return Topsoil{}, err
	}
	total := 1000 * (s.FieldCapacity.Mid() - 0.5*s.WiltingPoint.Mid()) * depth
	return Topsoil{total, min(s.Ready.Mid(), total)}, nil
}

// Surface is a day at the soil's surface.
type Surface struct {
	Rain       float64 // less what runs off, mm
	Irrigation float64 // mm on the wetted part: the depth over all the ground, divided by the share wetted
	Reference  float64 // evapotranspiration, mm
	Kcb        float64 // basal coefficient
	KcMax      float64 // see KcMax
	Exposed    float64 // share of the ground both wetted and bare; see ExposedShare
}

// Evaporated is what became of the day.
type Evaporated struct {
	Ke          float64 // evaporation coefficient
	Evaporation float64 // mm over all the ground
	Use         float64 // (Kcb + Ke) ETo, evaporation and what the crop draws without stress, mm
	Depleted    float64 // water lacking in the layer at the day's end, mm
	Drainage    float64 // through the layer, mm
}

// Day carries the layer over a day from the water it lacked at the end of the day before, in mm (FAO-56 Eq.
// 71, 74, 77 and 79):
//
//	Ke = Kr (KcMax - Kcb) <= few KcMax,  Kr = (TEW - De) / (TEW - REW) for De > REW, else 1
//	De = De before - rain - irrigation + E/few + drainage, 0 <= De <= TEW
//
// Water comes early in the day, before the evaporation. Errors: negative numbers, a depletion beyond TEW.
func (t Topsoil) Day(depleted float64, d Surface) (Evaporated, error) {
	const advice = "count water in mm, none below 0"
	err := cmp.Or(
		above("water in the drying layer", t.Total, "mm", 0, 500, "FAO-56 Table 19 has 6 to 29 mm"),
		within("readily evaporated water", t.Ready, "mm", 0, t.Total, "it is a part of all that the layer can lose"),
		within("water lacking in the drying layer", depleted, "mm", 0, t.Total, "carry on the day before"),
		within("rain", d.Rain, "mm", 0, 2000, advice),
		within("irrigation", d.Irrigation, "mm", 0, 2000, advice),
		within("reference evapotranspiration", d.Reference, "mm", 0, 30, advice),
		within("basal coefficient", d.Kcb, "", 0, 2, "it lies between 0.1 and 1.2 in the published tables"),
		within("greatest crop coefficient", d.KcMax, "", d.Kcb, 3, "it cannot lie below the basal coefficient"),
		above("exposed share of the ground", d.Exposed, "", 0, 1, "it is a share of the whole ground"))
	if err != nil {
		return Evaporated{}, err
	}
	after := depleted - d.Rain - d.Irrigation
	e := Evaporated{Drainage: max(0, -after)}
	after = max(0, after)
	e.Ke = min(t.slowing(after)*(d.KcMax-d.Kcb), d.Exposed*d.KcMax)
	e.Evaporation = e.Ke * d.Reference
	if most := (t.Total - after) * d.Exposed; e.Evaporation > most {
		e.Evaporation, e.Ke = most, most/d.Reference
	}
	e.Use = d.Kcb*d.Reference + e.Evaporation
	e.Depleted = min(t.Total, after+e.Evaporation/d.Exposed)
	return e, nil
}

// slowing is the evaporation reduction coefficient Kr (FAO-56 Eq. 74).
func (t Topsoil) slowing(depleted float64) float64 {
	if depleted <= t.Ready {
		return 1
	}
	return (t.Total - depleted) / (t.Total - t.Ready)
}

// KcMax gives the most that crop and soil together can use, as a coefficient (FAO-56 Eq. 72): the larger of
// Kcb + 0.05 and 1.2 shifted as in AdjustKc, whose units and limits hold.
func KcMax(kcb, wind, leastHumidity, height float64) (float64, error) {
	if err := within("basal coefficient", kcb, "", 0, 2, "it lies between 0.1 and 1.2 in the published tables"); err != nil {
		return 0, err
	}
	most, err := AdjustKc(1.2, wind, leastHumidity, height)
	return max(most, kcb+0.05), err
}

// CoverOf estimates the share of the ground that a crop shades from its basal coefficient (FAO-56 Eq. 76):
//
//	fc = ((Kcb - KcMin) / (KcMax - KcMin))^(1 + 0.5 h)
//
// with KcMin that of dry bare soil, 0.15 to 0.20, and the height h in m. Kcb below KcMin shades nothing.
// Error: KcMax not above KcMin.
func CoverOf(kcb, kcMin, kcMax, height float64) (float64, error) {
	err := cmp.Or(
		above("greatest crop coefficient", kcMax, "", kcMin, 3, "it must exceed that of dry bare soil, 0.15"),
		within("basal coefficient", kcb, "", 0, kcMax, "it cannot exceed the greatest crop coefficient"),
		within("height of the crop", height, "m", 0, 30, "give the height of the day"))
	if err != nil {
		return 0, err
	}
	return math.Pow(max(0, kcb-kcMin)/(kcMax-kcMin), 1+0.5*height), nil
}

// ExposedShare gives the share of the ground that is both bare and wetted: min(1 - cover, wetted) (FAO-56
// Eq. 75); where drip tape lies under the leaves, wetted counts as wetted (1 - 2/3 cover) (FAO-56 p147). It
// is at least 0.01, for the soil never quite closes over. Cover and wetted are shares of the ground.
func ExposedShare(cover, wetted float64, underLeaves bool) (float64, error) {
	err := cmp.Or(
		within("cover", cover, "", 0, 1, "it is the shaded share of the ground"),
		above("wetted share of the ground", wetted, "", 0, 1, "1 for rain and sprinklers, 0.3 to 0.4 for drip"))
	if err != nil {
		return 0, err
	}
	if underLeaves {
		wetted *= 1 - 2./3*cover
	}
	return max(0.01, min(1-cover, wetted)), nil
}
