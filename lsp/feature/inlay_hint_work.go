package feature

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
)

// gear says what trays, pots, the nursery and trellises come to.
func (h *hinter) gear(things []Thing) Hint {
	hint := Hint{Kind: HintCounts}
	facts := h.doc.facts()
	if facts == nil {
		return hint
	}
	posts := 0
	var trellises []*derive.Trellis
	for _, t := range things {
		switch of := t.Of.(type) {
		case *farm.Trellis:
			if s := h.doc.trellisFacts(of); s != nil && s.Unknown == "" {
				posts += s.Posts
				trellises = append(trellises, s)
			}
		case *farm.Tray:
			if i := slices.IndexFunc(facts.Nursery().Trays, func(v *derive.VesselNeed) bool { return v.Tray == of }); i >= 0 && len(things) == 1 {
				hint.Label, hint.Tip = counted(facts.Nursery().Trays[i].Need, "tray")+" in use at once", h.doc.trayText(of)
			}
		case *farm.Pot:
			if i := slices.IndexFunc(facts.Nursery().Pots, func(v *derive.VesselNeed) bool { return v.Pot == of }); i >= 0 && len(things) == 1 {
				hint.Label, hint.Tip = counted(facts.Nursery().Pots[i].Need, "pot")+" in use at once", h.doc.potText(of)
			}
		case *farm.Nursery:
			if n := facts.Nursery(); n.Peak >= 0 {
				w := n.Weeks[n.Peak]
				hint.Label, hint.Tip = "fullest week of "+h.doc.day(w.Monday)+", "+h.doc.benchText(w), h.doc.nurseryText(of)
			}
		case *farm.Planting:
			if len(things) == 1 && !t.Through && of.Tray != nil {
				hint.Label, hint.Tip = h.start(t.Planting)
			}
		}
	}
	switch len(trellises) {
	case 0:
	case 1:
		hint.Label = counted(posts, "post")
		hint.Tip = whyOf(trellises[0].Why(h.doc.units()), "Posts", "Strings", "Twine", "Rail", "Set by")
	default:
		hint.Label = fmt.Sprintf("%s in %d trellises", counted(posts, "post"), len(trellises))
		lines := make([]string, len(trellises))
		for i, s := range trellises {
			lines[i] = fmt.Sprintf("- %s: %s", rowOf(s.Rows[0]), counted(s.Posts, "post"))
		}
		hint.Tip = strings.Join(shortened(lines), "\n")
	}
	return hint
}

// start says what raising a planting takes.
func (h *hinter) start(p *derive.Planting) (label, tip string) {
	if p == nil {
		return "", ""
	}
	starts := h.doc.facts().Nursery().Starts
	i := slices.IndexFunc(starts, func(s *derive.Start) bool { return s.Planting == p })
	if i < 0 || starts[i].Cells == 0 {
		return "", ""
	}
	s := starts[i]
	return counted(s.Cells, "cell") + ", " + counted(s.Trays, "tray"), whyOf(s.Why(h.doc.facts().Nursery()), "Cells to sow", "Seed to sow", "Trays", "Pots", "Seedlings up")
}

// sprayed says how often a protectant is put on, and from when what stands there may be picked.
func (h *hinter) sprayed(things []Thing) Hint {
	hint := Hint{Kind: HintDates}
	facts := h.doc.facts()
	if facts == nil {
		return hint
	}
	var all []*derive.Application
	for _, t := range things {
		of, ok := t.Of.(*farm.Protect)
		if !ok {
			continue
		}
		for _, a := range facts.Protection().Applications {
			if a.Decl == of {
				all = append(all, a)
			}
		}
	}
	if len(all) == 0 {
		return hint
	}
	last := slices.MaxFunc(all, func(a, b *derive.Application) int { return int(a.Harvest) - int(b.Harvest) })
	lines := make([]string, len(all))
	for i, a := range all {
		lines[i] = fmt.Sprintf("- %s, %s: work from %s, pick from %s", h.doc.day(a.Day), a.Place().Title(), h.doc.day(a.Enter), h.doc.day(a.Harvest))
	}
	hint.Label = "pick from " + h.doc.day(last.Harvest)
	if len(all) > 1 {
		hint.Label = fmt.Sprintf("%d times, ", len(all)) + hint.Label
	}
	hint.Tip = strings.Join(shortened(lines), "\n")
	return hint
}
