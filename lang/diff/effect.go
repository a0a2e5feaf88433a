package diff

import (
	"cmp"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/farm"
)

// Effect is what a change does to one total: the part of it that the changed things have, before and after. The
// effects of all changes together are the whole difference between the two farms.
type Effect struct {
	Total    *Total
	Old, New int64 // steps of the total
}

// sum gathers an effect.
type sum struct{ from, to int64 }

// settleTotals reads every total off both farms and gives each difference to the change that answers for it: a
// planting's or a row's to its own change, else to that of what it hangs on, else to the farm's.
func (c *comparison) settleTotals(d *Diff) {
	rows := make([]bearer, 0)
	for _, p := range c.kindOf(&farm.Row{}).pairs {
		rows = append(rows, bearer{p, c.rowBearer(p)})
	}
	crops := map[string]*Change{} // by title, which several declarations may share
	for _, p := range c.kindOf(&farm.Crop{}).pairs {
		if p.change != nil && crops[p.change.Thing().Title] == nil {
			crops[p.change.Thing().Title] = p.change
		}
	}
	plantings := make([]bearer, 0)
	for _, p := range c.kindOf(&farm.Planting{}).pairs {
		plantings = append(plantings, bearer{p, c.plantingBearer(p, crops)})
	}
	for _, f := range c.figures() {
		t := &Total{Name: f.name, Dim: f.dim, Step: f.step, Money: f.money}
		n := len(d.Totals)
		switch {
		case f.plantings != nil:
			from, to := f.plantings(c.from.facts), f.plantings(c.to.facts)
			c.spread(&f, t, n, plantings, from, to, func(x *thing) int { return x.item.Planting.Number - 1 })
		case f.rows != nil:
			from, to := f.rows(c.from.facts), f.rows(c.to.facts)
			c.spread(&f, t, n, rows, from, to, func(x *thing) int { return x.at })
		case f.plots != nil:
			c.spreadPlots(&f, t, n)
		default:
			t.Old, t.New = f.steps(f.farm(c.from.facts)), f.steps(f.farm(c.to.facts))
			if t.Old != t.New {
				c.farmChange().add(n, sum{t.Old, t.New})
			}
		}
		if t.Old != 0 || t.New != 0 {
			d.Totals = append(d.Totals, t)
		}
	}
	d.Goods = c.goods()
}

// bearer is a pair with the change that answers for its figures; nil for the farm's.
type bearer struct {
	*pair
	change *Change
}

func (c *comparison) spread(f *figure, t *Total, n int, pairs []bearer, from, to []float64, index func(*thing) int) {
	read := func(list []float64, x *thing) int64 {
		if x == nil || list == nil {
			return 0
		}
		return f.steps(list[index(x)])
	}
	for _, p := range pairs {
		s := sum{read(from, p.old), read(to, p.new)}
		t.Old += s.from
		t.New += s.to
		if s.from == s.to {
			continue
		}
		change := p.change
		if change == nil && f.by != nil {
			change = f.by(c, p.pair)
		}
		if change == nil {
			change = c.farmChange()
		}
		change.add(n, s)
	}
}

// spreadPlots gives each plot its part, by a change of its own where what differs is only what stands in it.
func (c *comparison) spreadPlots(f *figure, t *Total, n int) {
	from, to := f.plots(c.from.facts), f.plots(c.to.facts)
	read := func(list []float64, x *thing) int64 {
		if x == nil {
			return 0
		}
		return f.steps(list[x.at])
	}
	give := func(s sum, change func() *Change) {
		t.Old += s.from
		t.New += s.to
		if s.from != s.to {
			change().add(n, s)
		}
	}
	for _, p := range c.kindOf(&farm.Plot{}).pairs {
		give(sum{read(from, p.old), read(to, p.new)}, func() *Change {
			if p.change == nil {
				return c.add(p)
			}
			return p.change
		})
	}
	give(sum{f.steps(from[len(from)-1]), f.steps(to[len(to)-1])}, c.farmChange)
}

func (c *Change) add(total int, s sum) {
	for len(c.sums) <= total {
		c.sums = append(c.sums, sum{})
	}
	c.sums[total].from += s.from
	c.sums[total].to += s.to
}

