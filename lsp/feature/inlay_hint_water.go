package feature

import (
	"fmt"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
)

// flow says what zones take of their source, or rows of their zone, and how evenly they give it out.
func (h *hinter) flow(things []Thing) Hint {
	hint := Hint{Kind: HintFlow}
	var zones []*derive.ZoneWater
	var rows []*derive.Row
	for _, t := range things {
		if decl, ok := t.Of.(*farm.Zone); ok {
			if z := h.doc.zoneFacts(decl); z != nil && flows(z) {
				zones = append(zones, z)
			}
		}
		if t.Row != nil && rowFlows(t.Row) {
			rows = append(rows, t.Row)
		}
	}
	switch {
	case len(zones) == 1 && len(rows) == 0:
		z := zones[0]
		hint.Label = shortest(h.doc.ofSource(z)+" · "+h.doc.even(z.EU), h.doc.ofSource(z), h.doc.flowText(z.Flow))
		hint.Tip = whyOf(z.Why(), titleFlow, titleEvenness)
	case len(zones) > 1 && len(rows) == 0:
		hint.Label, hint.Tip = h.zoneFlows(zones)
	case len(rows) == 1:
		r := rows[0].Water
		hint.Label = h.doc.flowText(r.Flow) + " · " + h.doc.even(r.EU)
		hint.Tip = whyOf(r.Why(), titleTapes, titleEvenness)
	case len(rows) > 1:
		hint.Label, hint.Tip = h.rowFlows(rows)
	}
	return hint
}

// Titles of the reckonings behind flows.
const (
	titleFlow     = "Flow"
	titleTapes    = "Flow of the tapes"
	titleEvenness = "Evenness (emission uniformity)"
)

// zoneFlows says the least and the most that one of several zones takes: they are open one after the other.
func (h *hinter) zoneFlows(zones []*derive.ZoneWater) (label, tip string) {
	least, most := zones[0].Flow, zones[0].Flow
	lines := make([]string, len(zones))
	for i, z := range zones {
		least, most = min(least, z.Flow), max(most, z.Flow)
		lines[i] = "- " + h.doc.zoneLine(z)
	}
	label = counted(len(zones), "zone") + ", " + h.doc.flowText(most)
	if from, to := h.doc.flowText(least), h.doc.flowText(most); from != to {
		label = fmt.Sprintf("%s, %s to %s", counted(len(zones), "zone"), from, to)
	}
	return label, strings.Join(shortened(lines), "\n")
}

// rowFlows sums rows up; the least even one stands for how even they are.
func (h *hinter) rowFlows(rows []*derive.Row) (label, tip string) {
	flow, even := 0.0, 1.0
	lines := make([]string, len(rows))
	for i, r := range rows {
		flow, even = flow+r.Water.Flow, min(even, r.Water.EU)
		lines[i] = fmt.Sprintf("- %s: %s, %s", rowOf(r), h.doc.flowText(r.Water.Flow), h.doc.even(r.Water.EU))
	}
	label = h.doc.flowText(flow) + " in " + counted(len(rows), "row")
	return shortest(label+" · "+h.doc.even(even), label), strings.Join(shortened(lines), "\n")
}

// need says how much water plantings need in the week in which they need most.
func (h *hinter) need(things []Thing) Hint {
	hint := Hint{Kind: HintNeed}
	var list []*derive.Planting
	for _, t := range things {
		if p := t.Planting; p != nil && p.Water != nil && p.Water.Unknown == "" {
			list = append(list, p)
		}
	}
	if len(list) == 0 {
		return hint
	}
	hint.Label = h.doc.needText(h.doc.plantingNeed(list))
	if len(list) == 1 {
		hint.Tip = whyText(list[0].Water.Why())
		return hint
	}
	lines := make([]string, len(list))
	for i, p := range list {
		lines[i] = fmt.Sprintf("- %s, %s: %s", p.Decl.Crop.Title(), rowOf(p.Row), h.doc.needText(h.doc.plantingNeed(list[i:i+1])))
	}
	hint.Tip = strings.Join(shortened(lines), "\n")
	return hint
}
