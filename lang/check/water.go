package check

import (
	"fmt"
	"math"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// The checks of water read derive's Water and work nothing out again: supply.go holds the zones against
// their source, pressure.go the pipes and tapes against what they bear, emitters.go the tapes against their
// rows and soil, valves.go the rows behind one valve against one another.

func (p *pass) flow(q float64) string { return p.units.Format(quantity.Of(q, quantity.Flow)) }
func (p *pass) pressure(v float64) string {
	return p.units.Format(quantity.Of(v, quantity.Pressure))
}
func (p *pass) volume(v float64) string { return p.units.Format(quantity.Of(v, quantity.Volume)) }

// hours prints a time that a valve is open, minutes below one hour.
func hours(seconds float64) string {
	if minutes := math.Round(seconds / 60); minutes < 60 {
		return count(int(minutes), "1 minute", "%d minutes")
	}
	return fmt.Sprintf("%.1f h", seconds/3600)
}

func percent(share float64) string { return fmt.Sprintf("%.0f %%", share*100) }

func zoneName(z *derive.ZoneWater) string { return "zone " + z.Decl.Name.Value }

// solved are the zones whose flows and pressures are known, and not merely what is left of them when their
// source gives too little.
func (p *pass) solved(visit func(*derive.ZoneWater)) {
	if p.facts.Water == nil {
		return
	}
	for _, z := range p.facts.Water.Zones {
		if z.Decl != nil && z.Unsolved == "" && z.Group != nil && z.Group.Unsolved == "" && z.Group.Unsettled == "" && !z.Group.Limited && z.Emitters > 0 {
			visit(z)
		}
	}
}
