// Package diff says what changed between two farms and what follows from it. In go the facts and findings of
// both; out comes a list of typed changes, each with the values before and after, the difference that it makes
// to plants, water, cost and the like, and the findings that came and went with it.
//
// Things are matched by what they are, never by the text that declares them: plots and zones by name, rows by
// name, then by plot and place, plantings by crop, place and date, everything else by its name or by what it
// belongs to. What is left over is matched by what it holds, and the change says so (Grounds). So the order of
// the text, its layout, helper functions and the units that lengths are written in are no change. Where two
// plans are of different years, days are compared within their years.
//
// Diff first lists the things of both farms (thing.go), pairs them (match.go, ground.go, planting.go,
// other.go), compares each pair field by field (shape.go, compare.go), and then settles which change answers for
// every difference in the totals (total.go, effect.go) and in the findings (finding.go). Reversed, it gives the
// same changes with the roles exchanged.
package diff

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/stdlib/quantity"
)

// Side is one of the two farms.
type Side struct {
	Facts    *derive.Facts
	Findings []diag.Diagnostic
}

// Type says what kind of change happened to a thing.
type Type uint8

// Types of changes. Reversed, Added is Removed and Split is Joined; all others stay what they are.
const (
	Added Type = iota
	Removed
	Split       // a plot that another one's plantings went to
	Joined      // a plot whose plantings went to another one
	Renamed     // has another name
	Moved       // stands elsewhere
	Resized     // has another length, width, spacing or number of plants
	Rescheduled // happens on other days
	Replaced    // another crop or variety stands there
	Rezoned     // is watered otherwise
	Refed       // is fed otherwise
	Resupported
	Reprotected
	Changed  // anything else that the plan says of it
	Affected // the plan says the same of it, and yet its figures differ
)

func (t Type) String() string {
	return [...]string{"added", "removed", "split", "joined", "renamed", "moved", "resized", "rescheduled", "replaced",
		"re-zoned", "re-fed", "re-supported", "re-protected", "changed", "affected"}[t]
}

// TallyTypes counts changes by their weightiest type: "2 added, 1 moved".
func TallyTypes(changes []*Change) string {
	counts := map[Type]int{}
	var types []Type
	for _, c := range changes {
		if counts[c.Types[0]]++; counts[c.Types[0]] == 1 {
			types = append(types, c.Types[0])
		}
	}
	slices.Sort(types)
	words := make([]string, len(types))
	for i, t := range types {
		words[i] = fmt.Sprintf("%d %s", counts[t], t)
	}
	return strings.Join(words, ", ")
}

// Diff is what changed from Old to New.
type Diff struct {
	Old, New Side
	Changes  []*Change // plot by plot in the order of the new plan, the farm itself last
	Totals   []*Total  // of both farms, those that are nothing in both left out
	Goods    []Good    // things to buy more or less of
	Gained   []*Finding
	Lost     []*Finding
}

// Same tells whether nothing changed.
func (d *Diff) Same() bool { return len(d.Changes) == 0 }

// Change is what happened to one thing.
type Change struct {
	Types    []Type       // the weightiest first, at least one
	Old, New *Thing       // one of them nil when it was added or removed
	Plot     *derive.Plot // that it is told under: the new farm's, the old one's where it is gone; nil for the whole farm
	Grounds  string       // why the two are taken for the same, or for parts of each other, where their names do not say it
	Aspects  []Aspect
	Effects  []Effect   // by the order of Diff.Totals
	Gained   []*Finding // that name this thing; for the farm, those that name nothing that changed
	Lost     []*Finding

	sums []sum // by total
}

// Is tells whether the change is of a type, among others.
func (c *Change) Is(t Type) bool { return slices.Contains(c.Types, t) }

// Thing gives what changed as it is now, or as it was when it is gone.
func (c *Change) Thing() *Thing {
	if c.New != nil {
		return c.New
	}
	return c.Old
}

// Aspect is one value of a thing, before and after, as the farm's people would say it.
type Aspect struct {
	Type     Type
	Name     string // "length", "first harvest", "tape flow"
	Old, New string // "" where there was, or is, none
}

// Thing is a plot, a row, a planting or whatever else a plan declares.
type Thing struct {
	Kind  string      // "plot", "row", "planting", "zone", ...; "farm" for the farm itself
	Title string      // "Lower bench, row 3, kale"
	Item  derive.Item // set for plots, rows and plantings
}

// Compare gives the changes that lead from one farm to another.
func Compare(from, to Side) *Diff {
	c := newComparison(from, to)
	c.matchGround()
	c.matchPlantings()
	c.matchOthers()
	c.compareAll()
	c.findCuts()
	d := &Diff{Old: from, New: to}
	c.settleFindings(d)
	if len(c.changes) == 0 {
		return d // the same declarations: what else differs is the noise of sums taken in another order
	}
	c.settleTotals(d)
	c.finish(d)
	return d
}

// units are those that both sides are told in.
func (c *comparison) units() quantity.System { return c.to.facts.Farm.Units }
