package derive

import (
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/feeding"
	"haulm/stdlib/season"
)

// Injection is what is fed through the water of one zone on one day.
type Injection struct {
	Feed    *farm.Feed
	Product *farm.Product
	Zone    *ZoneWater // nil when a row has none
	Day     season.Date
	Mass    float64 // of product in the stock solution, kg
	Rows    []*Row  // that it is meant for
	Unknown string  // why nothing below is known; "" when it is

	feeding.Injection
	Open float64 // s that the valve is open in that week for water; 0 when not known
}

// ThroughWater is the placement of what is dissolved and injected.
const ThroughWater = "through the water"

// inject gathers the doses through the water by zone and day.
func (fd *Feeding) inject(facts *Facts) {
	type key struct {
		feed    *farm.Feed
		product *farm.Product
		zone    *ZoneWater
		day     season.Date
	}
	at := map[key]*Injection{}
	for _, d := range fd.Doses {
		if d.Feed.Placement.Value != ThroughWater {
			continue
		}
		var zone *ZoneWater
		if d.Row.Water != nil {
			zone = d.Row.Water.Zone
		}
		k := key{d.Feed, d.Product, zone, d.Day}
		in := at[k]
		if in == nil {
			in = &Injection{Feed: d.Feed, Product: d.Product, Zone: zone, Day: d.Day}
			at[k] = in
			fd.Injected = append(fd.Injected, in)
		}
		in.Mass += d.Mass
		if !slices.Contains(in.Rows, d.Row) {
			in.Rows = append(in.Rows, d.Row)
		}
	}
	for _, in := range fd.Injected {
		in.workOut(facts.Water)
	}
}

// Others are the rows on the zone's valve that get it too, though it is not meant for them.
func (in *Injection) Others() []*Row {
	if in.Zone == nil {
		return nil
	}
	var all []*Row
	for _, w := range in.Zone.Rows {
		if !slices.Contains(in.Rows, w.Row) {
			all = append(all, w.Row)
		}
	}
	return all
}

func (in *Injection) workOut(w *Water) {
	f := in.Feed
	switch {
	case in.Zone == nil:
		in.Unknown = "its rows have no zone to be fed through"
	case in.Zone.Unsolved != "" || !(in.Zone.Flow > 0):
		in.Unknown = "the zone's flow is not known"
	case !f.Solution.Given || !f.Injection.Given:
		in.Unknown = "give solution = ... and injection = ..."
	}
	if in.Unknown != "" {
		return
	}
	strength := feeding.Strength(in.Mass, in.Product.Analysis.Value.N, f.Solution.Value.SI)
	in.Injection = feeding.Inject(strength, f.Solution.Value.SI, f.Injection.Value.SI, in.Zone.Flow)
	for i, monday := range w.Weeks {
		if in.Day >= monday && in.Day < monday.Add(7) && i < len(in.Zone.Weeks) {
			in.Open = in.Zone.Weeks[i].Time
		}
	}
}
