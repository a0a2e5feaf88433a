package diff

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/season"
)

// spot brings a length to whole tenths of a millimeter, so that a place written in feet and the same place
// written in meters are one. The odd part keeps figures that people write off the edge between two.
func spot(meters float64) int64 { return int64(math.Floor(meters*1e4 + 0.3183)) }

// day brings a day to its place in the plan's year, so that plans of two years can be compared.
func (s *side) day(d season.Date) int64 {
	if !d.IsSet() {
		return math.MinInt32
	}
	return int64((d.Year()-s.facts.Farm.Year.Value)*400+int(d.Month())*32) + int64(d.Day())
}

// matchGround pairs plots, then rows.
func (c *comparison) matchGround() {
	plots, rows := c.kindOf(&farm.Plot{}), c.kindOf(&farm.Row{})
	held := func(from, to *thing) string { return counted(len(plantings(to.item.Plot)), "planting") }
	c.match(plots,
		rule{key: func(_ *side, t *thing) (key, bool) {
			name := t.item.Plot.Decl.Name.Value
			return key{a: name}, name != ""
		}},
		rule{key: func(s *side, t *thing) (key, bool) {
			k := sized(t.item.Plot)
			k.a = s.contents(plantings(t.item.Plot), false)
			return k, k.a != ""
		}, grounds: func(from, to *thing) string { return "the same size and the same " + held(from, to) }},
		rule{key: func(s *side, t *thing) (key, bool) {
			k := key{a: s.contents(plantings(t.item.Plot), false)}
			return k, k.a != ""
		}, grounds: func(from, to *thing) string { return "the same " + held(from, to) }},
		rule{key: func(_ *side, t *thing) (key, bool) {
			d := t.item.Plot.Decl
			k := sized(t.item.Plot)
			k.a = fmt.Sprint(spot(d.East.Value.SI), spot(d.North.Value.SI))
			return k, d.East.Given && d.North.Given
		}, grounds: because("the same place on the farm and the same size")},
	)
	c.matchPlotsByVote(plots)
	c.match(plots, rule{key: func(_ *side, t *thing) (key, bool) {
		k := sized(t.item.Plot)
		for _, r := range t.item.Plot.Rows {
			k.a += strconv.FormatInt(spot(r.Center), 36) + " "
		}
		return k, k.a != ""
	}, grounds: because("the same size and rows at the same places")})
	c.close(plots)

	c.match(rows,
		rule{key: func(s *side, t *thing) (key, bool) {
			name := t.item.Row.Decl.Name.Value
			return key{pair: s.number(t.item.Row.Plot.Decl), a: name}, name != ""
		}},
		rule{key: func(s *side, t *thing) (key, bool) {
			return key{pair: s.number(t.item.Row.Plot.Decl), x: spot(t.item.Row.Center)}, true
		}},
		rule{key: func(s *side, t *thing) (key, bool) {
			k := key{pair: s.number(t.item.Row.Plot.Decl), a: s.contents(t.item.Row.Plantings, true)}
			return k, k.a != ""
		}, grounds: because("the same plantings")},
		rule{key: func(s *side, t *thing) (key, bool) {
			r := t.item.Row
			return key{pair: s.number(r.Plot.Decl), x: int64(r.Number), y: int64(len(r.Plot.Rows))}, r.Decl.Name.Value == ""
		}, grounds: because("the same number in the plot")},
		rule{key: func(s *side, t *thing) (key, bool) {
			k := key{a: s.contents(t.item.Row.Plantings, true)}
			return k, k.a != ""
		}, grounds: because("the same plantings")},
		rule{key: func(_ *side, t *thing) (key, bool) {
			name := t.item.Row.Decl.Name.Value
			return key{a: name}, name != ""
		}, grounds: because("the same name")},
	)
	c.close(rows)
}

func sized(p *derive.Plot) key {
	return key{x: spot(p.Decl.Length.Value.SI), y: spot(p.Decl.Width.Value.SI)}
}

// plantings lists what stands in a plot.
func plantings(p *derive.Plot) []*derive.Planting {
	var all []*derive.Planting
	for _, r := range p.Rows {
		all = append(all, r.Plantings...)
	}
	return all
}

// contents says what a plot or row grows, in no order: crops and days, and with places where along the row.
func (s *side) contents(all []*derive.Planting, places bool) string {
	list := make([]string, len(all))
	for i, p := range all {
		list[i] = s.growing(p)
		if places {
			list[i] += "|" + strconv.FormatInt(spot(p.First), 36)
		}
	}
	slices.Sort(list)
	return strings.Join(list, "\n")
}

// growing says what a planting is: its crop and day.
func (s *side) growing(p *derive.Planting) string {
	return p.Decl.Crop.Name + "|" + p.Decl.Crop.Variety + "|" + strconv.FormatInt(s.day(p.Plant), 36)
}

// commonPlace is in how many plots of a farm the same planting may stand before it says nothing of which plot is
// which.
const commonPlace = 8

// matchPlotsByVote pairs plots that share at least half of what each of them grows, those that share most first.
func (c *comparison) matchPlotsByVote(k *kind) {
	olds, news := open(k.sides[0]), open(k.sides[1])
	if len(olds) == 0 || len(news) == 0 {
		return
	}
	where := func(s *side, all []*thing) map[string][]*thing {
		m := map[string][]*thing{}
		for _, t := range all {
			for _, p := range plantings(t.item.Plot) {
				g := s.growing(p)
				m[g] = append(m[g], t)
			}
		}
		return m
	}
	type couple struct{ from, to *thing }
	shared := map[couple]int{}
	was := where(&c.from, olds)
	for g, to := range where(&c.to, news) {
		if from := was[g]; len(from) <= commonPlace && len(to) <= commonPlace {
			seen := map[couple]int{}
			for _, a := range from {
				seen[couple{from: a}]++
			}
			for _, b := range to {
				seen[couple{to: b}]++
			}
			for _, a := range slices.Compact(slices.Clone(from)) {
				for _, b := range slices.Compact(slices.Clone(to)) {
					shared[couple{a, b}] += min(seen[couple{from: a}], seen[couple{to: b}])
				}
			}
		}
	}
	var list []couple
	for p, n := range shared {
		if 2*n >= len(plantings(p.from.item.Plot)) && 2*n >= len(plantings(p.to.item.Plot)) {
			list = append(list, p)
		}
	}
	// Both ways round the same: of two couples that tie in all of this, neither stands in the other's way.
	slices.SortFunc(list, func(a, b couple) int {
		return cmp.Or(cmp.Compare(shared[b], shared[a]), cmp.Compare(a.from.at+a.to.at, b.from.at+b.to.at),
			cmp.Compare(distance(a.from.at, a.to.at), distance(b.from.at, b.to.at)), cmp.Compare(a.from.at, b.from.at))
	})
	for _, p := range list {
		if p.from.pair == nil && p.to.pair == nil {
			c.join(k, p.from, p.to, fmt.Sprintf("%d of its %s are the same", shared[p], counted(len(plantings(p.to.item.Plot)), "planting")))
		}
	}
}

func distance(a, b int) int { return max(a-b, b-a) }

// counted gives "1 planting", "3 plantings".
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}
