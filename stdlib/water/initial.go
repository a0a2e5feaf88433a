package water

import (
	"cmp"
	"math"
)

// Wetting is how the ground under a young crop is wetted.
type Wetting struct {
	Every float64 // days between wettings by rain or water
	Depth float64 // mm at each, over the whole ground
	Share float64 // of the ground that gets wet: 1 for rain and sprinklers, 0.3 to 0.4 for drip (FAO-56 Table 20)
}

// InitialKc gives the crop coefficient of the initial stage, when most of the water leaves from bare soil,
// at a reference evapotranspiration in mm a day (FAO-56 Annex 7 Eq. 7-1 to 7-4):
//
//	Kc = (TEW - (TEW - REW) exp(-(tw - t1) Eso (1 + REW/(TEW - REW)) / TEW)) / (tw ETo) for tw > t1 = REW/Eso, else Eso/ETo
//
// with Eso = 1.15 ETo, tw the days between wettings, TEW and REW the water in mm that the topsoil can lose and loses
// readily (FAO-56 Fig. 29 for wettings of 10 mm and less, Fig. 30a and 30b for 40 mm and more on coarse and on
// other soil; in a straight line between, Eq. 59). Where a share of the ground is wetted, Depth/Share falls
// on it and Kc is that share of the result (Eq. 60 and 61). Errors: numbers that are not above 0, a share
// above 1.
func InitialKc(w Wetting, eto float64, class Class) (float64, error) {
	err := cmp.Or(
		above("time between wettings", w.Every, "days", 0, 60, "give the days from one watering or rain to the next"),
		above("depth of a wetting", w.Depth, "mm", 0, 500, "give the water that each brings"),
		above("wetted share of the ground", w.Share, "", 0, 1, "1 for rain and sprinklers, 0.3 to 0.4 for drip"),
		above("reference evapotranspiration", eto, "mm a day", 0, 20, "give that of the initial stage"))
	if err != nil {
		return 0, err
	}
	light, heavy := lightWetting(w.Every, eto), heavyWetting(w.Every, eto, class == Coarse)
	return w.Share * betweenDepths(w.Depth/w.Share, light, heavy), nil
}

// betweenDepths reads between the figures for wettings of 10 and of 40 mm (FAO-56 Eq. 59).
func betweenDepths(depth, light, heavy float64) float64 {
	return light + (clamp(depth, 10, 40)-10)/(40-10)*(heavy-light)
}

// lightWetting is FAO-56 Fig. 29.
func lightWetting(every, eto float64) float64 {
	return dryingKc(every, eto, 10, clamp(6/math.Sqrt(eto), 2.5, 7))
}

// heavyWetting is FAO-56 Fig. 30a for coarse soil and Fig. 30b for other soil.
func heavyWetting(every, eto float64, coarse bool) float64 {
	if coarse {
		tew := min(15, 7*math.Sqrt(eto))
		return dryingKc(every, eto, tew, min(6, tew-0.01))
	}
	tew := min(28, 13*math.Sqrt(eto))
	return dryingKc(every, eto, tew, min(9, tew-0.01))
}

func dryingKc(every, eto, tew, rew float64) float64 {
	eso := 1.15 * eto
	first := rew / eso // days that the soil dries as fast as the weather asks
	if every <= first {
		return eso / eto
	}
	left := (tew - rew) * math.Exp(-(every-first)*eso*(1+rew/(tew-rew))/tew)
	return (tew - left) / (every * eto)
}
