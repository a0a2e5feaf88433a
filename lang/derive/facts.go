// Package derive works the declared farm out: a place for every row and plant, the dates of every
// planting, paths, headlands and the feet left over. In goes a farm.Farm; out come Facts, each with
// its reckoning on request. It reports nothing; lang/check judges.
//
// Evaluation goes on after a bad argument, so a farm can come in with holes. What hangs on a hole is
// left out rather than guessed: a row whose place or length is not known is not in the Facts, nor
// are its plantings, nor is a planting without a crop. A planting whose spacing or number is not
// known is in the Facts with its dates but stands nowhere (Placed is false).
package derive

import (
	"fmt"
	"sync"

	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Facts of one farm. All lengths are meters, areas square meters.
type Facts struct {
	Farm      *farm.Farm
	Seasons   *Seasons    // the growing seasons of the site
	Plots     []*Plot     // in the order of declaration
	Rows      []*Row      // by plot, then across it
	Plantings []*Planting // by plot, row, place, date; those that stand nowhere last in their row
	Earlier   []*Earlier  // plans of earlier years, the latest first
	Water     *Water      // nil when the plan has no zone and neither weather nor climate to need water by
	Record    *Record     // nil when nothing is recorded

	warmth   *warmth
	shopping lazy[Shopping]
	harvest  lazy[Harvest]
	labor    lazy[Labor]
	care     lazy[Care]
	calendar lazy[[]*Occasion]

	nursery    lazy[Nursery]
	support    lazy[Support]
	protection lazy[Protection]
	feeding    lazy[Feeding]
}

// lazy is a fact that is worked out when it is first asked for, so that checking a plan that does not need it
// costs nothing.
type lazy[T any] struct {
	once sync.Once
	of   *T
}

// Plot with its rows worked out.
type Plot struct {
	Decl       *farm.Plot
	Rows       []*Row // by distance from the first side
	Paths      []Path // between neighbours that stand in the ground at the same time, in order
	Area       float64
	RowLength  float64 // sum over rows of the rows' own lengths
	FreeLength float64 // of that, never planted
	Plants     int

	farm  *farm.Farm // for the units and the year of the reckonings
	facts *Facts     // for those of what is worked out when asked for; nil when the plot stands alone
	rows  int        // counted before they are listed
}

// Path is the clear ground between the edges of two neighbouring beds. Neighbours are neighbours in
// the whole order across the plot, whether or not a row between two others stands empty for a while;
// two rows stand at the same time when any of their plantings do, or when either is unplanted.
type Path struct {
	Left, Right *Row
	Width       float64 // negative when they overlap
}

// Row is a row with its place in the plot: x across from the first side, y along from the first end.
type Row struct {
	Decl        *farm.Row
	Plot        *Plot
	Number      int     // 1 at the plot's first side
	Center      float64 // x
	Left, Right float64 // x of the bed's edges: its width when given, else the outer lines
	Start, End  float64 // y of the row's head and end
	Length      float64
	Lines       []float64   // x of each line
	Plantings   []*Planting // by place, then date
	Free        []Stretch   // stretches that no planting ever owns, from the head
	FreeLength  float64
	Water       *RowWater // nil when Facts.Water is

	plantings int // counted before they are listed
}

// Name is what people call the row: its own name, or "row 3".
func (r *Row) Name() string {
	if r.Decl.Name.Value != "" {
		return r.Decl.Name.Value
	}
	return fmt.Sprintf("row %d", r.Number)
}

// Stretch is a part of a row, measured from the row's head.
type Stretch struct{ From, To float64 }

// Planting is a planting with its place, count and dates.
type Planting struct {
	Decl    *farm.Planting
	Row     *Row
	Number  int     // 1 for the first of Facts.Plantings
	Spacing float64 // in the line; 0 when not known
	PerLine int     // plants in the fullest line; 0 when it stands nowhere
	Plants  int     // over all lines
	First   float64 // of the first plant from the row's head
	Last    float64 // of the last plant of any line
	Owns    Stretch // half a spacing beyond the first and the last; may hang over the row's ends
	Room    float64 // that was free for it from First, to the row's end or the next neighbour; negative when none

	Sow, Plant   season.Date // Sow equals Plant for a direct sowing; None when not known
	FirstHarvest season.Date // the day it is ready, also when it is cleared before; None when not known
	LastHarvest  season.Date // None when not known, or when it is cleared before the first
	Clear        season.Date // first day the place is free again; None when not known

	Water  *PlantingWater  // nil when Facts.Water is
	Record *PlantingRecord // nil when nothing is recorded of it

	order      int            // of declaration
	shifted    int            // plants in each staggered line
	prev, next float64        // see Gap
	follows    bool           // First is half a spacing behind the ground before it, whatever the spacing
	warm       *season.Warmth // by which FirstHarvest was dated; nil when days date it
	fallback   bool           // Spacing is the middle of the crop's range
	frosted    bool           // the first frost ends the harvest
}

// Placed tells whether the planting has a place: its spacing and its number are known.
func (p *Planting) Placed() bool { return p.PerLine > 0 }

// Reckoning is how a fact came about.
type Reckoning struct {
	Title    string
	Equation string
	Inputs   []Input
	Result   string
	Source   string
}

// Input is one number of a reckoning, with the text it came from when the plan gave it.
type Input struct {
	Name, Value, Source string
	Span                source.Span
}

// units are those of the farm; US when a plot stands alone, as in a test.
func (p *Plot) units() quantity.System {
	if p.farm == nil {
		return quantity.US
	}
	return p.farm.Units
}
