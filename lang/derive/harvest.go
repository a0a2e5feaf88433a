package derive

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"haulm/lang/farm"
	"haulm/stdlib/season"
)

// Harvest is what the plantings give, week by week, in the units that each crop is sold by.
type Harvest struct {
	Weeks     []season.Date      // each by its Monday, one after the other, from the first harvest to the last; empty when none is known
	Plantings []*PlantingHarvest // one for each of Facts.Plantings, in its order
	Crops     []*CropHarvest     // by name
	Wants     []*WantHarvest     // in the order of declaration
	Value     float64            // of all that has a price, in the farm's money
}

// PlantingHarvest is what one planting gives.
type PlantingHarvest struct {
	Planting *Planting
	Unknown  string   // why nothing is known of it; "" when all below holds
	Unit     SaleUnit // that amounts count
	Full     float64  // that a whole window of harvest gives, before losses
	Share    float64  // of the window, what frost and clearing leave of it
	Stand    float64  // share of the plants that stand while it is picked; 1 where none are recorded as lost
	Planned  float64  // that the plan alone gives, before losses: Full × the share of the window as it was planned
	Loss     float64  // share that is not sold
	Picked   bool     // it is cleared, and Amount is what was picked of it
	Amount   float64  // to sell: Full × Share × Stand × (1 − Loss)
	First    int      // index in Harvest.Weeks of the first week
	Weeks    []float64

	yield    yield
	from, to season.Date // first and last day
}

// SaleUnit is what a crop is counted by when it is sold.
type SaleUnit struct {
	Name string  // "lb", "bunch"
	Mass float64 // kg of one; 0 when not known
}

// CropHarvest is a crop or a variety with all its plantings.
type CropHarvest struct {
	Crop      *farm.Crop // of the first planting
	Unit      SaleUnit
	Plantings []*PlantingHarvest
	Unknown   int // plantings of which nothing is known
	Amount    float64
	Weeks     []float64 // as Harvest.Weeks
	Peak      int       // week that gives most; -1 when none gives any
	Price     float64   // of one Unit; 0 when there is none
	PriceDecl *farm.Price
	Value     float64
}

// Harvest gives what the plantings yield, worked out when first asked for.
func (facts *Facts) Harvest() *Harvest {
	facts.harvest.once.Do(func() { facts.harvest.of = newHarvest(facts) })
	return facts.harvest.of
}

func newHarvest(facts *Facts) *Harvest {
	h := &Harvest{Plantings: make([]*PlantingHarvest, len(facts.Plantings))}
	block := make([]PlantingHarvest, len(facts.Plantings))
	first, last := season.None, season.None
	for i, p := range facts.Plantings {
		n := &block[i]
		n.Planting = p
		n.workOut(facts.Farm.Units)
		h.Plantings[i] = n
		if n.Unknown == "" {
			first = sooner(first, n.from)
			last = max(last, n.to)
		}
	}
	if first.IsSet() {
		for d := monday(first); d <= last; d += 7 {
			h.Weeks = append(h.Weeks, d)
		}
	}
	for _, n := range h.Plantings {
		n.spread(h.Weeks)
	}
	h.addCrops(facts.Farm)
	h.addWants(facts.Farm)
	return h
}

// workOut finds how much the planting gives and on which days.
func (n *PlantingHarvest) workOut(units system) {
	p := n.Planting
	switch {
	case !p.Placed():
		n.Unknown = "it stands nowhere"
	case !p.FirstHarvest.IsSet():
		n.Unknown = "the day of its first harvest is not known"
	case p.Clear.IsSet() && p.Clear <= p.FirstHarvest:
		n.Unknown = "it is cleared before it is ready"
	}
	if n.Unknown != "" {
		return
	}
	n.yield = p.yield(units)
	if n.Unknown = n.yield.unknown; n.Unknown != "" {
		return
	}
	n.Unit, n.Full = n.yield.unit, n.yield.amount
	n.from, n.to = p.FirstHarvest, p.FirstHarvest
	if p.LastHarvest > p.FirstHarvest {
		n.to = p.LastHarvest
	}
	n.Share = p.share(n.from, n.to)
	n.Stand = p.stands(n.from, n.to)
	n.Planned = n.Full * n.Share
	if r := p.Record; r != nil && r.Planned.FirstHarvest.IsSet() {
		n.Planned = n.Full * p.share(r.Planned.FirstHarvest, max(r.Planned.LastHarvest, r.Planned.FirstHarvest))
	}
	n.Loss = usualLoss
	if l := p.Decl.Crop.Loss; l.Given {
		n.Loss = l.Value.SI
	}
	n.Amount = n.Full * n.Share * n.Stand * (1 - n.Loss)
	if r := p.Record; r != nil && r.Cleared != nil && len(r.Picked) > 0 {
		if picked, ok := r.Harvested(n.Unit); ok { // nothing is left to expect
			n.Picked, n.Amount = true, picked*(1-n.Loss)
		}
	}
}

// Expected is what the planting gives before losses, by what is known of it.
func (n *PlantingHarvest) Expected() float64 { return n.Amount / (1 - n.Loss) }

