package water

import "cmp"

// Flows are what a day brings to the root zone and asks of it, mm.
type Flows struct {
	Rain       float64
	Runoff     float64 // of the rain
	Irrigation float64 // net, what reaches the roots' ground
	Rise       float64 // from groundwater
	Reference  float64 // evapotranspiration of the day
	Use        float64 // of the crop without stress, Kc times Reference
}

// Balance is what became of a day, mm.
type Balance struct {
	Depletion float64 // lacking at the day's end
	Drainage  float64 // below the roots
	Use       float64 // what the crop drew
	Stress    float64 // Ks that it drew it at
	Lost      float64 // rain too light to enter the ground
}

// lightRain is the share of the reference evapotranspiration below which a day's rain only wets the leaves
// (FAO-56 Eq. 85).
const lightRain = 0.2

// Day carries the root zone over a day from the water it lacked at the end of the day before (FAO-56 Eq. 85
// and 86):
//
//	Dr = Dr before - (P - RO) - I - CR + ETc + DP, 0 <= Dr <= TAW
//
// Water in excess of field capacity drains before the crop draws, so a flooded root zone ends the day
// lacking that day's use. FAO-56 contradicts itself here: Eq. 88 as printed lets the crop draw first (its own
// Example 38 then has 11 mm of drainage and no depletion on the first day), while the table of Example 38
// (17 mm, depletion 5 mm) follows only with drainage first. The table is followed: it is the printed result,
// and the soil it leaves is the drier one, which waters a little too early rather than too late. Stress is that of
// the depletion after the day's water; the crop cannot draw below the wilting point. Rain below a fifth of the
// reference evapotranspiration is lost. Errors: negative numbers, more runoff than rain, a depletion beyond TAW.
func (s Store) Day(depletion float64, f Flows) (Balance, error) {
	const advice = "count water in mm, none below 0"
	err := cmp.Or(s.check(),
		within("water lacking in the root zone", depletion, "mm", 0, s.Total, "carry on the day before"),
		within("rain", f.Rain, "mm", 0, 2000, advice),
		within("runoff", f.Runoff, "mm", 0, f.Rain, "no more runs off than falls"),
		within("irrigation", f.Irrigation, "mm", 0, 2000, advice),
		within("rise from groundwater", f.Rise, "mm", 0, 100, advice),
		within("reference evapotranspiration", f.Reference, "mm", 0, 30, advice),
		within("crop's use", f.Use, "mm", 0, 40, advice))
	if err != nil {
		return Balance{}, err
	}
	var b Balance
	rain := f.Rain - f.Runoff
	if f.Rain < lightRain*f.Reference {
		b.Lost, rain = rain, 0
	}
	after := depletion - rain - f.Irrigation - f.Rise
	b.Drainage = max(0, -after)
	after = max(0, after)
	b.Stress = s.Stress(after)
	b.Use = min(b.Stress*f.Use, s.Total-after)
	b.Depletion = min(s.Total, after+b.Use)
	return b, nil
}
