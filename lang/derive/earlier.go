package derive

import (
	"cmp"
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
	plot string
	x, y int
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

// Share is a planting of an earlier plan with the part of a later ground that it stood on, as a ratio.
type Share struct {
	Planting *Planting
	Part     float64
}

// Kin is the planting of a crop's family in an earlier plan that shares most of a planting's ground, and how
// much of it, as a ratio; nil when none shares any. Among equals it is the first in that plan. Plots that
// have a place on the farm's map in both plans are laid over one another there; others are one plot when
// they have one name.
func (e *Earlier) Kin(p *Planting) (kin *Planting, share float64) {
	on, ok := p.rooted()
	family := p.Decl.Crop.Family
	if !ok || family == "" {
		return nil, 0
	}
	e.standing(p.Row.Plot.Decl, on, func(p *Planting) bool { return strings.EqualFold(p.Decl.Crop.Family, family) }, func(s Share) {
		const same = 1e-9
		if s.Part > max(share+same, leastShare) || kin != nil && s.Part > share-same && s.Planting.Number < kin.Number {
			kin, share = s.Planting, s.Part
		}
	})
	return kin, min(share, 1)
}

// On lists what an earlier plan planted on a planting's ground, whatever its family, the one that had most of it
// first, of equals in the order of that plan. Plots are laid over one another as Kin does it.
func (e *Earlier) On(p *Planting) []Share {
	on, ok := p.rooted()
	if !ok {
		return nil
	}
	return e.sharing(p.Row.Plot.Decl, on)
}

// OnRow lists the same for the whole of a row, whether anything is planted there now or not.
func (e *Earlier) OnRow(r *Row) []Share {
	on := rect{r.Left, r.Right, r.Start, r.End}
	for _, p := range r.Plantings {
		if q, ok := p.rooted(); ok {
			on.x1, on.x2 = min(on.x1, q.x1), max(on.x2, q.x2)
		}
	}
	if on.x1 == on.x2 { // one line with nothing along it
		on.x1, on.x2 = on.x1-aloneBeside, on.x2+aloneBeside
	}
	return e.sharing(r.Plot.Decl, on)
}

// aloneBeside is what a line that nothing is planted in is taken to have of the ground on each side, in meters.
const aloneBeside = 0.15

// sharing lists what stood on a ground by how much of it that had, without what had next to nothing.
func (e *Earlier) sharing(plot *farm.Plot, on rect) []Share {
	var list []Share
	e.standing(plot, on, func(*Planting) bool { return true }, func(s Share) {
		if s.Part > leastShare {
			list = append(list, Share{s.Planting, min(s.Part, 1)})
		}
	})
	slices.SortFunc(list, func(a, b Share) int {
		const steps = 1e6 // what differs by less is the same ground
		return cmp.Or(cmp.Compare(math.Round(b.Part*steps), math.Round(a.Part*steps)), cmp.Compare(a.Planting.Number, b.Planting.Number))
	})
	return list
}

// In lists the earlier plan's plantings that had at least half of their ground in a plot of the later one, in
// the order of that plan.
func (e *Earlier) In(plot *farm.Plot) []*Planting {
	on := whole(plot)
	var list []*Planting
	e.standing(plot, on, func(*Planting) bool { return true }, func(s Share) {
		if g, ok := s.Planting.Ground(); ok && 2*s.Part*on.area() >= g.Area() {
			list = append(list, s.Planting)
		}
	})
	slices.SortFunc(list, func(a, b *Planting) int { return cmp.Compare(a.Number, b.Number) })
	return list
}

// Warm has everything ready that the other methods look things up in.
func (e *Earlier) Warm() { e.once.Do(e.index) }

// standing calls each, in no order and once for each planting that is wanted, with what it had of a ground in a
// plot of the later plan.
func (e *Earlier) standing(plot *farm.Plot, on rect, wanted func(*Planting) bool, each func(Share)) {
	all := on.area()
	if all <= 0 {
		return
	}
	e.Warm()
	consider := func(key string, ground Ground, mapped bool) {
		seen := map[*Planting]bool{}
		for _, sq := range e.squares(key, ground) {
			for _, o := range e.found[sq] {
				if !wanted(o.planting) || seen[o.planting] || mapped && key != "" && IsPositioned(o.planting.Row.Plot.Decl) {
					continue
				}
				seen[o.planting] = true
				if shared := ground.Shared(o.ground); shared > 0 {
					each(Share{o.planting, shared / all})
				}
			}
		}
	}
	mapped := IsPositioned(plot)
	if mapped {
		consider("", on.of(plot), mapped)
	}
	consider(nameKey(plot), on.inPlot(), mapped)
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
		on, ok := p.rooted()
		if !ok {
			continue
		}
		if plot := p.Row.Plot.Decl; IsPositioned(plot) {
			enter("", p, on.of(plot))
		}
		enter(nameKey(p.Row.Plot.Decl), p, on.inPlot())
	}
	for _, n := range all {
		for _, sq := range e.squares(n.key, n.ground) {
			e.found[sq] = append(e.found[sq], n.occupant)
		}
	}
}

// squares are those of the earlier plan that a ground may lie on.
func (e *Earlier) squares(plot string, g Ground) []square {
	least, most := g.bounds()
	at := func(v float64) int { return int(math.Floor(v / e.side)) }
	var all []square
	for x := at(max(least[0], e.least[0])); x <= at(min(most[0], e.most[0])); x++ {
		for y := at(max(least[1], e.least[1])); y <= at(min(most[1], e.most[1])); y++ {
			all = append(all, square{plot, x, y})
		}
	}
	return all
}
