// Package crops is the crop table: spacing, timing, family, depth, hardiness, yield, roots and water
// for each crop, every value with the source that gave it and that source's grade. In go the CSV files
// beside this text; out come crops with values in SI units and days. The files are the one place of every
// figure; where sources differ, those of the best grade set the value (settle.go has the whole of it), and the
// others stay beside it.
package crops

import (
	"math"

	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Grade tells how far a value can be trusted: "A" a standard, regulation or university page read
// itself; "B" the same through a copy; "C" trade charts and secondary pages; "M" memory, unverified;
// "plan" given by the plan.
type Grade string

// Grades, the surest first.
const (
	GradeA      Grade = "A"
	GradeB      Grade = "B"
	GradeC      Grade = "C"
	GradeMemory Grade = "M"
	GradePlan   Grade = "plan"
)

// Range is a value with its source. Low equals High where the source gives one number.
// The zero Range is a value the table does not hold.
type Range struct {
	Low, High float64            // SI units of Dim; days for spans of days; plain numbers for ratios and counts
	Dim       quantity.Dimension // Ratio for spans of days, weeks and years
	Grade     Grade              // the weaker one where two sources set the two ends
	Source    string             // two titles joined by "; " where two sources set the two ends
	Note      string             // what the source adds: "of the clove"
	Others    []Stated           // what other sources say, best grade first
}

// Stated is one source's word on a value.
type Stated struct {
	Low, High float64
	Text      string // the word itself where the value is one: "hardy"
	Grade     Grade
	Source    string
	Note      string
}

// Words spells a grade out: "C, trade charts and secondary pages".
func (g Grade) Words() string {
	switch g {
	case GradeA:
		return "A, read in a standard, regulation or university page"
	case GradeB:
		return "B, the same read through a copy"
	case GradeC:
		return "C, trade charts and secondary pages"
	case GradeMemory:
		return "M, from memory, not checked"
	case GradePlan:
		return "given by the plan"
	}
	return "no grade"
}

// Known tells whether the table holds the value.
func (r Range) Known() bool { return r.Grade != "" }

// Mid is the middle of the range.
func (r Range) Mid() float64 { return (r.Low + r.High) / 2 }

// Frost is how a crop stands frost.
type Frost uint8

// Classes of hardiness: hardy crops go out before the last killing frost; half-hardy ones survive
// light frost; tender ones are killed by it; very tender ones are hurt by cool weather.
const (
	FrostUnknown Frost = iota
	Hardy
	HalfHardy
	Tender
	VeryTender
)

// Emergence is one measured cell: days to emergence at a soil temperature.
type Emergence struct {
	Celsius   float64
	Days      float64 // NaN where the seed did not germinate
	Sprouts   bool
	NormalPct float64 // normal seedlings, percent; NaN when not measured
	Source    string
	Grade     Grade
}

// Crop is one crop of the table, or one made from it.
type Crop struct {
	Name         string // "bell pepper"
	Ident        string // "bell_pepper", as a plan loads it
	Variety      string // the grower's name for it, "" for the crop itself
	Family       string // botanical, "Solanaceae"
	FamilySource Stated

	InRow, BetweenRows Range  // m
	Depth              Range  // m, of seed; of the clove, slip or crown where the note says so
	Height, Spread     Range  // m, of the grown plant
	Transplant, Direct bool   // ways it is usually started
	StartSource        Stated // who says so; Text is "transplant", "direct" or "transplant or direct"
	StartOthers        []Stated
	TrayWeeks          Range // weeks from sowing to planting out
	MaturityTransplant Range // days from planting out to first harvest
	MaturitySeed       Range // days from seed, clove or seed piece in the row to first harvest
	DegreeDays         Range // K s above DegreeBase from planting day to first harvest; of the table, from seed in the row
	DegreeBase         Range // K; where the table holds several, they are of several methods
	DegreeUpper        Range // K, above which warmth does not count; not every method has one
	DegreeMethod       season.DegreeMethod
	HarvestDays        Range // days from first harvest to last
	Frost              Frost
	FrostSource        Stated
	FrostOthers        []Stated
	OffsetLastFrost    Range // days after (negative: before) the last frost that it may go out

	Germination                   Range       // ratio, the legal floor
	SeedsPerMass                  Range       // 1/kg
	SoilMin, SoilOptimum, SoilMax Range       // soil temperature for germination, K
	SoilPlanting                  Range       // soil temperature at which planting pays, K
	Emergence                     []Emergence // coldest first

	YieldPerLength Range  // kg/m of row
	UnitsPerLength Range  // 1/m of row, of what the note names: heads, fruit, dozen, stems
	YieldPerArea   Range  // kg/m2
	YieldPerPlant  Range  // kg
	SaleUnit       string // "lb", "bunch", "head", "dozen"
	SaleSource     Stated
	PackMass       Range // kg in the usual pack, which the note names

	RootDepth           Range // m
	KcIni, KcMid, KcEnd Range // FAO-56 single coefficients
	Depletion           Range // FAO-56 p, ratio
	RotationYears       Range // years between the same family
}

// DegreeScale gives the scale on which the crop's degree days are summed; one without its base, NaN, when that is not
// known.
func (c *Crop) DegreeScale() season.DegreeDays {
	s := season.DegreeDays{Method: c.DegreeMethod, Base: math.NaN(), Upper: math.NaN()}
	if c.DegreeBase.Known() {
		s.Base = quantity.Of(c.DegreeBase.Mid(), quantity.Temperature).Celsius()
	}
	if c.DegreeUpper.Known() {
		s.Upper = quantity.Of(c.DegreeUpper.Mid(), quantity.Temperature).Celsius()
	}
	return s
}

// Title gives the crop's name with the variety's: "bell pepper 'Lantern Red'".
func (c *Crop) Title() string {
	if c.Variety == "" {
		return c.Name
	}
	return c.Name + " '" + c.Variety + "'"
}
