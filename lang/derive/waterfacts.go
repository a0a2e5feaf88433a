package derive

import (
	"time"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
	"haulm/stdlib/water"
)

// Water is what the plantings need, what the zones bring, and when to open them. Volumes are m3, flows m3/s,
// pressures Pa over the air's, times s, lengths m, shares and uniformities ratios; depths of water are mm,
// which is a liter on a square meter. What could not be worked out is nil, empty, 0 or -1 as its comment
// says, with the reason in words beside it; nothing is guessed.
type Water struct {
	// Weeks of the season, each by its Monday, one after the other, from the week of the first planting day
	// with a known need to that of the last day in the ground. Every slice "by week" has one element for
	// each. Empty when no need is known.
	Weeks   []season.Date
	Climate []ClimateWeek // by week
	NoNeed  string        // why no planting's need is known, "the plan gives no climate and no weather"; "" when one is
	Trouble string        // the first number of climate or weather that the equations could not take, and why; "" when they took all
	Missing []time.Month  // months with days in the season for which neither climate nor weather says enough
	Gaps    []DayGap      // days that the weather file leaves out or says too little of, between its first and last day in the season

	Plantings []*PlantingWater // one for each of Facts.Plantings, in its order
	Rows      []*RowWater      // one for each of Facts.Rows, in its order
	Zones     []*ZoneWater     // in the order of declaration, also those without rows
	Groups    []*ZoneGroup     // valves that are open at the same time, in the order of their first zone
	Sources   []*SourceWater   // in the order of declaration, also those without zones

	units quantity.System // of the farm
}

// DayGap is a stretch of days, both ends in it.
type DayGap struct{ From, To season.Date }

// ClimateWeek is what a week's weather asks for and brings, by the weather file for the days that it covers
// and by the normals for the others.
type ClimateWeek struct {
	Reference float64 // evapotranspiration of grass, mm in the week; NaN when not known
	Rain      float64 // that falls, mm in the week; 0 when nobody told
	Method    string  // "FAO-56 Penman-Monteith from the climate's months", of most of its days
	Measured  int     // days of the seven that the weather file covers
}

// PlantingWater is the water that a planting needs while it stands.
type PlantingWater struct {
	Planting *Planting
	Unknown  string // why the need is not known; "" when it is: then all below holds

	Curve     water.Curve // of Kc, fitted to the planting's own dates and to the climate
	Like      string      // the crop whose figures stand for it; "" when they are its own
	RootDepth float64     // when grown
	Depletion float64     // FAO-56 p, share of the soil's store drawn without stress, in the peak week
	Strip     float64     // width of the ground that the row speaks for
	Area      float64     // of that ground along the stretch that the planting owns within the row

	First int            // index in Water.Weeks of the planting's first week
	Weeks []PlantingWeek // from there on

	from, to         season.Date // day it goes in, day the place is free again
	printed          bool        // to is not known: the stages have their printed lengths
	table            water.Curve // before it is brought to the climate
	wind, rh, height float64     // of the mid and late stages, that Curve is brought to
	cover            cover
	weather          *thirst
	sent             float64 // m3 to send out for a mm on Area
}

// PlantingWeek is a planting's week. Depths are over its Area and count the days it stands only.
type PlantingWeek struct {
	Days      int
	Kc        float64 // mean of the days, with Cover in it
	Cover     float64 // mean factor for a young row that does not yet shade its ground
	Reference float64 // of those days, mm
	Use       float64 // of the crop, mm
	Rain      float64 // that its roots find, mm
	Net       float64 // to be brought to the roots, mm: what rain does not
	Need      float64 // to be sent out for Net, m3: with the zone's efficiency
	Dry       float64 // to be sent out if no rain fell, m3
}

// RowWater is a row with its tapes and what it needs.
type RowWater struct {
	Row       *Row
	Zone      *ZoneWater       // nil for a row without a zone
	Plantings []*PlantingWater // as Row.Plantings
	Weeks     []RowWeek        // by week; empty when no planting's need is known
	Thirst    float64          // time that its tapes must run for each mm of reference evapotranspiration once what is planted has grown; 0 when not known

	Tapes    int     // lines of tape side by side
	Unsolved string  // why flow and pressures are not known; "" when they are: then all below holds
	Cut      Cut     // of each tape
	Emitters int     // of all tapes
	Dry      int     // of them, those that no pressure reaches
	Flow     float64 // into all tapes
	Inlet    float64 // pressure at the tapes' heads
	End      float64 // pressure at their last emitters
	Least    float64 // pressure at the emitter that has least
	Most     float64 // pressure at the emitter that has most
	LeastOut float64 // flow of the emitter that gives least
	MostOut  float64 // flow of the emitter that gives most
	EU       float64 // emission uniformity of the row alone, with the emitters' own spread

	Wetting *Wetting // nil when the plot's soil is not known

	lateral water.Lateral // one of the tapes
}

// RowWeek is a row's week: what its plantings need in all, and how long the tapes run for the one that needs
// most on each m, for they give no less where nothing stands.
type RowWeek struct {
	Need    float64 // to be sent out, m3
	Dry     float64 // if no rain fell, m3
	Time    float64 // that its tapes must run for Need; 0 when the flow is not known
	DryTime float64 // and for Dry
}

