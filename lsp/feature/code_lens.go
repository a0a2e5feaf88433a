package feature

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/source"
)

// Lens is a line of words over a statement.
type Lens struct {
	Span  source.Span // of the call that it is about
	Title string
	Stale bool // worked out before the statement was edited; the title says so
}

// Lenses gives the totals of each plot over the call that makes it, rows, plants and what is left, and of
// each zone: rows, and what it takes of its source.
func (d *Doc) Lenses() []Lens {
	var lenses []Lens
	if d.Plan == nil || d.Plan.Facts == nil {
		return nil
	}
	lenses = d.lensesOver(kindPlot, len(d.Plan.Facts.Plots), func(i int) source.Span { return d.Plan.Facts.Plots[i].Decl.Call },
		func(at []int) string { return d.totals(pick(d.Plan.Facts.Plots, at)) })
	if w := d.Plan.Facts.Water; w != nil {
		lenses = append(lenses, d.lensesOver(kindZone, len(w.Zones), func(i int) source.Span { return w.Zones[i].Decl.Call },
			func(at []int) string { return d.zoneTotals(pick(w.Zones, at)) })...)
	}
	lenses = append(lenses, d.sinceLenses()...)
	lenses = append(lenses, d.pastLenses()...)
	slices.SortStableFunc(lenses, func(a, b Lens) int { return a.Span.Compare(b.Span) })
	return lenses
}

// lensesOver gives a lens for each call of a built-in that made things here; title gets those of one call.
func (d *Doc) lensesOver(builtin string, things int, call func(i int) source.Span, title func(at []int) string) []Lens {
	var calls []source.Span
	byCall := map[source.Span][]int{}
	for i := range things {
		c := call(i)
		if !c.IsValid() || c.File.Path != d.File.Path {
			continue
		}
		if byCall[c] == nil {
			calls = append(calls, c)
		}
		byCall[c] = append(byCall[c], i)
	}
	var lenses []Lens
	for _, c := range calls {
		lens := Lens{Title: title(byCall[c])}
		now, ok := d.Now(c)
		if lens.Span = now; !ok {
			lens.Span, lens.Title, lens.Stale = d.callOf(builtin, now.Start), "was "+lens.Title, true
		}
		if lens.Span.IsValid() {
			lenses = append(lenses, lens)
		}
	}
	return lenses
}

func pick[T any](list []T, at []int) []T {
	out := make([]T, len(at))
	for i, n := range at {
		out[i] = list[n]
	}
	return out
}

// callOf gives the call of a built-in in the statement at a place; no place when there is none.
func (d *Doc) callOf(builtin string, at source.Point) source.Span {
	for _, c := range d.Part(at).Calls() {
		if c.Name == builtin && c.Receiver == "" {
			return c.Span
		}
	}
	return source.Span{}
}

// totals sums plots up: "6 rows, 214 plants, 12 ft left".
func (d *Doc) totals(plots []*derive.Plot) string {
	rows, plants, free := 0, 0, 0.0
	for _, p := range plots {
		rows += len(p.Rows)
		plants += p.Plants
		free += p.FreeLength
	}
	var words []string
	if len(plots) > 1 {
		words = append(words, counted(len(plots), "plot"))
	}
	words = append(words, counted(rows, "row"), counted(plants, "plant"))
	if free >= leastLeft {
		words = append(words, fmt.Sprintf("%s left", d.length(free)))
	}
	return strings.Join(words, ", ")
}

// zoneTotals sums zones up: "12 rows, 4.56 of 11 gpm, needs 1970 gal, week of Aug 2". Several zones of one call are
// open one after the other, so that only their rows and their need add up.
func (d *Doc) zoneTotals(zones []*derive.ZoneWater) string {
	rows := 0
	for _, z := range zones {
		rows += len(z.Rows)
	}
	var words []string
	if len(zones) > 1 {
		words = append(words, counted(len(zones), "zone"))
	}
	words = append(words, counted(rows, "row"))
	if len(zones) == 1 && flows(zones[0]) {
		words = append(words, d.ofSource(zones[0]))
	}
	if need := d.needing(d.zoneNeed(zones)); need != "" {
		words = append(words, need)
	}
	return strings.Join(words, ", ")
}
