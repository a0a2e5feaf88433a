package report

import (
	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// Record gives one row for each planting of which something is recorded: what was planned, and what happened.
// Harvests are before what is culled.
func Record(facts *derive.Facts) Table {
	t := newTable("record", facts)
	t.Columns = []Column{
		{Head: "no.", Key: "number", Right: true, keep: 7},
		{Head: "plot", Key: "plot"},
		{Head: "row", Key: "row"},
		{Head: "crop", Key: "crop"},
		{Head: "planned", Key: "planned_plant_date", Right: true},
		{Head: "planted", Key: "plant_date", Right: true},
		{Head: "later by", Key: "days_later", Right: true, keep: 3},
		{Head: "planned first", Key: "planned_first_harvest", Right: true, keep: 4},
		{Head: "first harvest", Key: "first_harvest", Right: true, keep: 5},
		{Head: "last harvest", Key: "last_harvest", Right: true, keep: 1},
		{Head: "plants", Key: "planned_plants", Right: true},
		{Head: "lost", Key: "lost", Right: true, keep: 2},
		{Head: "stand", Key: "stand", Right: true},
		{Head: "planned harvest", Key: "planned_harvest", Right: true},
		{Head: "now expected", Key: "expected_harvest", Right: true, keep: 6},
		{Head: "harvested", Key: "harvested", Right: true},
		{Head: "by the", Key: "unit"},
		{Key: "harvest_over", only: inJSON | inCSV},
		{Head: "note", Key: "note", optional: true, keep: 1},
	}
	if facts == nil || facts.Record == nil {
		return t
	}
	h := facts.Harvest()
	for _, to := range facts.Record.Plantings {
		p := to.Planting
		n := h.Plantings[p.Number-1]
		var later, stand, planned, lost, expected, picked Cell
		if p.Placed() {
			planned, stand, lost = wholeCell(p.Plants), wholeCell(to.Stand), wholeCell(to.Lost)
		}
		if to.Planted != nil && to.Planned.Plant.IsSet() {
			later = wholeCell(p.Plant.DaysSince(to.Planned.Plant))
		}
		plannedHarvest := Cell{}
		unit := n.Unit
		if n.Unknown == "" {
			plannedHarvest, expected = roughCell(n.Planned, unit), roughCell(n.Expected(), unit)
		} else {
			unit = derive.MassUnit(facts.Farm.Units)
		}
		note := n.Unknown
		if amount, ok := to.Harvested(unit); ok && len(to.Picked) > 0 {
			picked = roughCell(amount, unit)
		} else if !ok {
			note = "a part of it was recorded in what the " + unit.Name + " cannot tell; give the crop a unit_mass"
		}
		over := "no"
		if to.IsOver() {
			over = "yes"
		}
		t.Rows = append(t.Rows, []Cell{
			wholeCell(p.Number), textCell(p.Row.Plot.Decl.Name.Value), textCell(rowLabel(p.Row)), textCell(p.Decl.Crop.Title()),
			dayCell(to.Planned.Plant), plantedCell(to), later, dayCell(to.Planned.FirstHarvest), dayCell(p.FirstHarvest), dayCell(p.LastHarvest),
			planned, lost, stand, plannedHarvest, expected, picked, textCell(unit.Name), textCell(over), textCell(note),
		})
	}
	return t
}

// plantedCell is the planting day that is recorded.
func plantedCell(to *derive.PlantingRecord) Cell {
	if to.Planted == nil {
		return Cell{}
	}
	return dayCell(to.Planting.Plant)
}

// RecordWork gives the hours that are recorded, by job and crop, against the plan's.
func RecordWork(facts *derive.Facts) Table {
	t := newTable("record_work", facts)
	t.Columns = []Column{
		{Head: "job", Key: "job"},
		{Head: "crop", Key: "crop"},
		{Head: "times", Key: "times", Right: true},
		{Head: "hours", Key: "hours", Right: true},
		{Head: "planned in all", Key: "planned_hours", Right: true},
		{Head: "own rate", Key: "rate"},
		{Head: "planned rate", Key: "planned_rate"},
	}
	if facts == nil || facts.Record == nil {
		return t
	}
	for _, w := range facts.Record.Work() {
		row := []Cell{textCell(w.Name), textCell(w.What), wholeCell(w.Times), numberCell(w.Hours), {}, textCell(t.pace(w.Each, w.Per)), textCell(t.pace(w.Plan, w.Per))}
		if w.Planned > 0 {
			row[4] = numberCell(w.Planned)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// pace says how long one of what a rate counts takes, "" when it is not known.
func (t *Table) pace(each float64, per string) string {
	if each == 0 {
		return ""
	}
	switch per {
	case "m":
		return t.units.Format(quantity.Of(each, quantity.LineTime))
	case "m2":
		return t.units.Format(quantity.Of(each, quantity.AreaTime))
	case "kg":
		return t.units.Format(quantity.Of(1/each, quantity.MassRate))
	case "":
		return t.units.Format(quantity.Of(each, quantity.Time)) + " each time"
	}
	return t.units.Format(quantity.Of(each, quantity.Time)) + " each " + per
}
