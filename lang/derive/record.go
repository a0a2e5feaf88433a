package derive

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Record is what really happened, beside what was planned. The days that are recorded have taken the place of
// the planned ones in the plantings; places and numbers stay as they were planned.
type Record struct {
	Plantings []*PlantingRecord // of which something is recorded, in the order of Facts.Plantings
	Strays    []Stray           // that belong to nothing in the plan, in the order of declaration

	facts *Facts
	of    map[*farm.Record][]*Planting // that each record is about
	work  lazy[[]*WorkRecord]
	has   lazy[map[workKey]bool] // the plan's work by job and crop, both plain; of any crop under ""
	rates lazy[[]*OwnRate]
}

// PlantingRecord is what happened to a planting.
type PlantingRecord struct {
	Planting *Planting
	Planned  Days         // as the plan alone has them
	Sown     *farm.Record // in a tray; nil where it is not recorded
	Planted  *farm.Record // into the row, or sown there
	Cleared  *farm.Record
	Picked   []Picking      // by day
	Counts   []*farm.Record // plants counted or lost, by day; those without one first
	Lost     int
	Stand    int // plants, when all of that has happened
}

// Days of a planting.
type Days struct{ Sow, Plant, FirstHarvest, LastHarvest, Clear season.Date }

// Picking is a planting's share of a harvest.
type Picking struct {
	Decl  *farm.Record
	Share float64
}

// Stray is a record that belongs to nothing in the plan.
type Stray struct {
	Decl *farm.Record
	Why  string
	Job  bool // its job is not known; else its place
	Many bool // its place is several plantings, and it needs one
	Near string
}

// addRecord finds what each record is about and brings the plantings to the days that are recorded.
func (facts *Facts) addRecord() {
	f := facts.Farm
	if len(f.Records) == 0 {
		return
	}
	r := &Record{facts: facts, of: make(map[*farm.Record][]*Planting, len(f.Records))}
	facts.Record = r
	places := newRecordPlaces(facts)
	for _, d := range f.Records {
		if d == nil {
			continue
		}
		list, why := places.of(d)
		if why != "" {
			r.Strays = append(r.Strays, Stray{Decl: d, Why: why})
			continue
		}
		if d.Kind == farm.Done && !places.knowsJob(d.What.Value) {
			r.Strays = append(r.Strays, Stray{Decl: d, Job: true, Why: fmt.Sprintf("neither a job nor a task of the plan is called %q", d.What.Value), Near: places.nearestJob(d.What.Value)})
			continue
		}
		r.of[d] = list
	}
	r.addDays()
	r.addCounts()
	r.addPicked()
	for _, p := range facts.Plantings {
		if p.Record != nil {
			r.Plantings = append(r.Plantings, p.Record)
			p.setDates(facts.Seasons, facts.warmth)
		}
	}
}

// record gives the planting its record, begun when there is none yet.
func (p *Planting) record() *PlantingRecord {
	if p.Record == nil {
		p.Record = &PlantingRecord{Planting: p, Stand: p.Plants,
			Planned: Days{p.Sow, p.Plant, p.FirstHarvest, p.LastHarvest, p.Clear}}
	}
	return p.Record
}

// addDays takes the days of sowing, planting and clearing: where a job is recorded on several days, planting is
// what began first and clearing what ended last.
func (r *Record) addDays() {
	moved := map[*Planting]bool{}
	for _, d := range r.facts.Farm.Records {
		list, known := r.of[d]
		if !known || d.Kind != farm.Done || !d.On.Given {
			continue
		}
		kind, ok := jobCalled(d.What.Value)
		if !ok {
			continue
		}
		switch kind {
		case traySowing:
			list = nearestTo(list, d.On.Value, func(p *Planting) season.Date { return p.planned().Sow })
		case plantingJob, sowingJob:
			if own := slices.DeleteFunc(slices.Clone(list), func(p *Planting) bool { return p.direct() != (kind == sowingJob) }); len(own) > 0 {
				list = own
			}
			list = nearestTo(list, d.On.Value, func(p *Planting) season.Date { return p.planned().Plant })
		case clearing:
			list = nearestTo(list, d.On.Value, func(p *Planting) season.Date { return p.planned().Clear })
		default:
			continue
		}
		r.of[d] = list
		for _, p := range list {
			to := p.record()
			moved[p] = true
			switch {
			case kind == traySowing && (to.Sown == nil || d.On.Value < to.Sown.On.Value):
				to.Sown = d
			case (kind == plantingJob || kind == sowingJob) && (to.Planted == nil || d.On.Value < to.Planted.On.Value):
				to.Planted = d
			case kind == clearing && (to.Cleared == nil || d.On.Value > to.Cleared.On.Value):
				to.Cleared = d
			}
		}
	}
	for p := range moved {
		p.setDates(r.facts.Seasons, r.facts.warmth)
	}
}

