package feature

import (
	"fmt"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// recordOf gives what is recorded of the planting that a record is about; nil when it is about none, or several.
func (d *Doc) recordOf(of *farm.Record) *derive.PlantingRecord {
	if d.Plan == nil || d.Plan.Facts == nil || d.Plan.Facts.Record == nil {
		return nil
	}
	if list, _ := d.Plan.Facts.Record.Of(of); len(list) == 1 {
		return list[0].Record
	}
	return nil
}

// recordText tells what a record changes: the days that move with it, the plants that stand, what is picked so far.
func (d *Doc) recordText(of *farm.Record) string {
	to := d.recordOf(of)
	if to == nil {
		return d.recordPlaces(of)
	}
	p := to.Planting
	head := fmt.Sprintf("**%s**, %s.", capital(p.Decl.Crop.Title()), rowOf(p.Row))
	lines := []string{
		d.dayMoved("planted", to.Planned.Plant.Long(d.year()), p.Plant.Long(d.year())),
		d.dayMoved("first harvest", to.Planned.FirstHarvest.Long(d.year()), p.FirstHarvest.Long(d.year())),
		d.dayMoved("last harvest", to.Planned.LastHarvest.Long(d.year()), p.LastHarvest.Long(d.year())),
		d.dayMoved("the place is free", to.Planned.Clear.Long(d.year()), p.Clear.Long(d.year())),
	}
	var days []string
	for _, line := range lines {
		if line != "" {
			days = append(days, "- "+line)
		}
	}
	return joinParts([]string{head, strings.Join(days, "\n"), whyText(to.Why())})
}

// dayMoved says a day and the planned one where they differ.
func (d *Doc) dayMoved(what, planned, now string) string {
	switch {
	case now == "":
		return ""
	case planned == now:
		return capital(what) + " " + now + ", as planned"
	case planned == "":
		return capital(what) + " " + now
	}
	return capital(what) + " " + now + ", planned " + planned
}

// recordPlaces lists the plantings that a record of several is about.
func (d *Doc) recordPlaces(of *farm.Record) string {
	if d.Plan == nil || d.Plan.Facts == nil || d.Plan.Facts.Record == nil {
		return ""
	}
	list, ok := d.Plan.Facts.Record.Of(of)
	if !ok || len(list) == 0 {
		return ""
	}
	lines := make([]string, len(list))
	for i, p := range list {
		lines[i] = fmt.Sprintf("- %s, %s", p.Decl.Crop.Title(), rowOf(p.Row))
	}
	return "**About " + counted(len(list), "planting") + "**\n\n" + strings.Join(shortened(lines), "\n")
}

// recordFileText sums a file of records up.
func (d *Doc) recordFileText(of *farm.RecordFile) string {
	return "**" + of.File.Value + "**: " + d.fileTally(of) + "."
}

func (d *Doc) fileTally(of *farm.RecordFile) string {
	if d.Plan == nil || d.Plan.Farm == nil {
		return ""
	}
	records, seen := 0, map[*derive.Planting]bool{}
	for _, r := range d.Plan.Farm.Records {
		if len(r.Chain) == 0 || r.Chain[0] != of.Call {
			continue
		}
		records++
		if d.Plan.Facts == nil || d.Plan.Facts.Record == nil {
			continue
		}
		list, _ := d.Plan.Facts.Record.Of(r)
		for _, p := range list {
			seen[p] = true
		}
	}
	return counted(records, "record") + " of " + counted(len(seen), "planting")
}

// recorded says what a record comes to: by how much the planting is late, how many plants stand, what is picked.
func (h *hinter) recorded(things []Thing) Hint {
	hint := Hint{Kind: HintCounts}
	if len(things) != 1 {
		return hint
	}
	switch of := things[0].Of.(type) {
	case *farm.RecordFile:
		hint.Label = h.doc.fileTally(of)
	case *farm.Record:
		to := h.doc.recordOf(of)
		if to == nil {
			return hint
		}
		hint.Label, hint.Tip = h.doc.recordLine(of, to), h.doc.recordText(of)
		if of == to.Planted {
			hint.Kind = HintDates
		}
	}
	return hint
}

func (d *Doc) recordLine(of *farm.Record, to *derive.PlantingRecord) string {
	p := to.Planting
	switch {
	case of == to.Planted && p.FirstHarvest.IsSet():
		late := p.Plant.DaysSince(to.Planned.Plant)
		harvest := "harvest " + p.FirstHarvest.Long(d.year())
		switch {
		case !to.Planned.Plant.IsSet() || late == 0:
			return harvest
		case late < 0:
			return shortest(counted(-late, "day")+" early, "+harvest, harvest)
		}
		return shortest(counted(late, "day")+" late, "+harvest, harvest)
	case of.Kind == farm.Lost:
		return fmt.Sprintf("%d of %d stand", to.Stand, p.Plants)
	case of.Kind == farm.Harvested && of.Mass.Given:
		kg := 0.0
		for _, k := range to.Picked {
			kg += k.Decl.Mass.Value.SI * k.Share
			if k.Decl == of {
				break
			}
		}
		return d.units().Format(quantity.Of(kg, quantity.Mass)) + " so far"
	}
	return ""
}
