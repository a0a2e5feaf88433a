package farm

import "haulm/lang/source"

// Record is one thing that really happened: a call of done, lost or harvested (its Kind), or a line of a
// RecordFile. Of Plot, Row, Planting and Crop at most one is set; where none is, Where names the place, and where
// that is empty too it is the whole farm.
type Record struct {
	Decl
	What      Text // the job done, by its name; empty for what was lost
	On        DateArg
	Plot      *Plot
	Row       *Row
	Planting  *Planting
	Crop      *Crop
	Where     Text        // "Lower bench/3/okra", a crop
	WhereSpan source.Span // of whichever of them names the place
	Plants    Count       // that stood after the job, over all lines; or that were lost
	Took      Amount      // time of all hands together
	Mass      Amount      // harvested
	Count     Number      // harvested, in what the crop is sold by
	Note      Text
}

// The kinds of records.
const (
	Done      = "done"
	Lost      = "lost"
	Harvested = "harvested"
)

// RecordFile is a file of records, a line each.
type RecordFile struct {
	Decl
	File Text
}
