package farm

import "haulm/lang/source"

// Task is work to be done: a job of the plan with a rate of its own, or extra work. Exactly one of the
// rates is given.
type Task struct {
	Decl
	Name      Text
	Plot      *Plot // at most one of Plot, Row, Planting and Crop is set; none is the whole farm
	Row       *Row
	Planting  *Planting
	Crop      *Crop
	WhereSpan source.Span

	Takes     Amount  // time, each time it is done
	PerLength Amount  // time for each length of row
	PerArea   Amount  // time for each area
	PerPlant  Amount  // time for each plant
	Picked    Amount  // mass picked in a time
	Start     DateArg // first day it may be done
	End       DateArg // last day
	Every     Count   // days from one time to the next, between Start and End
	After     Text    // name of the job that must be done before
}

// Price is what a crop is sold for.
type Price struct {
	Decl
	Crop   *Crop
	Amount Number // of money for one Unit
	Unit   Text   // "lb", "bunch"; the crop's own sale unit when not given
}

// Want is what the household or the market asks of a crop in a week.
type Want struct {
	Decl
	Crop       *Crop
	Mass       Amount // exactly one of Mass and Count is given
	Count      Number // of the crop's sale unit
	Start, End DateArg
}

// Sale is what a plan says of how a crop is sold.
type Sale struct {
	UnitMass Amount // mass of one sale unit
	Loss     Amount // share of the harvest that is not sold: culled, spoiled, eaten on the way
}
