package feature

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/report"
	"haulm/stdlib/quantity"
)

// facts of the plan as last evaluated, nil when there are none.
func (d *Doc) facts() *derive.Facts {
	if d.Plan == nil {
		return nil
	}
	return d.Plan.Facts
}

// trayText tells how many trays of a kind there must be, and what is sown in them.
func (d *Doc) trayText(decl *farm.Tray) string {
	head := fmt.Sprintf("**%s**, %s by %s outside", capital(derive.TrayName(decl)), d.units().Short(decl.Length.Value), d.units().Short(decl.Width.Value))
	if d.facts() == nil {
		return head + "."
	}
	n := d.facts().Nursery()
	return d.vesselText(head, n, n.Trays, func(v *derive.VesselNeed) bool { return v.Tray == decl }, func(p *farm.Planting) bool { return p.Tray == decl })
}

// potText tells how many pots of a kind there must be, and what is stepped up into them.
func (d *Doc) potText(decl *farm.Pot) string {
	head := "**" + capital(derive.PotName(decl, d.units())) + "**"
	if d.facts() == nil {
		return head + "."
	}
	n := d.facts().Nursery()
	return d.vesselText(head, n, n.Pots, func(v *derive.VesselNeed) bool { return v.Pot == decl }, func(p *farm.Planting) bool { return p.Pot == decl })
}

func (d *Doc) vesselText(head string, n *derive.Nursery, all []*derive.VesselNeed, is func(*derive.VesselNeed) bool, holds func(*farm.Planting) bool) string {
	if i := slices.IndexFunc(all, is); i >= 0 {
		head += fmt.Sprintf(": %d to have, %d filled and washed over the season", all[i].Need, all[i].Filled)
	}
	var lines []string
	for _, b := range n.Batches {
		if s := b.Starts[0]; s.Unknown == "" && holds(s.Planting.Decl) {
			lines = append(lines, "- "+d.batchLine(b))
		}
	}
	return joinParts([]string{head + ".", strings.Join(shortened(lines), "\n")})
}

// batchLine is a batch in one line: "402 cells of bell pepper in 4 trays, sown Sat Mar 20".
func (d *Doc) batchLine(b *derive.Batch) string {
	p := b.Starts[0].Planting
	text := fmt.Sprintf("%s of %s in %s, sown %s", counted(b.Cells, "cell"), p.Decl.Crop.Title(), counted(b.Trays, "tray"), p.Sow.Long(d.year()))
	if b.Pots > 0 {
		text += ", " + counted(b.Pots, "pot")
	}
	return text
}

// nurseryText tells how full the nursery gets, and of what.
func (d *Doc) nurseryText(decl *farm.Nursery) string {
	area := func(v float64) string { return d.units().Format(quantity.Of(v, quantity.Area)) }
	head := "**Nursery**, " + area(decl.Bench.Value.SI) + " of bench"
	if decl.Name.Given {
		head = "**" + capital(decl.Name.Value) + "**, " + area(decl.Bench.Value.SI) + " of bench"
	}
	if d.facts() == nil {
		return head + "."
	}
	n := d.facts().Nursery()
	if n.Peak < 0 {
		return head + ". Nothing is raised in it."
	}
	w := n.Weeks[n.Peak]
	head += fmt.Sprintf(": %s taken in its fullest week, of %s", d.benchText(w), w.Monday.Long(d.year()))
	var lines []string
	for _, b := range w.Batches {
		lines = append(lines, "- "+d.batchLine(b))
	}
	return joinParts([]string{head + ".", strings.Join(shortened(lines), "\n")})
}

// benchText is the bench that a week takes, to a tenth of a square foot or a hundredth of a square meter.
func (d *Doc) benchText(w *derive.NurseryWeek) string {
	return d.units().Format(report.BenchArea(w.Bench, d.units()))
}

// trellisText tells what a trellis takes and how that is reckoned.
func (d *Doc) trellisText(decl *farm.Trellis) string {
	head := "**" + capital(decl.Style.Value) + "**"
	t := d.trellisFacts(decl)
	if t == nil {
		return head + "."
	}
	names := make([]string, len(t.Rows))
	for i, r := range t.Rows {
		names[i] = rowOf(r)
	}
	head += " at " + strings.Join(names, " and ")
	return joinParts([]string{head + ".", whyText(t.Why(d.units()))})
}

func (d *Doc) trellisFacts(decl *farm.Trellis) *derive.Trellis {
	if d.facts() == nil {
		return nil
	}
	all := d.facts().Support().Trellises
	if i := slices.IndexFunc(all, func(t *derive.Trellis) bool { return t.Decl == decl }); i >= 0 {
		return all[i]
	}
	return nil
}

// protectantText tells what the plan copied from the label, and how often it is put on.
func (d *Doc) protectantText(decl *farm.Protectant) string {
	head := fmt.Sprintf("**%s**: closed for %.0f h after spraying, %s before harvest", capital(decl.Name.Value), decl.Reentry.Value.SI/3600,
		counted(decl.Preharvest.Value, "day"))
	if decl.Group.Given {
		head += ", group " + decl.Group.Value
	}
	lines := d.sprayLines(func(a *derive.Application) bool { return a.Decl.Protectant == decl })
	return joinParts([]string{head + ". As the plan copies it: the label on the container is the law.", strings.Join(shortened(lines), "\n")})
}

// protectText tells the days of one protect(...).
func (d *Doc) protectText(decl *farm.Protect) string {
	lines := d.sprayLines(func(a *derive.Application) bool { return a.Decl == decl })
	head := fmt.Sprintf("**%s**, %s", capital(decl.Protectant.Name.Value), counted(len(lines), "application"))
	return joinParts([]string{head + ".", strings.Join(shortened(lines), "\n")})
}

func (d *Doc) sprayLines(is func(*derive.Application) bool) []string {
	var lines []string
	if d.facts() == nil {
		return nil
	}
	for _, a := range d.facts().Protection().Applications {
		if is(a) {
			lines = append(lines, fmt.Sprintf("- %s, %s: work from %s, pick from %s", a.Day.Long(d.year()), a.Place().Title(), a.Enter.Long(d.year()), a.Harvest.Long(d.year())))
		}
	}
	return lines
}
