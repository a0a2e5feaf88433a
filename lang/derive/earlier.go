package derive

import (
	"math"
	"slices"
	"strings"
	"sync"

	"haulm/lang/farm"
)

// Earlier is the plan of an earlier year, worked out when it is first asked about.
type Earlier struct {
	Decl *farm.Previous // of the plan that looks back to it
	Year int

	facts       func() *Facts
	once        sync.Once
	found       map[square][]occupant
	side        float64    // of a square
	least, most [2]float64 // bounds of all grounds
}

// Facts of the earlier plan.
func (e *Earlier) Facts() *Facts { return e.facts() }

// earlier lists the plans of earlier years that a plan reaches, through others too, each once: the latest
// year first, plans of one year in the order in which they are reached.
func earlier(f *farm.Farm) []*Earlier {
	var all []*Earlier
	seen := map[string]bool{}
	var reach func(f *farm.Farm)
	reach = func(f *farm.Farm) {
		for _, d := range f.Earlier {
			if d.Farm == nil || seen[d.Entry] {
				continue
			}
			seen[d.Entry] = true
			e := &Earlier{Decl: d, Year: d.Farm.Year.Value, facts: sync.OnceValue(func() *Facts { return Derive(d.Farm) })}
			all = append(all, e)
			reach(d.Farm)
		}
	}
	reach(f)
	slices.SortStableFunc(all, func(a, b *Earlier) int { return b.Year - a.Year })
	return all
}

// square is one of the squares of ground by which plantings are looked up: of the farm's map, or of the
// plot of a name.
type square struct {
	plot   string
	family string
	x, y   int
}

// leastSide is the side of a square in meters; it is longer where grounds are so long that they would lie on
// more than manySquares along one of their sides.
const (
	leastSide   = 8.0
	manySquares = 64
)

// occupant is a planting with its ground there.
type occupant struct {
	planting *Planting
	ground   Ground
}

// Kin is the planting of a crop's family in an earlier plan that shares most of a planting's ground, and how
// much of it, as a ratio; nil when none shares any. Among equals it is the first in that plan. Plots that
// have a place on the farm's map in both plans are laid over one another there; others are one plot when
// they have one name.
func (e *Earlier) Kin(p *Planting) (kin *Planting, share float64) {
	ground, ok := p.Ground()
	if !ok || p.Decl.Crop.Family == "" || ground.Area() == 0 {
		return nil, 0
	}
	e.once.Do(e.index)
	plot := p.Row.Plot.Decl
	consider := func(key string, ground Ground, mapped bool) {
		seen := map[*Planting]bool{}
		for _, sq := range e.squares(key, p.Decl.Crop.Family, ground) {
			for _, o := range e.found[sq] {
				if seen[o.planting] || mapped && key != "" && IsPositioned(o.planting.Row.Plot.Decl) {
					continue
				}
				seen[o.planting] = true
				s := ground.Shared(o.ground) / ground.Area()
				const same = 1e-9
				if s > max(share+same, leastShare) || kin != nil && s > share-same && o.planting.Number < kin.Number {
					kin, share = o.planting, s
				}
			}
		}
	}
	mapped := IsPositioned(plot)
	if mapped {
		consider("", ground, mapped)
	}
	consider(nameKey(plot), p.inPlot(), mapped)
	return kin, min(share, 1)
}

// leastShare is what two plantings must share of the later one's ground: less is how exactly anyone sets
// out a row again after a year.
const leastShare = 0.05

// Meet tells whether two plots, of plans of two years, are on the same ground as far as can be told: they
// share some of the farm's map, or one of them has no place there and they have one name.
func Meet(a, b *farm.Plot) bool {
	if IsPositioned(a) && IsPositioned(b) {
		return GroundOf(a).Shared(GroundOf(b)) > leastShare*min(GroundOf(a).Area(), GroundOf(b).Area())
	}
	return nameKey(a) == nameKey(b)
}

// nameKey tells plots by their names.
func nameKey(d *farm.Plot) string { return "=" + strings.ToLower(d.Name.Value) }

// index enters the earlier plan's plantings by the squares that they lie on: of the farm's map, where their
// plot has a place there, and of their plot.
func (e *Earlier) index() {
	e.found, e.side = map[square][]occupant{}, leastSide
	type entry struct {
		key string
		occupant
	}
	var all []entry
	enter := func(key string, p *Planting, g Ground) {
		all = append(all, entry{key, occupant{p, g}})
		least, most := g.bounds()
		for i := range least {
			e.side = max(e.side, (most[i]-least[i])/manySquares)
			if len(all) == 1 {
				e.least[i], e.most[i] = least[i], most[i]
			}
			e.least[i], e.most[i] = min(e.least[i], least[i]), max(e.most[i], most[i])
		}
	}
	for _, p := range e.Facts().Plantings {
		ground, ok := p.Ground()
		if !ok || p.Decl.Crop.Family == "" {
			continue
		}
		if IsPositioned(p.Row.Plot.Decl) {
			enter("", p, ground)
		}
		enter(nameKey(p.Row.Plot.Decl), p, p.inPlot())
	}
	for _, n := range all {
		for _, sq := range e.squares(n.key, n.planting.Decl.Crop.Family, n.ground) {
			e.found[sq] = append(e.found[sq], n.occupant)
		}
	}
}

// squares are those of the earlier plan that a ground may lie on.
func (e *Earlier) squares(plot, family string, g Ground) []square {
	least, most := g.bounds()
	at := func(v float64) int { return int(math.Floor(v / e.side)) }
	var all []square
	for x := at(max(least[0], e.least[0])); x <= at(min(most[0], e.most[0])); x++ {
		for y := at(max(least[1], e.least[1])); y <= at(min(most[1], e.most[1])); y++ {
			all = append(all, square{plot, strings.ToLower(family), x, y})
		}
	}
	return all
}
