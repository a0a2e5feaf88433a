package feature

import (
	"cmp"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/source"
)

// FlowItem is a thing that water runs through: a source, a zone, a row or a planting.
type FlowItem struct {
	Name     string
	Detail   string // what it holds or feeds: "3 zones, 24 rows"
	Kind     string // "water_source", "zone", "row" or "planting"
	Span     source.Span
	NameSpan source.Span // in Span: the name, else what is called
	Order    int         // of declaration, by which Feeds and FedBy know it
}

// Flow gives what the call at a place, or the name there, declares of the way of the water.
func (d *Doc) Flow(at source.Point) []FlowItem {
	part, offset := d.Part(at), d.File.Offset(at)
	tok, _, _ := part.tokenAt(offset)
	if isName(part, tok) {
		names := d.namesAt(part, offset)
		if items := d.flowItems(names.things(part.text(tok))); len(items) > 0 {
			return items
		}
	}
	facts := d.past(part, part.Calls())
	var found []FlowItem
	for i, c := range part.Calls() {
		if start := d.File.Offset(c.NameSpan.Start); start > offset || d.File.Offset(c.Span.End) < offset {
			continue
		}
		if items := d.flowItems(facts.things(i)); len(items) > 0 {
			found = items // the innermost call stands last
		}
	}
	return found
}

// Feeds gives what a thing feeds: zones of a source, rows of a zone, plantings of a row.
func (d *Doc) Feeds(order int) []FlowItem {
	return d.flowFrom(order, feeds)
}

// FedBy gives what feeds a thing.
func (d *Doc) FedBy(order int) []FlowItem {
	return d.flowFrom(order, func(a, b any) bool { return feeds(b, a) })
}

// feeds tells whether water runs from one thing straight to another.
func feeds(from, to any) bool {
	switch to := to.(type) {
	case *farm.Zone:
		return to.Source != nil && from == any(to.Source)
	case *farm.Row:
		return to.Zone != nil && from == any(to.Zone)
	case *farm.Planting:
		return to.Row != nil && from == any(to.Row)
	}
	return false
}

func (d *Doc) flowFrom(order int, linked func(own, other any) bool) []FlowItem {
	var own any
	d.Plan.everything(func(t Thing) {
		if t.Decl.Order == order && flowKind(t) != "" {
			own = t.Of
		}
	})
	if own == nil {
		return nil
	}
	var things []Thing
	d.Plan.everything(func(t Thing) {
		if linked(own, t.Of) {
			things = append(things, t)
		}
	})
	return d.flowItems(things)
}

func flowKind(t Thing) string {
	switch t.Of.(type) {
	case *farm.WaterSource, *farm.Zone, *farm.Row, *farm.Planting:
		return t.kind()
	}
	return ""
}

func (d *Doc) flowItems(things []Thing) []FlowItem {
	var items []FlowItem
	for _, t := range things {
		kind := flowKind(t)
		if kind == "" || !t.Decl.Call.IsValid() {
			continue
		}
		item := FlowItem{Kind: kind, Order: t.Decl.Order}
		var name farm.Text
		switch of := t.Of.(type) {
		case *farm.WaterSource:
			name = of.Name
		case *farm.Zone:
			name = of.Name
		case *farm.Row:
			name = of.Name
			if t.Row != nil {
				item.Name = rowOf(t.Row)
			}
		case *farm.Planting:
			item.Name = of.Crop.Title()
		}
		item.Name = cmp.Or(item.Name, name.Value, strings.ReplaceAll(kind, "_", " "))
		item.Detail = d.flowDetail(t)
		if need := d.needing(d.demand(t)); need != "" {
			item.Detail += ", " + need
		}
		if item.Span = d.Place(t.Decl.Call); !item.Span.IsValid() {
			continue // taken out since
		}
		item.NameSpan = d.Place(name.Span)
		if !name.Given || !holds(item.Span, item.NameSpan) {
			item.NameSpan = calleeOf(item.Span)
		}
		items = append(items, item)
	}
	slices.SortStableFunc(items, func(a, b FlowItem) int { return cmp.Compare(a.Order, b.Order) })
	return items
}

// calleeOf gives the name that a call begins with.
func calleeOf(call source.Span) source.Span {
	text := call.Text()
	start := call.File.Offset(call.Start)
	return call.File.Span(start, start+nameLength(text))
}

// demand is what all that hangs on a thing needs in the week in which that is most.
func (d *Doc) demand(t Thing) neediest {
	switch of := t.Of.(type) {
	case *farm.WaterSource:
		if s := d.sourceFacts(of); s != nil {
			return d.zoneNeed(s.Zones)
		}
	case *farm.Zone:
		if z := d.zoneFacts(of); z != nil {
			return d.zoneNeed([]*derive.ZoneWater{z})
		}
	case *farm.Row:
		if t.Row != nil {
			return d.plantingNeed(t.Row.Plantings)
		}
	case *farm.Planting:
		if t.Planting != nil {
			return d.plantingNeed([]*derive.Planting{t.Planting})
		}
	}
	return neediest{}
}

// flowDetail counts what hangs on a thing.
func (d *Doc) flowDetail(t Thing) string {
	switch of := t.Of.(type) {
	case *farm.WaterSource:
		zones := 0
		for _, z := range d.Plan.Farm.Zones {
			if z.Source == of {
				zones++
			}
		}
		return counted(zones, "zone") + ", " + d.watered(func(r *farm.Row) bool { return r.Zone != nil && r.Zone.Source == of })
	case *farm.Zone:
		return d.watered(func(r *farm.Row) bool { return r.Zone == of })
	case *farm.Row:
		return d.rowDetail(t)
	case *farm.Planting:
		if t.Planting != nil && t.Planting.Placed() {
			return counted(t.Planting.Plants, "plant")
		}
	}
	return ""
}

func (d *Doc) rowDetail(t Thing) string {
	if t.Row == nil {
		return ""
	}
	plants := 0
	for _, p := range t.Row.Plantings {
		plants += p.Plants
	}
	return d.length(t.Row.Length) + ", " + counted(plants, "plant")
}

// watered counts the rows that water reaches and the plants in them.
func (d *Doc) watered(by func(*farm.Row) bool) string {
	rows, plants := 0, 0
	for _, r := range d.Plan.Facts.Rows {
		if !by(r.Decl) {
			continue
		}
		rows++
		for _, p := range r.Plantings {
			plants += p.Plants
		}
	}
	return counted(rows, "row") + ", " + counted(plants, "plant")
}
