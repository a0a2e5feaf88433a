package feeding

import (
	_ "embed" // for the table
	"sync"

	"haulm/stdlib/table"
)

// Units of the tables, in SI.
const (
	inch         = 0.0254
	foot         = 12 * inch
	pound        = 0.45359237
	acre         = 4046.8564224 // m², of the international foot
	poundPerAcre = pound / acre // kg/m²
	ppm          = 1e-6
	tonPerAcre   = 2000 * poundPerAcre
	gallon       = 0.003785411784 // m³
)

// FurrowSlice is the depth in meters of the soil that weighs 2,000,000 lb on an acre: 6-2/3 in, the plow layer by
// which ppm and lb/ac differ by a factor of 2 (Penn State Agronomy Guide, Part 1 Sec 2).
const FurrowSlice = 20.0 / 3 * inch

// slicePounds is the weight of the furrow slice, lb/ac.
const slicePounds = 2_000_000

// SoilMass gives the mass of a nutrient on an area, kg/m², from its share of the soil to a depth in meters; a depth
// of 0 or less is the furrow slice. In pounds on an acre it is ppm x 0.3 x depth in inches: 2 lb/ac for 1 ppm
// in the furrow slice (Penn State Agronomy Guide, Part 1 Sec 2).
func SoilMass(share, depth float64) float64 {
	return share * slicePounds * poundPerAcre * sliceCount(depth)
}

// SoilShare is the inverse of SoilMass: the share of the soil from a mass on an area, kg/m².
func SoilShare(mass, depth float64) float64 {
	return mass / (slicePounds * poundPerAcre * sliceCount(depth))
}

func sliceCount(depth float64) float64 {
	if depth <= 0 {
		return 1
	}
	return depth / FurrowSlice
}

//go:embed factors.csv
var factorsCSV string

var factors = sync.OnceValue(func() map[string]float64 {
	all := map[string]float64{}
	for _, r := range table.Read("factors.csv", factorsCSV) {
		all[r.Text("factor")] = r.Number("value", 0)
	}
	return all
})

// OxideOfP gives P2O5 from phosphorus: 2.2914 times as much, by atomic weights.
func OxideOfP(p float64) float64 { return p * factors()["P to P2O5"] }

// POfOxide gives phosphorus from P2O5.
func POfOxide(oxide float64) float64 { return oxide / factors()["P to P2O5"] }

// OxideOfK gives K2O from potassium: 1.2046 times as much, by atomic weights.
func OxideOfK(k float64) float64 { return k * factors()["K to K2O"] }

// KOfOxide gives potassium from K2O.
func KOfOxide(oxide float64) float64 { return oxide / factors()["K to K2O"] }

// ManganeseIndex is the activity index by which Rutgers rates manganese: 101.7 + 3.75 Mn - 15.2 pH, Mn being
// a share of the soil by Mehlich-3 (Rutgers Soil Testing Lab, relative levels of nutrients). It can be negative.
func ManganeseIndex(mn, ph float64) float64 {
	f := factors()
	return f["MnAI constant"] + f["MnAI of 1 ppm Mn"]*mn/ppm + f["MnAI of 1 pH"]*ph
}

// RowArea is the ground that a row feeds, m²: its length times the distance to the next row, or of a bed its
// length times the distance from bed center to bed center, not the width that is planted.
func RowArea(length, between float64) float64 { return length * between }
