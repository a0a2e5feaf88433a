package derive

import (
	"math"

	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// addNursery makes the jobs of raising transplants.
func (b *foreman) addNursery() {
	for _, s := range b.facts.Nursery().Starts {
		if s.Unknown != "" || !s.Planting.Sow.IsSet() {
			continue
		}
		p := s.Planting
		pc := b.pace(traySowing, p, "tray", "plant")
		sown := b.add(traySowing, p, pc, s.amount(pc.per, s.Trays), p.Sow, p.Sow)
		b.chain[p] = append(b.chain[p], sown)
		if s.StepUp.IsSet() && s.Pots > 0 {
			pc := b.pace(pottingOn, p, "pot", "plant")
			up := b.add(pottingOn, p, pc, s.amount(pc.per, s.Pots), s.StepUp, s.StepUp+6)
			up.follow(sown)
			b.chain[p] = append(b.chain[p], up)
		}
	}
}

// amount is how many trays or pots a start has, or plants.
func (s *Start) amount(per string, vessels int) float64 {
	if per == "tray" || per == "pot" {
		return float64(vessels)
	}
	return s.Planting.amount(per)
}

// addSupport makes the jobs of trellises: setting them, each string, and pruning what they hold.
func (b *foreman) addSupport() {
	for _, t := range b.facts.Support().Trellises {
		if t.Unknown != "" {
			continue
		}
		for _, p := range t.Held {
			put := b.planted[p]
			if put == nil {
				continue
			}
			set := t.Set
			if !set.IsSet() {
				set = p.Plant
			}
			pc := b.pace(trellising, p, "m2", "m")
			stand := b.add(trellising, p, pc, p.amount(pc.per), set, max(set, p.Plant+trellisWithin))
			stand.follow(put)
			for _, level := range t.Levels {
				pc := b.pace(stringing, p, "m2", "m")
				b.add(stringing, p, pc, p.amount(pc.per), level.On, level.On+6).follow(stand)
			}
			b.addPruning(p, t.Decl.Stems.Given, stand)
		}
	}
}

// addPruning prunes single stems every week from a month after planting to the last harvest, anything else once.
func (b *foreman) addPruning(p *Planting, stems bool, stand *Job) {
	pc := b.pace(pruning, p, "plant", "m2", "m")
	every, end := 0, p.LastHarvest
	switch {
	case pc.task != nil && pc.task.Every.Given:
		every = pc.task.Every.Value
	case pc.task == nil && pc.per == "plant":
		if !stems {
			return // the table's rate is for stems that are kept single
		}
		every = 7
	}
	for n := range mostPasses {
		day := p.Plant.Add(pruneFirst + n*every)
		if n > 0 && (every == 0 || !end.IsSet() || day > end) {
			break
		}
		b.add(pruning, p, pc, p.amount(pc.per), day, day+6).follow(stand)
	}
}

// addSprays makes the jobs of spraying.
func (b *foreman) addSprays() {
	for _, a := range b.facts.Protection().Applications {
		for _, p := range a.Plantings {
			pc := b.pace(spraying, p, "m2", "m")
			b.add(spraying, p, pc, p.amount(pc.per), a.Day, a.Day)
		}
	}
}

// addFeedings makes the jobs of feeding: one trip for all that a planting gets on a day.
func (b *foreman) addFeedings() {
	if len(b.facts.Farm.Feeds) == 0 {
		return
	}
	for _, n := range b.facts.Feeding().Plantings {
		day := season.None
		for _, d := range n.Doses {
			if d.Day == day || !d.Day.IsSet() || d.Feed.Placement.Value == ThroughWater {
				continue
			}
			day = d.Day
			pc := b.pace(feedingJob, n.Planting, "m2", "m")
			b.add(feedingJob, n.Planting, pc, n.Planting.amount(pc.per), day, day)
		}
	}
}

// addHarvest makes the jobs of picking and washing, week by week.
func (b *foreman) addHarvest() {
	h := b.facts.Harvest()
	for _, n := range h.Plantings {
		if n.Unknown != "" {
			continue
		}
		pick, wash := b.pickPace(picking, n), b.pickPace(washing, n)
		for i, v := range n.Weeks {
			week := h.Weeks[n.First+i]
			picked := v / (1 - n.Loss) // what is culled is picked too
			done := b.add(picking, n.Planting, pick, n.amount(pick.per, picked), week, week)
			b.add(washing, n.Planting, wash, n.amount(wash.per, picked), week, week).follow(done)
		}
	}
}

// pickPace is counted in what the crop is sold by where there is such a rate, else by its mass.
func (b *foreman) pickPace(kind jobKind, n *PlantingHarvest) pace {
	if u, ok := quantity.UnitNamed(n.Unit.Name); ok && u.Dim == quantity.Mass {
		return b.pace(kind, n.Planting, "kg")
	}
	if math.IsNaN(n.yield.kg) {
		return b.pace(kind, n.Planting, n.Unit.Name)
	}
	return b.pace(kind, n.Planting, n.Unit.Name, "kg")
}

// amount is that of a harvest in units of sale, in what a rate counts.
func (n *PlantingHarvest) amount(per string, units float64) float64 {
	switch per {
	case "kg":
		kg := n.yield.kg / n.yield.amount * units
		if math.IsNaN(kg) {
			return 0
		}
		return kg
	case n.Unit.Name:
		return units
	}
	return n.Planting.amount(per) // a rate of one's own by row, area or plant holds for each week
}

// addTasks makes the jobs of extra work, once all others are there to be followed.
func (b *foreman) addTasks() {
	for _, d := range b.extra {
		b.addTask(d)
	}
	for _, j := range b.jobs {
		if d := j.Task; d != nil && d.After.Given && j.kind == ownTask {
			b.wait(j, d.After.Value)
		}
	}
}