// planned are the days as the plan alone has them.
func (p *Planting) planned() Days {
	if p.Record != nil {
		return p.Record.Planned
	}
	return Days{p.Sow, p.Plant, p.FirstHarvest, p.LastHarvest, p.Clear}
}

// nearestTo gives of each row's plantings those planned nearest to a day.
func nearestTo(list []*Planting, on season.Date, day func(*Planting) season.Date) []*Planting {
	if len(list) < 2 {
		return list
	}
	away := func(p *Planting) int {
		d := day(p)
		if !d.IsSet() {
			return math.MaxInt32
		}
		return max(on.DaysSince(d), d.DaysSince(on))
	}
	least := map[*Row]int{}
	for _, p := range list {
		if n, ok := least[p.Row]; !ok || away(p) < n {
			least[p.Row] = away(p)
		}
	}
	return slices.DeleteFunc(slices.Clone(list), func(p *Planting) bool { return away(p) > least[p.Row] })
}

// addCounts takes the plants that were counted and lost. They need one planting.
func (r *Record) addCounts() {
	for _, d := range r.facts.Farm.Records {
		list, known := r.of[d]
		if !known || d.Kind == farm.Harvested || !d.Plants.Given {
			continue
		}
		if d.On.Given && len(list) > 1 {
			if on := slices.DeleteFunc(slices.Clone(list), func(p *Planting) bool { return !p.standsOn(d.On.Value) }); len(on) > 0 {
				list = on
			}
		}
		if len(list) != 1 {
			r.Strays = append(r.Strays, Stray{Decl: d, Why: severalWhy(list), Many: len(list) > 1})
			delete(r.of, d)
			continue
		}
		r.of[d] = list
		to := list[0].record()
		to.Counts = append(to.Counts, d)
	}
	for _, p := range r.facts.Plantings {
		if to := p.Record; to != nil && len(to.Counts) > 0 {
			slices.SortStableFunc(to.Counts, func(a, b *farm.Record) int { return cmp.Compare(a.On.Value, b.On.Value) })
			to.Stand = to.standAt(season.Date(math.MaxInt32))
			for _, d := range to.Counts {
				if d.Kind == farm.Lost {
					to.Lost += d.Plants.Value
				}
			}
		}
	}
}

func severalWhy(list []*Planting) string {
	if len(list) == 0 {
		return "nothing is planted there"
	}
	return "plants are counted of one planting, and it may be one of several: " + list[0].Path() + " or " + list[1].Path()
}

// standsOn tells whether the planting stands in its row on a day; one whose days are not known does.
func (p *Planting) standsOn(day season.Date) bool {
	in, out := p.occupied()
	return in <= day && day < out
}

// standAt is how many plants stand at the end of a day: those planned, until some are counted; less those lost.
func (to *PlantingRecord) standAt(day season.Date) int {
	n := to.Planting.Plants
	for _, d := range to.Counts {
		if d.On.Value > day {
			break
		}
		if d.Kind == farm.Lost {
			n = max(0, n-d.Plants.Value)
		} else {
			n = d.Plants.Value
		}
	}
	return n
}

// standing is the share of the planned plants that stand on a day.
func (p *Planting) standing(day season.Date) float64 {
	if p.Record == nil || p.Plants == 0 {
		return 1
	}
	return float64(p.Record.standAt(day)) / float64(p.Plants)
}

