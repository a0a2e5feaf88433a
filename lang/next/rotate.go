package next

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/plan"
	"haulm/lang/report"
	"haulm/stdlib/quantity"
)

// search finds where what grew last year goes. The rule: plots pass all that grows in them to the next plot in the
// order of declaration, or to the one after, until the checks find no family too soon; where no such way round
// does, plots pass it to whichever plots leave the fewest; where no plot can take it, it stays. Where some are left,
// what stands in the rows of the plot moves on by as many rows as leaves the fewest. Crops that stand for years keep their place.
type search struct {
	*draft
	ctx  context.Context
	o    Options
	rows int // written in all tries so far
}

// tried is what the checks say of a layout.
type tried struct {
	layout *layout
	score
	at    map[*farm.Plot]*score            // of the findings in each plot's section
	early map[*farm.Plot][]diag.Diagnostic // of families too soon
}

// score counts findings: errors, families too soon, other warnings.
type score struct{ errors, soon, warnings int }

func (s score) less(t score) bool {
	switch {
	case s.errors != t.errors:
		return s.errors < t.errors
	case s.soon != t.soon:
		return s.soon < t.soon
	}
	return s.warnings < t.warnings
}

func (s *score) count(f *diag.Diagnostic) {
	switch {
	case f.Rule.Severity == diag.Error:
		s.errors++
	case f.Rule.Code == tooSoon:
		s.soon++
	case f.Rule.Severity == diag.Warning:
		s.warnings++
	}
}

const tooSoon = "same-family-too-soon"

// mostRows bounds the rows that all tries together write and check.
const mostRows = 30_000

// mayTry tells whether there is time for one more try.
func (s *search) mayTry() bool { return s.rows < mostRows && s.ctx.Err() == nil }

func (s *search) check(t *text) *plan.Snapshot {
	return plan.Check(s.ctx, s.o.Over(s.o.At, t.string), s.o.At)
}

func (s *search) try(l *layout) *tried {
	s.rows += len(s.farm.Rows) + 1
	t := s.write(l)
	r := &tried{layout: l, at: map[*farm.Plot]*score{}, early: map[*farm.Plot][]diag.Diagnostic{}}
	for _, p := range s.farm.Plots {
		r.at[p] = &score{}
	}
	for _, f := range s.check(t).Findings {
		r.count(&f)
		line := int(f.Primary.Span.Start.Line) - 1
		if line < 0 || line >= len(t.plots) || t.plots[line] == nil {
			continue
		}
		p := t.plots[line]
		r.at[p].count(&f)
		if f.Rule.Code == tooSoon {
			r.early[p] = append(r.early[p], f)
		}
	}
	return r
}

// find gives the layout to write.
func (s *search) find() *layout {
	stay := s.try(&layout{})
	best := stay
	for _, along := range []bool{false, true} {
		if along && (best != stay && best.soon == 0 && best.warnings <= stay.warnings || !s.hasZones()) {
			break
		}
		if t := s.passOn(stay, along); t != nil && better(t, best, stay) {
			best = t
		}
	}
	return s.turnRows(best).layout
}

// better tells whether a layout is to be preferred: to staying also when the checks like both alike.
func better(t, best, stay *tried) bool {
	return t.errors == 0 && (t.less(best.score) || best == stay && t.score == best.score)
}

func (s *search) hasZones() bool {
	return slices.ContainsFunc(s.farm.Rows, func(r *farm.Row) bool { return r.Zone != nil })
}

// movable are the plots that can pass on what grows in them.
func (s *search) movable() []*farm.Plot {
	var plots []*farm.Plot
	for _, p := range s.farm.Plots {
		if !slices.ContainsFunc(s.rowsOf[p], func(r *farm.Row) bool { return slices.ContainsFunc(s.plantedIn[r], stays) }) {
			plots = append(plots, p)
		}
	}
	return plots
}

// passOn tries every way round, and then the best of all ways by what they told of each plot; nil when there are not
// two plots.
func (s *search) passOn(stay *tried, along bool) *tried {
	plots := s.movable()
	n := len(plots)
	if n < 2 {
		return nil
	}
	costs := make([][]score, n) // of what grows in a plot, in another one
	for i, p := range plots {
		costs[i] = make([]score, n)
		for j := range costs[i] {
			costs[i][j] = score{errors: 1}
		}
		costs[i][i] = *stay.at[p]
	}
	var best *tried
	for k := 1; k < n && s.mayTry(); k++ {
		l := &layout{to: map[*farm.Plot]*farm.Plot{}, along: along}
		for i, p := range plots {
			l.to[p] = plots[(i+k)%n]
		}
		t := s.try(l)
		for i := range plots {
			costs[i][(i+k)%n] = *t.at[plots[(i+k)%n]]
		}
		if best == nil || better(t, best, nil) || best.errors > 0 && t.less(best.score) {
			best = t
		}
	}
	if best == nil || best.score.errors == 0 && best.soon == 0 {
		return best
	}
	l := &layout{to: map[*farm.Plot]*farm.Plot{}, along: along}
	for i, j := range assign(costs) {
		if i != j {
			l.to[plots[i]] = plots[j]
		}
	}
	if t := s.try(l); t.less(best.score) {
		best = t
	}
	return best
}

