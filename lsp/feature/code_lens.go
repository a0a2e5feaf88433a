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

// Lenses gives the totals of each plot over the call that makes it: rows, plants and what is left.
func (d *Doc) Lenses() []Lens {
	var lenses []Lens
	if d.Plan == nil || d.Plan.Facts == nil {
		return nil
	}
	var calls []source.Span
	byCall := map[source.Span][]*derive.Plot{}
	for _, p := range d.Plan.Facts.Plots {
		call := p.Decl.Call
		if !call.IsValid() || call.File.Path != d.File.Path {
			continue
		}
		if byCall[call] == nil {
			calls = append(calls, call)
		}
		byCall[call] = append(byCall[call], p)
	}
	slices.SortFunc(calls, source.Span.Compare)
	for _, call := range calls {
		lens := Lens{Title: d.totals(byCall[call])}
		now, ok := d.Now(call)
		if lens.Span = now; !ok {
			lens.Span, lens.Title, lens.Stale = d.plotCall(now.Start), "was "+lens.Title, true
		}
		if lens.Span.IsValid() {
			lenses = append(lenses, lens)
		}
	}
	return lenses
}

// plotCall gives the call of plot in the statement at a place; no place when there is none.
func (d *Doc) plotCall(at source.Point) source.Span {
	for _, c := range d.Part(at).Calls() {
		if c.Name == kindPlot && c.Receiver == "" {
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
