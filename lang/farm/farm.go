// Package farm is the declared farm: what the plan says, as plain values, each with the place in the
// text that said it. Evaluation builds it; everything after reads it. It computes nothing.
package farm

import (
	"haulm/lang/source"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Field is one argument: its value and the text that gave it. When the plan did not give it, Value is
// the default, Given is false and Span is the call's.
type Field[T any] struct {
	Value T
	Span  source.Span
	Given bool
}

// Fields of the usual types.
type (
	Length  = Field[quantity.Quantity]
	Amount  = Field[quantity.Quantity]
	Text    = Field[string]
	Number  = Field[float64]
	Count   = Field[int]
	Flag    = Field[bool]
	DateArg = Field[season.Date]
)

// Decl is what every declaration has: the call that made it, and the calls that led there when a helper
// function made it (innermost first).
type Decl struct {
	Kind  string        // name of the built-in: "row", "plant"
	Call  source.Span   // the whole call
	Chain []source.Span // calls of the helpers, innermost first; nil at top level
	Order int           // place in the order of declaration, over all kinds
	Used  bool          // another declaration refers to it
}

// MarkUsed notes that another declaration refers to this one.
func (d *Decl) MarkUsed() { d.Used = true }

// Farm is the whole plan.
type Farm struct {
	Decl
	Name        Text
	Year        Count
	Units       quantity.System
	Access      Length // clear width a person with a cart needs between beds
	SprayAccess Length // clear width a sprayer needs to reach both faces of a tall crop; not checked when not given
	Turning     Length // room needed at the rows' ends; Access when not given
	Site        *Site
	SiteSpan    source.Span
	Crew        *Crew

	Sites       []*Site
	Crews       []*Crew
	Plots       []*Plot
	Rows        []*Row
	Plantings   []*Planting
	Crops       []*Crop // made or changed by the plan: crop(...) and .variety(...)
	Histories   []*History
	Earlier     []*Previous // plans of earlier years, in the order of declaration
	Soils       []*Soil
	SoilTests   []*SoilTest
	Climates    []*Climate
	Weathers    []*Weather
	Sources     []*WaterSource
	Tapes       []*DripTape
	Pipes       []*Pipe
	Zones       []*Zone
	Trellises   []*Trellis
	Trays       []*Tray
	Pots        []*Pot
	Nursery     *Nursery
	Protectants []*Protectant
	Protects    []*Protect
	Tasks       []*Task
	Prices      []*Price
	Wants       []*Want
	Products    []*Product // fertilizers and amendments
	Measures    []*Measure
	Feeds       []*Feed
	Needs       []*Need
	Credits     []*Credit
	Stocks      []*Stock
	Records     []*Record
	RecordFiles []*RecordFile

	Today DateArg // up to which weather and records are known; no argument of the plan, but of who asks
}

// Site is where the farm lies and when its frosts fall.
type Site struct {
	Decl
	Latitude, Longitude   Number // degrees, north and east positive
	Elevation             Length
	LastFrost, FirstFrost DateArg
	Climate               *Climate
	Weather               *Weather
	Coast, Arid           Flag
}

// Months are monthly normals, January first: twelve, a month that was not given being NaN in SI; empty when
// none was.
type Months = Field[[]quantity.Quantity]

// Climate holds the monthly normals of a place.
type Climate struct {
	Decl
	SoilTemperature Months // at sowing depth
	TMin, TMax      Months // mean daily minimum and maximum of the air
	Humidity        Months // mean relative humidity, ratio
	Wind            Months // mean at 2 m above the ground
	Sunshine        Months // hours of bright sun in a day, as a time
	Rain            Months // in the month, as a depth
	ReferenceET     Months // for a day, as a depth over time, where it was measured or published
}

// Weather is a file of daily weather.
type Weather struct {
	Decl
	File Text
	Days season.Weather
}

// Crew is the hands there are.
type Crew struct {
	Decl
	HoursPerWeek Number
	Carry        Amount // mass of a full crate or sack; the usual pack of each crop when not given
	ByMonth      Months // hours of a week in that month, where they differ; as times
}

// Soil of a plot.
type Soil struct {
	Decl
	Texture Text
	Test    *SoilTest
}

// SoilTest is a laboratory's report.
type SoilTest struct {
	Decl
	Method        Text
	Lab           Text // whose table rates it; that of the method when not given
	PH            Number
	BufferPH      Number
	TargetPH      Number
	P, K          Amount // mass fractions, or masses on an area to Depth
	PIndex        Number // as the laboratory prints it, instead of P
	KIndex        Number
	Depth         Length // of the sample
	OrganicMatter Amount
	On            DateArg

	// What the laboratory itself recommends; it rules over every table.
	N, P2O5, K2O, Lime Amount // mass for each area
}

// Plot is a rectangle of ground; rows run along its length.
type Plot struct {
	Decl
	Name          Text
	Length, Width Length
	Headland      Length // kept free at each end of the rows
	Bearing       Number // degrees clockwise from north in which the rows run; 0 is north
	Slope         Amount // fall along the rows from their head, ratio; negative where they climb
	East, North   Length // of the plot's first corner from the farm's, for the map
	Soil          *Soil
}

// Row is a line of plants, or a bed of several lines, across a plot at a distance from its first side.
type Row struct {
	Decl
	Plot        *Plot
	PlotSpan    source.Span
	Name        Text
	At          Length // of the centre line from the plot's first side
	Start       Length // of the row's head from the plot's first end; the headland when not given
	Length      Length // between the headlands when not given
	Lines       Count
	LineSpacing Length
	Staggered   Flag
	BedWidth    Length // from edge to edge; between the outer lines when not given
	Zone        *Zone
	Tapes       Count // lines of tape in the row or bed
	Trellis     *Trellis
	Number      int // 1 for the row of this plot declared first
}

// Crop is a crop as the plan names it: one of the table's, or the plan's own.
type Crop struct {
	Decl       // Call is invalid for a crop of the table
	crops.Crop // spacing, timing, ...
	Seed
	Sale
}

// Planting is one crop set into a row on a day.
type Planting struct {
	Decl
	Row             *Row
	RowSpan         source.Span
	Crop            *Crop
	CropSpan        source.Span
	Count           Count      // plants in each line
	Length          Length     // from the first plant to the last
	Fill            Flag       // as many as there is room for
	Spacing         Length     // in the line
	Start           Length     // of the first plant from the row's head; after the planting before when not given
	On              DateArg    // day it goes into the row
	SownOn          DateArg    // day the seed is sown, when the plan says so
	Direct          bool       // sown in the row, not transplanted
	Maturity        Field[int] // days from planting day to first harvest when the plan gives them
	Harvest         Field[int] // days from first harvest to last when the plan gives them
	Until           DateArg    // day the row is cleared, when the plan says so
	SoilTemperature Amount     // at sowing, when measured
	Succession      Text       // name of the succession it belongs to
	Tray            *Tray      // that it is sown in
	Pot             *Pot       // that it is stepped up into
	PerCell         Count      // seeds sown in each cell
	Yield           Amount     // mass for each length of line, instead of the crop's
}

// History is what a plot grew in an earlier year.
type History struct {
	Decl
	Plot     *Plot
	Year     Count
	Families Field[[]string] // botanical families
	Names    []string        // as the plan wrote them, beside Families
}

// WaterSource is where water comes from.
type WaterSource struct {
	Decl
	Name           Text
	Flow, Pressure Amount // the flow there is at that pressure
	HoursPerWeek   Number // that water may run
	SeasonVolume   Amount // there is in a season
	Backflow       Text   // the backflow preventer
}

// DripTape is a kind of tape.
type DripTape struct {
	Decl
	EmitterSpacing Length
	Flow           Amount // for each length of tape
	At             Amount // pressure at which it gives Flow
	Exponent       Number
	InsideDiameter Length
	Emitter        Text
}

// Pipe is a run of pipe.
type Pipe struct {
	Decl
	Length, InsideDiameter Length
	Material               Text
}

// Zone is the rows behind one valve.
type Zone struct {
	Decl
	Name       Text
	Source     *WaterSource
	Tape       *DripTape
	Regulator  Amount
	Filter     Amount // pressure that filter and fittings take
	Supply     *Pipe  // from the source to the rows
	Header     *Pipe  // along the rows' heads
	Together   Text   // zones of one name are open at the same time
	Fertigated Flag   // fertilizer is fed through the water
}