// mostAssigned is the most plots among which the best of all ways is looked for.
const mostAssigned = 12

// assign gives the one-to-one way with the least sum, of equal ones the first; by sets of columns taken, so it is for
// few. With more, every row keeps its own.
func assign(costs [][]score) []int {
	n := len(costs)
	way := make([]int, n)
	for i := range way {
		way[i] = i
	}
	if n > mostAssigned {
		return way
	}
	sum := make([]score, 1<<n) // least for the rows after the first so many, with these columns taken
	take := make([]int, 1<<n)
	for taken := 1<<n - 2; taken >= 0; taken-- {
		i := ones(taken)
		take[taken] = -1
		for j := range n {
			if taken&(1<<j) != 0 {
				continue
			}
			rest := sum[taken|1<<j]
			c := costs[i][j]
			total := score{c.errors + rest.errors, c.soon + rest.soon, c.warnings + rest.warnings}
			if take[taken] < 0 || total.less(sum[taken]) {
				sum[taken], take[taken] = total, j
			}
		}
	}
	taken := 0
	for i := range n {
		way[i] = take[taken]
		taken |= 1 << way[i]
	}
	return way
}

func ones(v int) int {
	n := 0
	for ; v != 0; v &= v - 1 {
		n++
	}
	return n
}

// turnRows moves what stands in the rows of plots that stay and would have a family too soon.
func (s *search) turnRows(best *tried) *tried {
	for _, p := range s.farm.Plots {
		if len(best.early[best.layout.target(p)]) == 0 {
			continue
		}
		most := 0
		for _, g := range s.groups(p) {
			most = max(most, len(g))
		}
		from := best
		for k := 1; k < most && s.mayTry(); k++ {
			l := &layout{to: from.layout.to, along: from.layout.along, turn: map[*farm.Plot]int{p: k}}
			for q, k := range from.layout.turn {
				l.turn[q] = k
			}
			if t := s.try(l); t.errors == 0 && t.less(best.score) {
				best = t
			}
		}
	}
	return best
}

// tell writes what was chosen at the head of each plot's section.
func (s *search) tell(l *layout) {
	t := s.try(l)
	from := map[*farm.Plot]*farm.Plot{}
	for p, to := range l.to {
		from[to] = p
	}
	for _, p := range s.farm.Plots {
		var lines []string
		switch q := from[p]; {
		case q != nil && q != p && len(s.rowsOf[q]) == 0:
			lines = append(lines, fmt.Sprintf("Nothing grows here this year, as nothing did in %s.", report.InComment(q.Name.Value)))
		case q != nil && q != p:
			lines = append(lines, fmt.Sprintf("What grew in %s comes here%s.", report.InComment(q.Name.Value), s.families(q)))
			if was, is := within(q), within(p); len(s.rowsOf[q]) > 0 && math.Abs(was-is) > 0.01*was {
				units := s.farm.Units
				lines = append(lines, fmt.Sprintf("Rows from end to end are %s long here and were %s there: see what is planted and picked.",
					units.Short(quantity.Meters(is)), units.Short(quantity.Meters(was))))
			}
			if k := l.turn[q]; k > 0 {
				lines = append(lines, fmt.Sprintf("What stood in its rows moves on by %s of equal length on the way.", rowsWord(k)))
			}
			if l.along && s.hasZones() {
				lines = append(lines, "Its rows keep their valves: the lines to them have another way to go now.")
			}
		case l.turn[p] > 0:
			lines = append(lines, fmt.Sprintf("What stands in the rows moves on by %s of equal length; the beds go with it.", rowsWord(l.turn[p])))
		case len(s.rowsOf[p]) > 0 && len(t.early[p]) > 0:
			lines = append(lines, "No other plot can take what grows here without more findings, so it stays.")
		}
		for _, f := range t.early[p] {
			said, _, _ := strings.Cut(f.Message, ". It could go to")
			lines = append(lines, "Too soon: "+report.InComment(said)+".")
		}
		s.told[p] = lines
	}
}

// within is the length of a plot between its headlands, m.
func within(p *farm.Plot) float64 { return p.Length.Value.SI - 2*p.Headland.Value.SI }

func rowsWord(n int) string {
	if n == 1 {
		return "one row"
	}
	return fmt.Sprintf("%d rows", n)
}

// families names those that grow in a plot, in the order of its plantings: ": Solanaceae, Fabaceae".
func (s *search) families(p *farm.Plot) string {
	var names []string
	for _, r := range s.rowsOf[p] {
		for _, pl := range s.plantedIn[r] {
			if f := pl.Crop.Family; f != "" && !slices.Contains(names, f) {
				names = append(names, f)
			}
		}
	}
	if len(names) == 0 {
		return ""
	}
	return ": " + strings.Join(names, ", ")
}
