package next

import (
	"cmp"
	"math"
	"slices"

	"haulm/lang/eval"
	"haulm/lang/farm"
)

// layout says where what grew last year goes.
type layout struct {
	to    map[*farm.Plot]*farm.Plot // the plot that a plot's set goes to; none for one that stays
	turn  map[*farm.Plot]int        // by how many rows what stands in a plot moves on inside it
	along bool                      // moved rows keep their zones, rather than taking those of their new ground
}

func (l *layout) target(p *farm.Plot) *farm.Plot {
	if to := l.to[p]; to != nil {
		return to
	}
	return p
}

// staying are crops that stand for years where they are (common practice).
var staying = []string{"artichoke", "asparagus", "strawberry"}

// stays tells whether a planting keeps its place from year to year.
func stays(p *farm.Planting) bool { return p.Crop != nil && slices.Contains(staying, p.Crop.Ident) }

// groups are the rows of a plot among which what stands in them can move: of one length and start, from the plot's
// first side.
func (d *draft) groups(p *farm.Plot) [][]*farm.Row {
	var groups [][]*farm.Row
	for _, r := range d.rowsOf[p] {
		if slices.ContainsFunc(d.plantedIn[r], stays) {
			continue
		}
		i := slices.IndexFunc(groups, func(g []*farm.Row) bool { return sameReach(g[0], r) })
		if i < 0 {
			groups = append(groups, []*farm.Row{r})
		} else {
			groups[i] = append(groups[i], r)
		}
	}
	return groups
}

func sameReach(a, b *farm.Row) bool {
	const hair = 1e-6
	same := func(x, y farm.Length) bool {
		return x.Given == y.Given && math.Abs(x.Value.SI-y.Value.SI) < hair
	}
	return same(a.Length, b.Length) && same(a.Start, b.Start)
}

// places says where what each row holds goes, for the rows that are turned.
func (d *draft) places(l *layout) map[*farm.Row]*farm.Row {
	places := map[*farm.Row]*farm.Row{}
	for p, k := range l.turn {
		for _, g := range d.groups(p) {
			for i, r := range g {
				places[r] = g[(i+k)%len(g)]
			}
		}
	}
	return places
}

func (w *writer) placeOf(r *farm.Row) *farm.Row {
	if to := w.place[r]; to != nil {
		return to
	}
	return r
}

// zoneText says the zone of a row in its new place: that of the ground, which is that of the nearest row there.
func (w *writer) zoneText(r *farm.Row) []string {
	zone := w.placeOf(r).Zone
	if to := w.l.target(r.Plot); to != r.Plot && !w.l.along {
		zone = nil
		if rows := w.rowsOf[to]; len(rows) > 0 {
			at := w.placeOf(r).At.Value.SI
			zone = slices.MinFunc(rows, func(a, b *farm.Row) int {
				return cmp.Compare(math.Abs(a.At.Value.SI-at), math.Abs(b.At.Value.SI-at))
			}).Zone
		}
	}
	if zone == nil {
		return nil
	}
	return []string{"zone = " + w.thing(zone)}
}

// section is a part of the text.
type section uint8

const (
	placeSection section = iota
	waterSection
	productSection
	nurserySection
	cropSection
	groundSection
	restSection
)

func (d *draft) sectionOf(c *eval.Call) section {
	switch c.Of.Name {
	case "climate", "weather", "site", "crew", "farm", "previous":
		return placeSection
	case "water_source", "drip_tape", "pipe", "zone":
		return waterSection
	case "fertilizer", "amendment", "protectant", "measure":
		return productSection
	case "tray", "pot", "nursery":
		return nurserySection
	case "crop", "variety":
		return cropSection
	case "soil", "soil_test":
		if d.plotUsing(c) == nil {
			return restSection
		}
		return groundSection
	case "plot":
		return groundSection
	}
	for i := range c.Args {
		if slices.ContainsFunc(c.Args[i].Things, func(t any) bool { return plotOf(t) != nil }) {
			return groundSection
		}
	}
	return restSection
}

// plotUsing is the first plot that a soil or its test belongs to, nil when none does.
func (d *draft) plotUsing(c *eval.Call) *farm.Plot {
	for _, p := range d.farm.Plots {
		if p.Soil != nil && (c.Gave[0] == any(p.Soil) || p.Soil.Test != nil && c.Gave[0] == any(p.Soil.Test)) {
			return p
		}
	}
	return nil
}

// movesAlong tells whether what is said of a plot is said of what grows there rather than of the ground.
func movesAlong(c *eval.Call) bool {
	switch c.Of.Name {
	case "row", "rows", "protect", "feed", "need":
		return true
	}
	return false
}

// plotSection is the plot in whose section a call stands: the last of those that it speaks of.
func (w *writer) plotSection(c *eval.Call) *farm.Plot {
	switch c.Of.Name {
	case "soil", "soil_test":
		return w.plotUsing(c)
	case "plot":
		return c.Gave[0].(*farm.Plot)
	}
	var last *farm.Plot
	at := -1
	for i := range c.Args {
		for _, t := range c.Args[i].Things {
			p := plotOf(t)
			if p == nil {
				continue
			}
			if _, whole := t.(*farm.Plot); !whole || movesAlong(c) {
				p = w.l.target(p)
			}
			if i := slices.Index(w.farm.Plots, p); i > at {
				last, at = p, i
			}
		}
	}
	return last
}