// Cut is how one tape of a row is cut from the roll.
type Cut struct {
	Length    float64 // from cut to cut, with head and fold
	Laid      float64 // of that, along the row
	Head      float64 // from the cut to the first emitter
	Emitters  int
	Fold      float64 // folded back at the end and slid into a sleeve
	Caught    int     // emitters that the fold would hold, were the tape laid to the row's end and folded there
	Moved     float64 // how much longer (negative: shorter) it is laid than the row so that the fold holds none
	InFold    int     // emitters that the fold holds all the same; above 0 only where they stand closer than the fold is long
	MustClear bool    // slit tape, which leaks in a fold; other tape may hold an emitter there and is not moved
}

// Wetting is how the row's ground takes the water up, after a run that wets it as deep as the roots go.
type Wetting struct {
	Texture string
	Roots   float64     // depth to wet: the deepest roots of the row's plantings, 0.3 where none is known
	Longest float64     // run that wets so deep; a longer one passes below the roots
	Strip   water.Strip // of one tape: width, depth, widest emitter spacing that joins, gap
	Across  float64     // width that all tapes wet together
	Store   float64     // water that the wetted strip gives up without stress, m3 on each m of row; 0 when no planting's depletion is known
}

// ZoneWater is a zone worked out.
type ZoneWater struct {
	Decl    *farm.Zone
	Number  int // 1 for the zone declared first
	Source  *SourceWater
	Group   *ZoneGroup
	Rows    []*RowWater // in the order of Facts.Rows
	Length  float64     // of all tapes as laid
	Nominal float64     // flow by the tape's label: length of all tapes times its flow

	Unsolved string // why there is no delivery: "the zone has no tape"; "" when there is: then all below holds
	Emitters int
	Dry      int     // of them, those that no pressure reaches
	Flow     float64 // into the zone
	Supply   Run     // from the source to the regulator; its zero when none is given
	Filter   float64 // pressure that filter and fittings take
	Before   float64 // pressure before the regulator
	After    float64 // pressure after it, at the header's head
	Header   Run     // along the rows' heads; its zero when none is given
	Least    float64 // pressure at the emitter of the zone that has least
	Most     float64 // pressure at the one that has most
	LeastRow *RowWater
	MostRow  *RowWater
	EU       float64     // emission uniformity of the whole zone
	Wanted   water.Range // uniformity that is recommended for its ground, ratios

	Efficiency float64    // share of the water sent that reaches the roots, used for Need
	Weeks      []ZoneWeek // by week; empty when no need is known
	Peak       int        // week with most Time, the first of several; -1 when no week has any
	DryPeak    int        // week with most Dry
	Need       float64    // of the season, m3
	Sent       float64    // in the season, m3
	Plan       *RunPlan   // for the peak week; nil without one or when the soil is not known

	water *Water
}

// Run is a pipe as the water goes through it.
type Run struct {
	Pipe  *farm.Pipe
	Flow  float64 // at its head
	Speed float64 // at its head, m/s
	Loss  float64 // of pressure to friction
}

// ZoneWeek is a zone's week.
type ZoneWeek struct {
	Need  float64   // sum of its rows', m3
	Time  float64   // that the valve is open so that the neediest row gets its need
	Sent  float64   // in that time through the rows that need any, m3; the others are shut
	Dry   float64   // Time if no rain fell
	Most  *RowWater // the neediest row: nil when none needs any
	Least *RowWater // the one of those open that needs least
	Open  int       // rows that need any
}

// RunPlan splits a week's time into openings that the soil can hold.
type RunPlan struct {
	Days    int       // from one watering day to the next, 1 to 7
	PerDay  int       // openings on such a day; above 1 where the soil does not hold a day's need
	Opening float64   // time of one, all its pulses
	Pulses  int       // that one is split into so that no water passes below the roots
	Pulse   float64   // time of each
	Sets    *RowWater // the row whose soil sets Days and PerDay
	Splits  *RowWater // the row whose roots set Pulses
}

// ZoneGroup is the valves open at the same time and how they balance with the source.
type ZoneGroup struct {
	Name   string // the word that its zones share; "" for a zone on its own
	Zones  []*ZoneWater
	Source *SourceWater

	Unsolved   string  // why the flows are not known; "" when they are: then all below holds
	Flow       float64 // out of the source
	Pressure   float64 // at the source with that flow
	Wants      float64 // flow that the zones would take, did the source hold its pressure whatever the flow
	Limited    bool    // Wants is more than the source gives, so its pressure falls until the zones take what it has
	Iterations int
	Unsettled  string  // why the last state is not the balance; "" when the pressures came to rest
	Residual   float64 // largest pressure left open anywhere
}

// SourceWater is a source with what is asked of it.
type SourceWater struct {
	Decl   *farm.WaterSource
	Number int // 1 for the source declared first
	Zones  []*ZoneWater
	Groups []*ZoneGroup

	Weeks  []SourceWeek // by week; empty when no need is known
	Peak   int          // week with most Time; -1 when no week has any
	Hours  float64      // there are in a week, as a time; 168 hours when the plan gives none
	Volume float64      // sent in the season, m3
}

// SourceWeek is a source's week.
type SourceWeek struct {
	Time   float64 // that it runs: its groups one after the other
	Dry    float64 // if no rain fell
	Volume float64 // sent, m3
}

// Zone gives the facts of a declared zone, nil when there are none.
func (w *Water) Zone(decl *farm.Zone) *ZoneWater {
	for _, z := range w.Zones {
		if z.Decl == decl {
			return z
		}
	}
	return nil
}
