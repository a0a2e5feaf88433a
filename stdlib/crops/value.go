package crops

import "haulm/stdlib/quantity"

// Kind is how the numbers of a value are counted.
type Kind uint8

// Kinds of values.
const (
	Word        Kind = iota // a word, no number
	Length                  // m
	Days                    // days
	Window                  // days, said in weeks where they are whole weeks
	FromFrost               // days after the last frost, negative before it
	Weeks                   // weeks
	Years                   // years
	Number                  // a plain number
	Percent                 // a ratio, said in percent
	Temperature             // K
	PerMass                 // seeds in a mass, 1/kg
	PerLength               // pieces on a length of row, 1/m
	Mass                    // kg
	LineMass                // kg/m
	AreaMass                // kg/m2
	Warmth                  // degree days, K s
	Cells                   // measured days to emergence
)

// perLength has no name in package quantity.
var perLength = quantity.Dimension{quantity.AxisLength: -1}

// dim is the dimension of the SI numbers of a kind; a plain ratio for spans of days, weeks and years.
func (k Kind) dim() quantity.Dimension {
	switch k {
	case Length:
		return quantity.Length
	case Temperature:
		return quantity.Temperature
	case PerMass:
		return quantity.PerMass
	case PerLength:
		return perLength
	case Mass:
		return quantity.Mass
	case LineMass:
		return quantity.LineMass
	case AreaMass:
		return quantity.AreaMass
	case Warmth:
		return quantity.DegreeDays
	}
	return quantity.Ratio
}

// value is one of a crop's ranges: its name in the CSV files, its label for readers, and its field.
type value struct {
	name, label string
	kind        Kind
	joins       bool // takes the next grade in where the best one says too little; see settle
	field       func(*Crop) *Range
}

// values lists them in reading order.
var values = []value{
	{"in_row", "in the row", Length, true, func(c *Crop) *Range { return &c.InRow }},
	{"between_rows", "between rows", Length, true, func(c *Crop) *Range { return &c.BetweenRows }},
	{"depth", "depth", Length, false, func(c *Crop) *Range { return &c.Depth }},
	{"height", "grown height", Length, false, func(c *Crop) *Range { return &c.Height }},
	{"spread", "grown spread", Length, false, func(c *Crop) *Range { return &c.Spread }},
	{"offset_last_frost", "goes out", FromFrost, false, func(c *Crop) *Range { return &c.OffsetLastFrost }},
	{"tray", "in the tray", Weeks, false, func(c *Crop) *Range { return &c.TrayWeeks }},
	{"maturity_transplant", "first harvest after planting out", Days, false, func(c *Crop) *Range { return &c.MaturityTransplant }},
	{"maturity_seed", "first harvest after sowing in the row", Days, false, func(c *Crop) *Range { return &c.MaturitySeed }},
	{"degree_days", "degree days from sowing in the row to first harvest", Warmth, false, func(c *Crop) *Range { return &c.DegreeDays }},
	{"degree_base", "degree days count from", Temperature, false, func(c *Crop) *Range { return &c.DegreeBase }},
	{"degree_upper", "degree days count up to", Temperature, false, func(c *Crop) *Range { return &c.DegreeUpper }},
	{"harvest", "harvest lasts", Window, false, func(c *Crop) *Range { return &c.HarvestDays }},
	{"germination", "legal least germination", Percent, false, func(c *Crop) *Range { return &c.Germination }},
	{"seeds", "seeds", PerMass, false, func(c *Crop) *Range { return &c.SeedsPerMass }},
	{"soil_min", "soil for sprouting, least", Temperature, false, func(c *Crop) *Range { return &c.SoilMin }},
	{"soil_planting", "soil for planting", Temperature, false, func(c *Crop) *Range { return &c.SoilPlanting }},
	{"soil_optimum", "soil for sprouting, best", Temperature, false, func(c *Crop) *Range { return &c.SoilOptimum }},
	{"soil_max", "soil for sprouting, most", Temperature, false, func(c *Crop) *Range { return &c.SoilMax }},
	{"yield_row", "yield of row", LineMass, false, func(c *Crop) *Range { return &c.YieldPerLength }},
	{"units_row", "pieces from a row", PerLength, false, func(c *Crop) *Range { return &c.UnitsPerLength }},
	{"yield_area", "yield of ground", AreaMass, false, func(c *Crop) *Range { return &c.YieldPerArea }},
	{"yield_plant", "yield of a plant", Mass, false, func(c *Crop) *Range { return &c.YieldPerPlant }},
	{"pack", "pack", Mass, false, func(c *Crop) *Range { return &c.PackMass }},
	{"root_depth", "rooting depth", Length, false, func(c *Crop) *Range { return &c.RootDepth }},
	{"depletion", "soil water it may use (p)", Number, false, func(c *Crop) *Range { return &c.Depletion }},
	{"kc_ini", "water coefficient, young (Kc ini)", Number, false, func(c *Crop) *Range { return &c.KcIni }},
	{"kc_mid", "water coefficient, full (Kc mid)", Number, false, func(c *Crop) *Range { return &c.KcMid }},
	{"kc_end", "water coefficient, end (Kc end)", Number, false, func(c *Crop) *Range { return &c.KcEnd }},
	{"rotation", "between crops of one family", Years, false, func(c *Crop) *Range { return &c.RotationYears }},
}