// windowSlack is how many days before and after its expected harvest a planting can still be what was picked.
const windowSlack = 28

// addPicked shares each harvest among the plantings that it can be of, by their plants.
func (r *Record) addPicked() {
	for _, d := range r.facts.Farm.Records {
		list, known := r.of[d]
		if !known || d.Kind != farm.Harvested {
			continue
		}
		if d.On.Given && len(list) > 1 {
			if ripe := slices.DeleteFunc(slices.Clone(list), func(p *Planting) bool { return !p.ripeOn(d.On.Value) }); len(ripe) > 0 {
				list = ripe
			}
		}
		r.of[d] = list
		plants := 0
		for _, p := range list {
			plants += p.Plants
		}
		for _, p := range list {
			share := 1 / float64(len(list))
			if plants > 0 {
				share = float64(p.Plants) / float64(plants)
			}
			to := p.record()
			to.Picked = append(to.Picked, Picking{Decl: d, Share: share})
		}
	}
	for _, p := range r.facts.Plantings {
		if to := p.Record; to != nil {
			slices.SortStableFunc(to.Picked, func(a, b Picking) int { return cmp.Compare(a.Decl.On.Value, b.Decl.On.Value) })
		}
	}
}

// ripeOn tells whether a harvest of that day can be the planting's.
func (p *Planting) ripeOn(day season.Date) bool {
	if p.Plant.IsSet() && day < p.Plant || p.FirstHarvest.IsSet() && day < p.FirstHarvest-windowSlack {
		return false
	}
	end := max(p.LastHarvest, p.Clear)
	return !end.IsSet() || day < end+windowSlack
}

// pickedDays gives the first and the last day on which it was picked; None without any.
func (to *PlantingRecord) pickedDays() (first, last season.Date) {
	if to == nil || len(to.Picked) == 0 {
		return season.None, season.None
	}
	return to.Picked[0].Decl.On.Value, to.Picked[len(to.Picked)-1].Decl.On.Value
}

// Harvested is what was picked so far, in units of sale; false where it was recorded in what cannot be told in
// them.
func (to *PlantingRecord) Harvested(unit SaleUnit) (amount float64, ok bool) {
	ok = true
	for _, k := range to.Picked {
		v, known := to.inUnits(k.Decl, unit)
		amount, ok = amount+v*k.Share, ok && known
	}
	return amount, ok
}

// inUnits tells what one record says was picked in units of sale.
func (to *PlantingRecord) inUnits(d *farm.Record, unit SaleUnit) (float64, bool) {
	one := saleUnit(to.Planting.Decl.Crop.SaleUnit, &to.Planting.Decl.Crop.UnitMass)
	switch {
	case d.Mass.Given:
		return d.Mass.Value.SI / unit.Mass, unit.Mass > 0
	case unit.Name == one.Name:
		return d.Count.Value, true
	}
	return d.Count.Value * one.Mass / unit.Mass, one.Mass > 0 && unit.Mass > 0
}

// mass is what was picked in kg; NaN where a part of it was counted and the mass of one is not known.
func (to *PlantingRecord) mass() float64 {
	kg, ok := to.Harvested(SaleUnit{Name: "kg", Mass: 1})
	if !ok {
		return math.NaN()
	}
	return kg
}

// IsOver tells whether nothing more is picked of it: it is cleared, or was to be before today. Where nobody says
// which day it is, the record is taken for that of the whole year.
func (to *PlantingRecord) IsOver() bool {
	today := to.Planting.Row.Plot.farm.Today
	return to.Cleared != nil || !today.Given || to.Planting.Clear.IsSet() && to.Planting.Clear <= today.Value
}

// Of gives the plantings that a record is about; false for one that belongs to nothing in the plan.
func (r *Record) Of(d *farm.Record) ([]*Planting, bool) {
	list, ok := r.of[d]
	return list, ok
}

func seconds(a *farm.Amount) float64 {
	if a.Given && a.Value.Dim == quantity.Time {
		return a.Value.SI
	}
	return 0
}
