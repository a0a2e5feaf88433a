package check

import (
	"cmp"
	"fmt"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/diag"
)

var unlikeNeeds = &diag.Rule{
	Code: "unlike-needs-share-a-valve", Severity: diag.Warning,
	Summary: "rows behind one valve need very different run times",
	Explain: `A valve is open for all its rows alike. Each row's thirst is the time that its tapes must run for a given weather
once what grows in it has closed its leaves: wide rows and leafy crops want long, narrow ones and two tapes little.
When, of the rows that grow at the same time, the thirstiest wants more than one and a half times as long as the
one that wants least, what is enough for one drowns the other. That a row is younger than its neighbor does not
count: it catches up, and its coupling shuts it until then.

Give the two kinds a valve each (the message says where the needs part and what that saves), or lay a second tape
in the thirsty rows.`,
	Example: wateredCorn("") + `sow(row(bench, at = 9 * ft, zone = fruiting), radish, fill = True, on = "2027-06-25")
`,
	Source: "FAO-56 crop water need; one and a half times: common practice",
}

// unlikeTimes is how many times as long the thirstiest row may want its valve open as the one that wants least.
const unlikeTimes = 1.5

// valves holds the rows behind one valve against one another, in the week in which those that grow differ most.
func (p *pass) valves() {
	p.solved(func(z *derive.ZoneWater) {
		at, worst := -1, unlikeTimes
		for week := range z.Weeks {
			rows := thirsty(z, week)
			if len(rows) < 2 {
				continue
			}
			least, most := slices.MinFunc(rows, byThirst), slices.MaxFunc(rows, byThirst)
			if by := most.Thirst / least.Thirst; by > worst*(1+1e-9) {
				at, worst = week, by
			}
		}
		if at >= 0 {
			p.unlike(z, thirsty(z, at))
		}
	})
}

func byThirst(a, b *derive.RowWater) int { return cmp.Compare(a.Thirst, b.Thirst) }

// thirsty are the rows in which something grows in a week.
func thirsty(z *derive.ZoneWater, week int) []*derive.RowWater {
	var rows []*derive.RowWater
	for _, r := range z.Rows {
		if r.Thirst > 0 && r.Weeks[week].Dry > 0 {
			rows = append(rows, r)
		}
	}
	return rows
}

func (p *pass) unlike(z *derive.ZoneWater, rows []*derive.RowWater) {
	slices.SortStableFunc(rows, byThirst)
	least, most := rows[0], rows[len(rows)-1]
	cut := split(rows)
	lesser, sent := map[*derive.RowWater]bool{}, z.Sent
	for _, r := range rows[:cut] {
		lesser[r] = true
	}
	apart := sentThrough(z, func(r *derive.RowWater) bool { return lesser[r] }) + sentThrough(z, func(r *derive.RowWater) bool { return !lesser[r] })
	week := p.facts.Water.Climate[z.DryPeak].Reference
	p.report(&z.Decl.Decl, zoneName(z), diag.Diagnostic{
		Rule: unlikeNeeds,
		Message: fmt.Sprintf("when grown, %s wants %s open for %s in a dry week and %s only %s. A valve of its own for %s would save %s of the season's %s",
			thirstiest(most), zoneName(z), hours(most.Thirst*week), thirstiest(least), hours(least.Thirst*week),
			count(cut, "the row that wants least", "the %d rows that want least"), p.volume(max(0, sent-apart)), p.volume(sent)),
		Primary: diag.Label{Span: z.Decl.Name.Span, Text: fmt.Sprintf("%.1f times as long", most.Thirst/least.Thirst)},
		Related: append(labels(diag.Label{Span: most.Row.Decl.Call, Text: "wants " + hours(most.Thirst*week)}, z.Decl.Name.Span),
			labels(diag.Label{Span: least.Row.Decl.Call, Text: "wants " + hours(least.Thirst*week)}, z.Decl.Name.Span)...),
		Values: []diag.Value{{Name: "longest", Text: hours(most.Thirst * week)}, {Name: "shortest", Text: hours(least.Thirst * week)}},
	})
}

// split is where sorted rows part most: the number of those that want less.
func split(rows []*derive.RowWater) int {
	at, widest := 1, 0.0
	for i := 1; i < len(rows); i++ {
		if step := rows[i].Thirst / rows[i-1].Thirst; step > widest {
			at, widest = i, step
		}
	}
	return at
}

// sentThrough is what some of a zone's rows would take in the season behind a valve of their own.
func sentThrough(z *derive.ZoneWater, these func(*derive.RowWater) bool) float64 {
	sum := 0.0
	for week := range z.Weeks {
		time, flow := 0.0, 0.0
		for _, r := range z.Rows {
			if r.Weeks != nil && r.Weeks[week].Time > 0 && these(r) {
				time, flow = max(time, r.Weeks[week].Time), flow+r.Flow
			}
		}
		sum += time * flow
	}
	return sum
}

// thirstiest names a row with the planting that makes it thirsty.
func thirstiest(r *derive.RowWater) string {
	var most *derive.PlantingWater
	for _, n := range r.Plantings {
		if n.Unknown == "" && (most == nil || n.Curve.Mid*n.Strip > most.Curve.Mid*most.Strip) {
			most = n
		}
	}
	if most == nil {
		return rowName(r.Row)
	}
	return where(most.Planting)
}
