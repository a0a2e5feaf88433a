package feature

import (
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diff"
	"haulm/lang/source"
)

// mostChanges is how many changes of a thing a hover lists one by one.
const mostChanges = 4

// SetSince tells the plan what changed since the last commit. It may come at any time, or never.
func (p *Plan) SetSince(d *diff.Diff) { p.since.Store(d) }

// changesSince are the changes since the last commit; none before they are known.
func (p *Plan) changesSince() []*diff.Change {
	if d := p.since.Load(); d != nil {
		return d.Changes
	}
	return nil
}

// sinceLenses gives a line over each plot in which something changed since the last commit.
func (d *Doc) sinceLenses() []Lens {
	byPlot := map[*derive.Plot][]*diff.Change{}
	for _, c := range d.Plan.changesSince() {
		byPlot[c.Plot] = append(byPlot[c.Plot], c)
	}
	return d.changeLenses(sinceCommit, byPlot)
}

// sinceCommit begins what is told of the last commit.
const sinceCommit = "since the last commit"

// changeLenses counts what changed since then over each plot in which something did.
func (d *Doc) changeLenses(since string, byPlot map[*derive.Plot][]*diff.Change) []Lens {
	plots := slices.DeleteFunc(slices.Clone(d.Plan.Facts.Plots), func(p *derive.Plot) bool { return len(byPlot[p]) == 0 })
	return d.lensesOver(kindPlot, len(plots), func(i int) source.Span { return plots[i].Decl.Call }, func(at []int) string {
		var changes []*diff.Change
		for _, p := range pick(plots, at) {
			changes = append(changes, byPlot[p]...)
		}
		return since + ": " + diff.TallyTypes(changes)
	})
}

// sinceText says how a thing differs from what it was at the last commit; "" where it does not.
func (d *Doc) sinceText(t Thing) string {
	return changesText(capital(sinceCommit), d.Plan.changesSince(), t)
}

// changesText says which of some changes is a thing's, and what it changed; "" for none.
func changesText(since string, changes []*diff.Change, t Thing) string {
	for _, c := range changes {
		if c.New == nil {
			continue
		}
		item := c.New.Item
		if item == (derive.Item{}) || item.Planting != t.Planting || t.Planting == nil && (item.Row != t.Row || t.Row == nil && item.Plot != t.Plot) {
			continue
		}
		var types []string
		for _, typ := range c.Types {
			types = append(types, typ.String())
		}
		lines := []string{since + ": " + strings.Join(types, ", ")}
		for i, a := range c.Aspects {
			if i == mostChanges {
				lines = append(lines, "- and more")
				break
			}
			lines = append(lines, "- "+a.Name+": "+orNone(a.Old)+" → "+orNone(a.New))
		}
		return strings.Join(lines, "\n")
	}
	return ""
}

func orNone(text string) string {
	if text == "" {
		return "none"
	}
	return text
}
