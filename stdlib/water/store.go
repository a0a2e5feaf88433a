package water

import "cmp"

// Store is the water that roots can reach.
type Store struct {
	Total float64 // TAW: between field capacity and wilting point over the depth of the roots, mm
	P     float64 // share of it that the crop draws without stress
}

// NewStore gives the store of roots in m deep in a soil that holds available m3 of water in m3 of soil
// (FAO-56 Eq. 82): TAW = 1000 (FC - WP) Zr. Errors: numbers not above 0, available above 0.5, p above 0.8.
func NewStore(available, depth, p float64) (Store, error) {
	s := Store{1000 * available * depth, p}
	err := cmp.Or(
		above("water available in the soil", available, "m3/m3", 0, 0.5, "soils hold 0.05 to 0.20; give the texture"),
		above("depth of the roots", depth, "m", 0, 10, "give the depth that the roots reach"),
		s.check())
	if err != nil {
		return Store{}, err
	}
	return s, nil
}

func (s Store) check() error {
	return cmp.Or(
		above("water in the root zone", s.Total, "mm", 0, 5000, "give soil and depth of the roots"),
		above("share drawn without stress", s.P, "", 0, 0.8, "FAO-56 Table 22 has 0.2 to 0.7"))
}

// Ready is the water drawn without stress, mm: RAW = p TAW (FAO-56 Eq. 83).
func (s Store) Ready() float64 { return s.P * s.Total }

// Stress gives the part of its use that a crop keeps up, 1 to 0, when the root zone lacks so many mm (FAO-56
// Eq. 84): Ks = (TAW - Dr) / ((1 - p) TAW) where Dr > RAW, else 1.
func (s Store) Stress(depletion float64) float64 {
	if depletion <= s.Ready() {
		return 1
	}
	return clamp((s.Total-depletion)/((1-s.P)*s.Total), 0, 1)
}

// AdjustP brings the share drawn without stress from a use of 5 mm a day to another (FAO-56 Table 22 note):
// p + 0.04 (5 - ETc), held from 0.1 to 0.8.
func AdjustP(p, use float64) (float64, error) {
	err := cmp.Or(
		above("share drawn without stress", p, "", 0, 0.8, "FAO-56 Table 22 has 0.2 to 0.7"),
		within("crop's use", use, "mm a day", 0, 30, "give that of the day or of the stage"))
	if err != nil {
		return 0, err
	}
	return clamp(p+0.04*(5-use), 0.1, 0.8), nil
}

// Salinity is how a crop bears salt.
type Salinity struct {
	Threshold float64 // of the soil's saturation extract that costs no yield, dS/m
	Slope     float64 // yield lost for each dS/m more, percent
	Response  float64 // Ky, yield lost to use lost
}

// Stress gives the part of its use that a crop keeps up, 1 to 0, in soil of a salinity in dS/m (FAO-56 Eq. 91):
// Ks = 1 - b / (100 Ky) (ECe - threshold), 1 below the threshold. Where water is short too, the two factors
// multiply (Eq. 92). It holds while more than half of
// the yield is left (memory). Errors: negative numbers, a
// response of 0.
func (s Salinity) Stress(ece float64) (float64, error) {
	err := cmp.Or(
		within("salinity of the soil", ece, "dS/m", 0, 100, "give that of the saturation extract"),
		within("salinity threshold", s.Threshold, "dS/m", 0, 20, "FAO-56 Table 23 has it"),
		within("loss for salinity", s.Slope, "% per dS/m", 0, 100, "FAO-56 Table 23 has it"),
		above("yield response", s.Response, "", 0, 3, "FAO-56 Table 24 has 0.7 to 1.25"))
	if err != nil {
		return 0, err
	}
	return clamp(1-s.Slope/(100*s.Response)*(ece-s.Threshold), 0, 1), nil
}
