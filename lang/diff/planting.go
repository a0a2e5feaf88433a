package diff

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
)

// matchPlantings pairs plantings: what stays in its row first, then what moved, then what another crop or variety
// took the place of.
func (c *comparison) matchPlantings() {
	k := c.kindOf(&farm.Planting{})
	in := func(s *side, p *derive.Planting) key { return key{pair: s.number(p.Row.Decl)} }
	near := func(s *side, p *derive.Planting) key { return key{pair: s.number(p.Row.Plot.Decl)} }
	far := func(*side, *derive.Planting) key { return key{} }
	by := func(where func(*side, *derive.Planting) key, more ...func(*key, *side, *derive.Planting)) func(*side, *thing) (key, bool) {
		return func(s *side, t *thing) (key, bool) {
			p := t.item.Planting
			x := where(s, p)
			for _, f := range more {
				f(&x, s, p)
			}
			return x, true
		}
	}
	c.match(k,
		rule{key: by(in, crop, planted, stands)},
		rule{key: by(in, crop, planted)},
		rule{key: by(in, crop, stands)},
		rule{key: by(in, crop)},
		rule{key: by(near, crop, planted, number), grounds: because("the same crop, day and number")},
		rule{key: by(near, crop, planted), grounds: because("the same crop and day")},
		rule{key: by(far, crop, planted, number), grounds: because("the same crop, day and number")},
		rule{key: by(far, crop, planted), grounds: because("the same crop and day")},
		rule{key: by(in, species, planted, stands), grounds: because("the same place and day")},
		rule{key: by(in, species), grounds: because("the same row")},
		rule{key: by(in, planted, stands), grounds: because("the same place and day")},
		rule{key: by(in, stands), grounds: because("the same place")},
		rule{key: by(in, planted), grounds: because("the same row and day")},
		rule{key: by(near, crop), grounds: because("the same crop in the same plot")},
	)
	c.close(k)
}

func crop(k *key, _ *side, p *derive.Planting)    { k.a, k.b = p.Decl.Crop.Name, p.Decl.Crop.Variety }
func species(k *key, _ *side, p *derive.Planting) { k.a = p.Decl.Crop.Name }
func planted(k *key, s *side, p *derive.Planting) { k.x = s.day(p.Plant) }
func stands(k *key, _ *side, p *derive.Planting)  { k.y = spot(p.First) }
func number(k *key, _ *side, p *derive.Planting)  { k.z = int64(p.Plants) }

// findCuts says of plots that came or went where their plantings came from or went to, when that is one other
// plot for at least half of them; and of two plantings that changed places, with what.
func (c *comparison) findCuts() {
	for _, p := range c.kindOf(&farm.Plot{}).pairs {
		switch {
		case p.old == nil:
			if name, n, of := c.origin(p.new, &c.to, func(q *pair) *thing { return q.old }); name != "" {
				p.change.Types = append([]Type{Split}, p.change.Types...)
				p.change.Grounds = heldIn(n, of, "was in", "were in", name)
			}
		case p.new == nil:
			if name, n, of := c.origin(p.old, &c.from, func(q *pair) *thing { return q.new }); name != "" {
				p.change.Types = append([]Type{Joined}, p.change.Types...)
				p.change.Grounds = heldIn(n, of, "is now in", "are now in", name)
			}
		}
	}
	type route struct{ from, to int }
	moved := map[route][]*pair{}
	for _, p := range c.kindOf(&farm.Planting{}).pairs {
		if from, to, ok := c.rows(p); ok && from != to {
			moved[route{from, to}] = append(moved[route{from, to}], p)
		}
	}
	for _, p := range c.kindOf(&farm.Planting{}).pairs {
		from, to, ok := c.rows(p)
		if !ok || from == to {
			continue
		}
		var with []string
		for _, q := range moved[route{to, from}] {
			with = append(with, q.new.item.Planting.Decl.Crop.Title())
		}
		if len(with) > 0 {
			slices.Sort(with)
			p.change.Grounds = "changed places with " + strings.Join(slices.Compact(with), " and ")
		}
	}
}

// rows are the rows that a planting moved between.
func (c *comparison) rows(p *pair) (from, to int, ok bool) {
	if p.old == nil || p.new == nil {
		return 0, 0, false
	}
	return c.from.number(p.old.item.Planting.Row.Decl), c.to.number(p.new.item.Planting.Row.Decl), true
}

// heldIn says how many of a plot's plantings were or are in another.
func heldIn(n, of int, one, many, where string) string {
	switch {
	case of == 1:
		return "its planting " + one + " " + where
	case n == of:
		return "all of its " + counted(of, "planting") + " " + many + " " + where
	}
	return fmt.Sprintf("%d of its %s %s %s", n, counted(of, "planting"), many, where)
}

// origin finds the one plot of the other farm that at least half of a plot's plantings have their pair in.
func (c *comparison) origin(t *thing, s *side, other func(*pair) *thing) (name string, n, of int) {
	all := plantings(t.item.Plot)
	votes := map[*derive.Plot]int{}
	var best *derive.Plot
	for _, p := range all {
		q := other(s.of[p.Decl].pair)
		if q == nil {
			continue
		}
		plot := q.item.Planting.Row.Plot
		if votes[plot]++; best == nil || votes[plot] > votes[best] {
			best = plot
		}
	}
	if best == nil || 2*votes[best] < len(all) {
		return "", 0, 0
	}
	return best.Decl.Name.Value, votes[best], len(all)
}
