package farm

import "haulm/lang/source"

// Task is work to be done: a job of the plan with a rate of its own, or extra work. Exactly one of Takes,
// PerLength, PerArea, PerPlant and Picked is given.
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
	On        DateArg // first day it may be done
	Until     DateArg // last day it may be done
	Every     Count   // days from one time to the next
	After     Text    // name of the job that must be done before
}

// Price is what a crop is sold for.
type Price struct {
	Decl
	Crop   *Crop
	Amount Number // money for one of Per
	Per    Text   // "lb", "bunch"; the unit that the crop is sold by when not given
}

// Want is what the household or the market asks of a crop in a week. Exactly one of Mass and Count is given.
type Want struct {
	Decl
	Crop      *Crop
	Mass      Amount
	Count     Number  // of the unit that the crop is sold by
	On, Until DateArg // first and last day
}

// Sale is what a plan says of how a crop is sold.
type Sale struct {
	UnitMass Amount // mass of one of the unit that it is sold by
	Loss     Amount // share of the harvest that is not sold: culled, spoiled, eaten on the way
}