// rowBearer gives the change that answers for a row: its own, its zone's or its plot's.
func (c *comparison) rowBearer(p *pair) *Change {
	if p.change != nil {
		return p.change
	}
	was, is := p.old.item.Row.Decl, p.new.item.Row.Decl
	if x := c.changeOf(was.Zone, was.Plot, was.Trellis); x != nil || is.Trellis == nil {
		return x
	}
	return c.to.changeOf(is.Trellis)
}

func (c *comparison) plantingBearer(p *pair, crops map[string]*Change) *Change {
	if p.change != nil {
		return p.change
	}
	d := p.old.item.Planting.Decl
	if x := c.changeOf(d.Row); x != nil {
		return x
	}
	if x := crops[d.Crop.Title()]; x != nil {
		return x
	}
	return c.changeOf(d.Tray, d.Row.Zone, d.Row.Plot)
}

// changeOf gives the change of the first of some declarations of the old farm that has one.
func (c *comparison) changeOf(decls ...any) *Change { return c.from.changeOf(decls...) }

func (s *side) changeOf(decls ...any) *Change {
	for _, d := range decls {
		if t := s.of[d]; t != nil && t.pair != nil && t.pair.change != nil {
			return t.pair.change
		}
	}
	return nil
}

// feedChange gives the change of a feeding that a planting has or had.
func (c *comparison) feedChange(p *pair) *Change {
	var all []*Change
	add := func(s *side, t *thing) {
		if !s.facts.Fed() {
			return
		}
		for _, dose := range s.facts.Feeding().Plantings[t.item.Planting.Number-1].Doses {
			all = append(all, s.changeOf(dose.Feed))
		}
	}
	add(&c.from, p.old)
	add(&c.to, p.new)
	return first(all)
}

// priceChange gives the change of what a planting's harvest is sold for.
func (c *comparison) priceChange(p *pair) *Change {
	var all []*Change
	for _, q := range c.kindOf(&farm.Price{}).pairs {
		for _, t := range []*thing{q.old, q.new} {
			if t != nil && t.decl.(*farm.Price).Crop != nil && t.decl.(*farm.Price).Crop.Name == p.old.item.Planting.Decl.Crop.Name {
				all = append(all, q.change)
			}
		}
	}
	return first(all)
}

// first gives one of some changes, the same one whichever of the two farms is the old one; nil when there is none.
func first(all []*Change) *Change {
	title := func(x *Change) string {
		if x.Old != nil && x.New != nil {
			return min(x.Old.Title, x.New.Title)
		}
		return x.Thing().Title
	}
	var least *Change
	for _, x := range all {
		if x != nil && (least == nil || title(x) < title(least)) {
			least = x
		}
	}
	return least
}

// finish names the effects of every change, and puts the changes in order.
func (c *comparison) finish(d *Diff) {
	for _, x := range c.changes {
		for i, s := range x.sums {
			if s != (sum{}) {
				x.Effects = append(x.Effects, Effect{Total: d.Totals[i], Old: s.from, New: s.to})
			}
		}
		x.sums = nil
		if len(x.Types) == 0 {
			x.Types = []Type{Affected}
		}
	}
	place := func(x *Change) int {
		p := x.Plot
		if p == nil {
			return len(c.from.facts.Plots) + len(c.to.facts.Plots)
		}
		if i := slices.Index(c.to.facts.Plots, p); i >= 0 {
			return i
		}
		return len(c.to.facts.Plots) + slices.Index(c.from.facts.Plots, p)
	}
	places := make(map[*Change]int, len(c.changes))
	byPlot := map[*derive.Plot]int{}
	for _, x := range c.changes {
		p := x.Plot
		n, ok := byPlot[p]
		if !ok {
			n = place(x)
			byPlot[p] = n
		}
		places[x] = n
	}
	rank := func(x *Change) int {
		if x == c.farm {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(c.changes, func(a, b *Change) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(places[a], places[b]), cmp.Compare(kindRank(a.Thing().Kind), kindRank(b.Thing().Kind)),
			cmp.Compare(a.Thing().order(), b.Thing().order()))
	})
	d.Changes = c.changes
}

// kindRank puts plots before rows before plantings before all else.
func kindRank(kind string) int {
	if i := slices.Index([]string{"plot", "row", "planting"}, kind); i >= 0 {
		return i
	}
	return 3
}

// order is where a row or a planting stands among the others of its plot.
func (t *Thing) order() int {
	switch {
	case t.Item.Row != nil:
		return t.Item.Row.Number
	case t.Item.Planting != nil:
		return t.Item.Planting.Number
	}
	return 0
}