// share is how much of its window of harvest a planting is picked.
func (p *Planting) share(from, to season.Date) float64 {
	if days, ok := p.harvestDays(); ok && days > 0 {
		return max(0, min(1, float64(to.DaysSince(from)+1)/float64(days+1)))
	}
	return 1
}

// stands is the share of the planned plants that stand from one day to another, in the mean.
func (p *Planting) stands(from, to season.Date) float64 {
	if p.Record == nil || len(p.Record.Counts) == 0 {
		return 1
	}
	sum := 0.0
	for d := from; d <= to; d++ {
		sum += p.standing(d)
	}
	return sum / float64(to.DaysSince(from)+1)
}

// usualLoss is the share of a harvest that is culled, spoiled or otherwise not sold where the plan does not say
// (common practice; it differs widely by crop and season).
const usualLoss = 0.1

// spread gives every day from the first harvest to the last an equal part for each plant that stands, and sums the days up by week. Real
// pickings rise and fall; an even flow is what a plan can count on.
func (n *PlantingHarvest) spread(weeks []season.Date) {
	if n.Unknown != "" {
		return
	}
	n.First = n.from.DaysSince(weeks[0]) / 7
	n.Weeks = make([]float64, n.to.DaysSince(weeks[0])/7-n.First+1)
	days := float64(n.to.DaysSince(n.from) + 1)
	for i := range n.Weeks {
		begin := weeks[n.First+i]
		in := min(n.to, begin+6).DaysSince(max(n.from, begin)) + 1
		n.Weeks[i] = n.Amount * float64(in) / days
		if n.Stand > 0 {
			n.Weeks[i] *= n.Planting.stands(max(n.from, begin), min(n.to, begin+6)) / n.Stand
		}
	}
}

// addCrops sums the plantings up by crop and variety.
func (h *Harvest) addCrops(f *farm.Farm) {
	type key struct{ name, variety, unit string }
	byKey := map[key]*CropHarvest{}
	for _, n := range h.Plantings {
		c := n.Planting.Decl.Crop
		k := key{c.Name, c.Variety, n.Unit.Name}
		crop := byKey[k]
		if crop == nil {
			crop = &CropHarvest{Crop: c, Unit: n.Unit, Weeks: make([]float64, len(h.Weeks)), Peak: -1}
			byKey[k] = crop
			h.Crops = append(h.Crops, crop)
		}
		crop.Plantings = append(crop.Plantings, n)
		if n.Unknown != "" {
			crop.Unknown++
			continue
		}
		crop.Amount += n.Amount
		for i, v := range n.Weeks {
			crop.Weeks[n.First+i] += v
		}
	}
	slices.SortStableFunc(h.Crops, func(a, b *CropHarvest) int {
		return cmp.Or(strings.Compare(strings.ToLower(a.Crop.Title()), strings.ToLower(b.Crop.Title())),
			strings.Compare(a.Crop.Title(), b.Crop.Title()), strings.Compare(a.Unit.Name, b.Unit.Name))
	})
	for _, c := range h.Crops {
		for i, v := range c.Weeks {
			if v > 0 && (c.Peak < 0 || exceeds(v, c.Weeks[c.Peak])) {
				c.Peak = i
			}
		}
		c.setPrice(f)
		h.Value += c.Value
	}
}

// setPrice takes the last price that the plan gives for the variety, else for the crop, and brings it to the unit
// that the harvest is counted in.
func (c *CropHarvest) setPrice(f *farm.Farm) {
	closest := 0
	for _, d := range f.Prices {
		if d == nil || d.Crop == nil || d.Crop.Name != c.Crop.Name {
			continue
		}
		near := 1
		if d.Crop.Variety == c.Crop.Variety {
			near = 2
		} else if d.Crop.Variety != "" {
			continue
		}
		if ratio, ok := c.ratio(d); ok && near >= closest {
			closest = near
			c.Price, c.PriceDecl, c.Value = d.Amount.Value*ratio, d, d.Amount.Value*ratio*c.Amount
		}
	}
}

// Sells tells whether the harvest can be told in the unit of a price.
func (c *CropHarvest) Sells(d *farm.Price) bool {
	_, ok := c.ratio(d)
	return ok
}

// ratio gives how many of what a price is for one of what the harvest is counted in is.
func (c *CropHarvest) ratio(d *farm.Price) (float64, bool) {
	unit := c.Unit
	if d.Per.Given {
		unit = saleUnit(d.Per.Value, &c.Crop.UnitMass)
	}
	return c.Unit.in(unit)
}

// in gives how many of another unit one of this is; false when they cannot be told in each other.
func (u SaleUnit) in(other SaleUnit) (float64, bool) {
	if u.Name == other.Name {
		return 1, true
	}
	ratio := u.Mass / other.Mass
	return ratio, u.Mass > 0 && other.Mass > 0 && !math.IsInf(ratio, 0)
}

// Days gives the first and the last day on which any of it is picked.
func (c *CropHarvest) Days() (first, last season.Date) {
	first, last = season.None, season.None
	for _, n := range c.Plantings {
		if n.Unknown == "" {
			first, last = sooner(first, n.from), max(last, n.to)
		}
	}
	return first, last
}
