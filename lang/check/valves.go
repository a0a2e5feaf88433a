package check

import (
	"cmp"
	"fmt"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/stdlib/season"
)

var unlikeNeeds = &diag.Rule{
	Code: "unlike-needs-share-a-valve", Severity: diag.Warning,
	Summary: "rows behind one valve need very different run times",
	Explain: `A valve is open for all its rows alike. Week by week each growing row's need is divided by what its tapes
give in an hour; when, in a week that takes at least half as long as the neediest, the neediest row wants more than one and a half times as long as the one
that wants least, what is enough for one drowns the other.

Give the two kinds a valve each (the message says where the needs part and what that saves), lay a second tape
in the thirsty rows, or shut the others by hand.`,
	Example: wateredCorn("") + `sow(row(bench, at = 9 * ft, zone = fruiting), radish, fill = True, on = "2027-06-25")
`,
	Source: "FAO-56 crop water need; one and a half times: common practice",
}

// unlikeTimes is how many times as long the neediest row may want its valve open as the least needy.
const unlikeTimes = 1.5

// rowTime is a row with the time it wants its valve open.
type rowTime struct {
	row  *derive.RowWater
	time float64
}

// valves holds the rows behind one valve against one another, in the week in which they differ most among
// those that take at least half as long as the neediest.
func (p *pass) valves() {
	p.solved(func(z *derive.ZoneWater) {
		if z.Peak < 0 || len(z.Rows) < 2 {
			return
		}
		at, worst := -1, unlikeTimes
		for week := range z.Weeks {
			if z.Weeks[week].Time < z.Weeks[z.Peak].Time/2 {
				continue
			}
			if times := timesOf(z, week); len(times) > 1 {
				if by := times[len(times)-1].time / times[0].time; by > worst {
					at, worst = week, by
				}
			}
		}
		if at >= 0 {
			p.unlike(z, at)
		}
	})
}

// timesOf are the rows that need water in a week, the one that wants least first.
func timesOf(z *derive.ZoneWater, week int) []rowTime {
	var times []rowTime
	for _, r := range z.Rows {
		if r.Unsolved == "" && week < len(r.Weeks) && r.Weeks[week].Time > 0 {
			times = append(times, rowTime{r, r.Weeks[week].Time})
		}
	}
	slices.SortStableFunc(times, func(a, b rowTime) int { return cmp.Compare(a.time, b.time) })
	return times
}

func (p *pass) unlike(z *derive.ZoneWater, at int) {
	times := timesOf(z, at)
	least, most := times[0], times[len(times)-1]
	cut := split(times)
	saved := 0.0
	for _, t := range times[:cut] {
		saved += t.row.Flow * (most.time - times[cut-1].time)
	}
	week := p.facts.Water.Weeks[at]
	p.report(&z.Decl.Decl, zoneName(z), diag.Diagnostic{
		Rule: unlikeNeeds,
		Message: fmt.Sprintf("in the week of %s %s wants %s open for %s and %s only %s. A valve of its own for %s would save %s that week",
			p.day(week), growing(most.row, week), zoneName(z), hours(most.time), growing(least.row, week), hours(least.time),
			count(cut, "the row that wants least", "the %d rows that want least"), p.volume(saved)),
		Primary: diag.Label{Span: z.Decl.Name.Span, Text: fmt.Sprintf("%.1f times as long", most.time/least.time)},
		Related: append(labels(diag.Label{Span: most.row.Row.Decl.Call, Text: "wants " + hours(most.time)}, z.Decl.Name.Span),
			labels(diag.Label{Span: least.row.Row.Decl.Call, Text: "wants " + hours(least.time)}, z.Decl.Name.Span)...),
		Values: []diag.Value{{Name: "longest", Text: hours(most.time)}, {Name: "shortest", Text: hours(least.time)}},
	})
}

// split is where sorted times part most: the number of rows on the lesser side.
func split(times []rowTime) int {
	at, widest := 1, 0.0
	for i := 1; i < len(times); i++ {
		if step := times[i].time / times[i-1].time; step > widest {
			at, widest = i, step
		}
	}
	return at
}

// growing names a row with what grows in it in a week.
func growing(r *derive.RowWater, week season.Date) string {
	for _, pl := range r.Row.Plantings {
		if in, out := pl.Occupied(); in < week+7 && out > week {
			return where(pl)
		}
	}
	return rowName(r.Row)
}
