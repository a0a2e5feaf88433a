package feature

import (
	"strconv"

	"haulm/lang/derive"
	"haulm/lang/diff"
)

// past is how a plan differs from those of the latest year that it looks back to.
type past struct {
	changes map[*derive.Plot][]*diff.Change
}

// lastPlans are the plans of the latest year before this one's that it looks back to: one, or several where a farm
// was planned in parts; none where it looks back to none.
func (p *Plan) lastPlans() []*derive.Earlier {
	if p == nil || p.Facts == nil {
		return nil
	}
	var plans []*derive.Earlier
	for _, e := range p.Facts.Earlier {
		if e.Year < p.Farm.Year.Value && (len(plans) == 0 || e.Year == plans[0].Year) {
			plans = append(plans, e)
		}
	}
	return plans
}

// LookBack works out how the plan differs from last year's and has lenses and hovers say so from then on; false
// where it looks back to none. It takes about as long as an evaluation, so that it belongs in the background.
func (p *Plan) LookBack() bool {
	plans := p.lastPlans()
	if len(plans) == 0 {
		return false
	}
	b := &past{changes: map[*derive.Plot][]*diff.Change{}}
	known := map[*derive.Plot]bool{}
	for _, e := range plans {
		e.Warm()
		byPlot, isNew := map[*derive.Plot][]*diff.Change{}, map[*derive.Plot]bool{}
		for _, c := range diff.Compare(diff.Side{Facts: e.Facts()}, diff.Side{Facts: p.Facts}).Changes {
			byPlot[c.Plot] = append(byPlot[c.Plot], c)
			if c.Old == nil && c.New.Item.Plot != nil {
				isNew[c.Plot] = true
			}
		}
		// A plot is held against the plan that has it.
		for _, plot := range p.Facts.Plots {
			if !known[plot] {
				b.changes[plot] = byPlot[plot]
				known[plot] = !isNew[plot]
			}
		}
	}
	p.past.Store(b)
	return true
}

// lastYear names the year that the plan looks back to: "last year", or "2025" where years are missing between.
func (p *Plan) lastYear() string {
	if year := p.lastPlans()[0].Year; year != p.Farm.Year.Value-1 {
		return strconv.Itoa(year)
	}
	return "last year"
}

// pastLenses gives a line over each plot that differs from last year's.
func (d *Doc) pastLenses() []Lens {
	b := d.Plan.past.Load()
	if b == nil {
		return nil
	}
	return d.changeLenses("since "+d.Plan.lastYear(), b.changes)
}

// sincePast begins what is told of what changed since.
func (d *Doc) sincePast() string { return "Since " + d.Plan.lastYear() }

// pastHead begins what is told of last year: "Last year", "In 2025".
func (d *Doc) pastHead() string {
	if name := d.Plan.lastYear(); name != "last year" {
		return "In " + name
	}
	return "Last year"
}

func (d *Doc) pastYear() int { return d.Plan.lastPlans()[0].Year }
