package derive

import (
	"cmp"
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/nursery"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Nursery is how the transplants are raised, and the seed of the whole plan.
type Nursery struct {
	Decl    *farm.Nursery  // nil when the plan declares none
	Starts  []*Start       // every planting that is sown in a tray of the plan, by sowing day
	Batches []*Batch       // the starts that are sown together, by sowing day
	Seeds   []*SeedOrder   // by crop and variety in the order of their first planting
	Bought  []*Planting    // set as plants, sets or pieces that come from elsewhere
	Weeks   []*NurseryWeek // one after the other, from the first sowing to the last planting out; empty without a dated start
	Trays   []*VesselNeed  // in the order of declaration
	Pots    []*VesselNeed  // in the order of declaration
	Peak    int            // index in Weeks of the one that takes most bench; -1 when there is none

	units quantity.System
	year  int
}

// Start is a planting raised in trays.
type Start struct {
	Planting *Planting
	Unknown  string // why cells and dates are not known; "" when all below holds

	Sprout, Spare float64 // share of the seed that comes up; share of seedlings raised beyond the plants
	Stand         float64 // share of cells with a seedling
	Cells         int     // to sow
	Seeds         int
	Trays         int // that it would fill alone; sown with others it may share one
	Pots          int // stepped up into; 0 without a pot

	OnMat       bool
	Temperature float64     // of the mix that it sprouts in, K; NaN when the plan does not say
	Emerge      season.Date // None when the temperature or the crop's days to emerge are not known
	StepUp      season.Date // None without a pot
	Harden      season.Date // it goes outdoors

	days float64 // to emerge
}

// Batch is starts of one crop that are sown on one day in one kind of tray and set out on one day: the same
// seedlings, whichever row they go to.
type Batch struct {
	Starts       []*Start // at least one
	Plants       int
	Cells, Seeds int
	Trays, Pots  int // filled, those of all starts together
}

// SeedOrder is the seed of a crop or variety.
type SeedOrder struct {
	Crop   *farm.Crop
	Seeds  int         // to sow, those of all plantings together
	Mass   float64     // of them, kg; 0 when the crop's seeds by weight are not known
	By     season.Date // first sowing; None when not known
	Sprout float64     // share of the seed that comes up
	Of     []SeedUse   // one for each planting
}

// SeedUse is the seed of one planting.
type SeedUse struct {
	Planting *Planting
	Seeds    int
}

// NurseryWeek is what stands in the nursery in a week, on its fullest day.
type NurseryWeek struct {
	Monday  season.Date
	Bench   float64  // m2 of trays and pots that are not out hardening off
	Mats    int      // trays on heat mats
	Batches []*Batch // that stand in the nursery on some day of it, also those that harden off
}

// VesselNeed is how many trays or pots of a kind are in use at once, and how many are filled over the season.
type VesselNeed struct {
	Tray   *farm.Tray // one of Tray and Pot is set
	Pot    *farm.Pot
	Need   int         // to have: as many as are in use on the busiest day
	Filled int         // over the season; each is washed before it is filled again or put away
	First  season.Date // day of the first use
}

// usualSprout is the share of seed that comes up where neither the plan nor the law names one (common practice).
const usualSprout = 0.8

// Nursery gives how transplants are raised and the seed of the plan, worked out when first asked for.
func (facts *Facts) Nursery() *Nursery {
	facts.nursery.once.Do(func() { facts.nursery.of = newNursery(facts) })
	return facts.nursery.of
}

func newNursery(facts *Facts) *Nursery {
	f := facts.Farm
	n := &Nursery{Decl: f.Nursery, Peak: -1, units: f.Units, year: f.Year.Value}
	orders := map[*farm.Crop]*SeedOrder{}
	for _, p := range facts.Plantings {
		sprout, fromSeed := n.sprouts(p)
		switch {
		case p.Decl.Tray != nil:
			s := n.start(p)
			n.Starts = append(n.Starts, s)
			n.order(orders, p, s.Seeds)
		case !p.Placed():
		case fromSeed && (p.direct() || len(f.Trays) == 0):
			n.order(orders, p, nursery.Seeds(p.Plants, sprout, 0))
		default:
			n.Bought = append(n.Bought, p)
		}
	}
	slices.SortStableFunc(n.Starts, func(a, b *Start) int { return cmp.Compare(a.Planting.Sow, b.Planting.Sow) })
	n.addBatches()
	n.addWeeks()
	n.addVessels(f)
	return n
}

// addBatches puts together what is sown together.
func (n *Nursery) addBatches() {
	type key struct {
		crop      *farm.Crop
		tray      *farm.Tray
		pot       *farm.Pot
		perCell   int
		sow, out  season.Date
		uncounted *Start // one that is not known stands alone
	}
	byKey := map[key]*Batch{}
	for _, s := range n.Starts {
		d := s.Planting.Decl
		k := key{d.Crop, d.Tray, d.Pot, d.PerCell.Value, s.Planting.Sow, s.Planting.Plant, nil}
		if s.Unknown != "" {
			k.uncounted = s
		}
		b := byKey[k]
		if b == nil {
			b = &Batch{}
			byKey[k] = b
			n.Batches = append(n.Batches, b)
		}
		b.Starts = append(b.Starts, s)
		b.Cells, b.Seeds, b.Pots = b.Cells+s.Cells, b.Seeds+s.Seeds, b.Pots+s.Pots
		if s.Cells > 0 {
			b.Plants += s.Planting.Plants
		}
	}
	for _, b := range n.Batches {
		b.Trays = nursery.Trays(b.Cells, b.Starts[0].Planting.Decl.Tray.Cells.Value)
	}
}

// sprouts gives the share of a planting's seed that comes up: by the plan, else the least that the law lets seed be
// sold with, else the usual one; false for what is not grown from seed that is counted.
func (n *Nursery) sprouts(p *Planting) (float64, bool) {
	c := p.Decl.Crop
	switch {
	case c.Germination.Known() && c.Germination.Mid() > 0:
		return c.Germination.Low, true
	case c.SeedsPerMass.Known() || c.PackSeeds.Given || c.PackWeight.Given || p.Decl.Tray != nil:
		return usualSprout, true
	}
	return 0, false
}

func (n *Nursery) start(p *Planting) *Start {
	s := &Start{Planting: p, Temperature: math.NaN(), Emerge: season.None, StepUp: season.None, Harden: season.None}
	d := p.Decl
	switch {
	case !p.Placed():
		s.Unknown = "the number of its plants is not known"
	case d.Tray.Cells.Value <= 0:
		s.Unknown = "the cells of its tray are not known"
	}
	if s.Unknown != "" {
		return s
	}
	s.Sprout, _ = n.sprouts(p)
	if n.Decl != nil {
		s.Spare = n.Decl.Spare.Value.SI
	}
	per := max(1, d.PerCell.Value)
	s.Stand = nursery.Stand(s.Sprout, per)
	s.Cells = nursery.Cells(p.Plants, s.Stand, s.Spare)
	s.Seeds = s.Cells * per
	s.Trays = nursery.Trays(s.Cells, d.Tray.Cells.Value)
	if d.Pot != nil {
		s.Pots = nursery.Cells(p.Plants, 1, s.Spare)
	}
	s.date(n.Decl)
	return s
}

// date sets the days between sowing and planting out.
func (s *Start) date(n *farm.Nursery) {
	p := s.Planting
	if !p.Sow.IsSet() || !p.Plant.IsSet() || p.Plant <= p.Sow {
		s.Unknown = "the day that it is sown is not known"
		return
	}
	s.Harden = p.Plant
	if n == nil {
		return
	}
	s.Harden = max(p.Sow, p.Plant.Add(-n.Harden.Value))
	s.warm(n)
	if s.days > 0 {
		s.Emerge = p.Sow.Add(int(math.Ceil(s.days - 1e-9)))
	}
	if p.Decl.Pot != nil {
		s.StepUp = p.Sow.Add(n.StepUp.Value)
		if s.Emerge.IsSet() {
			s.StepUp = max(s.StepUp, s.Emerge.Add(leafDays))
		}
		s.StepUp = min(s.StepUp, s.Harden)
	}
}

// leafDays is how long a seedling that is up takes at least to the leaves by which it is stepped up (common practice).
const leafDays = 7

// warm chooses between the house and the mat: a tray goes on the mat where its seed comes up sooner there.
func (s *Start) warm(n *farm.Nursery) {
	house, mat := math.NaN(), math.NaN()
	if n.Temperature.Given {
		house = n.Temperature.Value.SI
	}
	if n.MatTemperature.Given && (n.MatPlaces.Value > 0 || !n.MatPlaces.Given) {
		mat = n.MatTemperature.Value.SI
	}
	c := &s.Planting.Decl.Crop.Crop
	inHouse, onMat := emerges(c, house), emerges(c, mat)
	switch {
	case math.IsNaN(mat), c.SoilMax.Known() && mat > c.SoilMax.High:
		s.Temperature, s.days = house, inHouse
	case math.IsNaN(house), onMat > 0 && (inHouse == 0 || onMat < inHouse),
		onMat == 0 && inHouse == 0 && c.SoilOptimum.Known() && house < c.SoilOptimum.Low:
		s.Temperature, s.days, s.OnMat = mat, onMat, true
	default:
		s.Temperature, s.days = house, inHouse
	}
}

// emerges gives the days to emerge at a temperature in K, 0 when not known or when nothing comes up.
func emerges(c *crops.Crop, kelvin float64) float64 {
	if math.IsNaN(kelvin) {
		return 0
	}
	days, _ := c.DaysToEmerge(quantity.Of(kelvin, quantity.Temperature).Celsius())
	return days
}

// order adds the seeds of a planting to those of its crop.
func (n *Nursery) order(orders map[*farm.Crop]*SeedOrder, p *Planting, seeds int) {
	if seeds == 0 {
		return
	}
	c := p.Decl.Crop
	o := orders[c]
	if o == nil {
		o = &SeedOrder{Crop: c, By: season.None}
		o.Sprout, _ = n.sprouts(p)
		orders[c] = o
		n.Seeds = append(n.Seeds, o)
	}
	o.Seeds += seeds
	if r := &c.SeedsPerMass; r.Known() && r.Low > 0 {
		o.Mass = float64(o.Seeds) / r.Low // of the heaviest seed, so that it suffices
	}
	o.By = sooner(o.By, p.Sow)
	o.Of = append(o.Of, SeedUse{p, seeds})
}
