package farm

import "haulm/lang/source"

// Protectant is a product against pests or disease, as its label says.
type Protectant struct {
	Decl
	Name       Text
	Reentry    Amount // time from spraying until anyone may go in without protection
	Preharvest Count  // days from the last spraying to harvest
	Group      Text   // mode of action
	Rate       Amount // mass for each area
	LiquidRate Amount // volume for each area
	Water      Amount // volume for each area
	Most       Count  // applications that the label allows in a season
	Again      Count  // days that the label asks between two applications
	Pack       Amount // mass of a pack
	LiquidPack Amount // volume of a pack
	Price      Number // of a pack
}

// Protect is a protectant put on, once or again and again.
type Protect struct {
	Decl
	Row        *Row  // one of Row and Plot is set
	Plot       *Plot // all of its rows
	WhereSpan  source.Span
	Protectant *Protectant
	On         DateArg // the day, or the first of several
	Every      Count   // days from one to the next
	Until      DateArg // last day on which it may still be put on
}
