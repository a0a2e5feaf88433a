package derive

import (
	"strconv"

	"haulm/stdlib/season"
)

// Event is something that the plan does on a day. Each subject gives its own; the calendar joins those that are
// done together, and puts them in order.
type Event struct {
	On    season.Date // events without a day are left out
	Until season.Date // last day, where it may be done over several; None where it is the one day
	Do    string      // "set out": what is done, without to what and where; the same words for the same work
	What  string      // "bell pepper 'Lantern Red'": to what; "" where Do says it all
	Count int         // plants, trays, posts; 0 where nothing is counted
	Of    string      // what Count counts, for one and for several: "plant|plants"; "" with Count 0
	Where Item        // the zero Item for the whole farm
	Note  string      // what to mind: "in 2 gal of water"
}

// events gives what a planting is done on its own days; what raises its seedlings belongs to the nursery.
func (p *Planting) events(all []Event) []Event {
	add := func(on season.Date, do string, count int) {
		if on.IsSet() {
			e := Event{On: on, Until: season.None, Do: do, What: p.Decl.Crop.Title(), Where: Item{Planting: p}}
			if count > 0 {
				e.Count, e.Of = count, "plant|plants"
			}
			all = append(all, e)
		}
	}
	if p.direct() {
		add(p.Plant, "sow in the row", p.Plants)
	} else {
		add(p.Plant, "set out", p.Plants)
	}
	add(p.FirstHarvest, "first harvest", 0)
	if p.LastHarvest > p.FirstHarvest {
		add(p.LastHarvest, "last harvest", 0)
	}
	add(p.Clear, "clear the row", 0)
	return all
}

// taskEvents gives the days of the plan's own work.
func (facts *Facts) taskEvents(all []Event) []Event {
	if len(facts.Farm.Tasks) == 0 {
		return all
	}
	for _, j := range facts.Labor().Jobs {
		if j.kind != ownTask {
			continue
		}
		e := Event{On: j.begin, Until: season.None, Do: j.Name, What: j.What, Note: hoursText(j.Hours)}
		if j.end > j.begin {
			e.Until = j.end
		}
		if j.Plot != nil {
			e.Where = Item{Plot: j.Plot}
		}
		all = append(all, e)
	}
	return all
}

// Events gives all dated events of the plan, subject by subject, in no order of time.
func (facts *Facts) Events() []Event {
	var all []Event
	for _, p := range facts.Plantings {
		all = p.events(all)
	}
	all = facts.Nursery().events(all)
	all = facts.Support().events(all)
	all = facts.Protection().events(all)
	all = facts.Feeding().events(all)
	return facts.taskEvents(all)
}

// countOf says a number of things: "1 tray", "3 trays".
func countOf(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + several
}
