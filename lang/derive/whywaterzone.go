package derive

import (
	"fmt"
	"strconv"

	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
	"haulm/stdlib/water"
)

// Why gives the reckonings of the zone: its flow and pressure, how even it is, how long it is open in the week
// that takes longest and how that is split, and its water of the season.
func (z *ZoneWater) Why() []Reckoning {
	flow := Reckoning{Title: "Flow", Equation: "what its emitters pass at the pressure that is left for them"}
	if z.Unsolved != "" {
		flow.Result = "not known: " + z.Unsolved
		return []Reckoning{flow}
	}
	t := z.Rows[0].Row.Plot.teller()
	out := []Reckoning{z.whyFlow(t), z.whyEvenness(t)}
	if z.Peak >= 0 {
		out = append(out, z.whyOpen(t))
	}
	if z.Plan != nil {
		out = append(out, z.whyPlan(t))
	}
	if z.Weeks != nil {
		out = append(out, z.whySeason(t))
	}
	return out
}

func (z *ZoneWater) whyFlow(t teller) Reckoning {
	g, d := z.Group, z.Decl
	s := z.Source.Decl
	r := Reckoning{
		Title: "Flow",
		Equation: "source - supply - filter, held by the regulator, then along the header and every tape, until each emitter passes " +
			"q = k h^x and all flows add up",
		Inputs: []Input{
			planned("source pressure", t.u.Format(s.Pressure.Value), s.Pressure.Span),
			planned("source flow", t.u.Format(s.Flow.Value), s.Flow.Span),
		},
		Source: "Newton's rule on all pressures at once, " + strconv.Itoa(g.Iterations) + " rounds",
	}
	if g.Limited {
		r.Inputs = append(r.Inputs,
			seen("what the rows would take", t.flow(g.Wants), "more than the source gives"),
			seen("pressure that the source falls to", t.pressure(g.Pressure), "so that they take no more"))
	}
	if len(g.Zones) > 1 {
		names := ""
		for _, other := range g.Zones {
			if other != z {
				names += ", " + other.Decl.Name.Value
			}
		}
		r.Inputs = append(r.Inputs, planned("open with it", names[2:], d.Together.Span))
	}
	lossInput := func(name string, run Run) {
		if run.Pipe == nil {
			return
		}
		r.Inputs = append(r.Inputs, planned(name, fmt.Sprintf("%s of %s, %s inside: takes %s at %s, %s", t.u.Format(run.Pipe.Length.Value),
			run.Pipe.Material.Value, t.u.Short(run.Pipe.InsideDiameter.Value), t.pressure(run.Loss), t.flow(run.Flow), t.speed(run.Speed)), run.Pipe.Call))
	}
	lossInput("supply", z.Supply)
	if z.Filter > 0 {
		r.Inputs = append(r.Inputs, planned("filter", t.pressure(z.Filter), d.Filter.Span))
	}
	if given(&d.Regulator, quantity.Pressure) > 0 {
		r.Inputs = append(r.Inputs, planned("regulator", fmt.Sprintf("%s comes in, %s goes on", t.pressure(z.Before), t.pressure(z.After)), d.Regulator.Span))
	}
	lossInput("header", z.Header)
	if z.Supply.Pipe != nil || z.Header.Pipe != nil {
		r.Source += "; pipes by " + water.HazenWilliams.String()
	}
	rows := "1 row"
	if len(z.Rows) != 1 {
		rows = strconv.Itoa(len(z.Rows)) + " rows"
	}
	r.Result = fmt.Sprintf("%s through %d emitters in %s; %s at the header", t.flow(z.Flow), z.Emitters, rows, t.pressure(z.After))
	return r
}

func (z *ZoneWater) whyEvenness(t teller) Reckoning {
	return Reckoning{
		Title:    "Evenness (emission uniformity)",
		Equation: "(1 - 1.27 spread) × least emitter / mean emitter, over all rows",
		Inputs: []Input{
			seen("spread of the emitters", t.share(emitterSpread), "measured on new tape (thesis, repository tdl-ir, record 84ae1eae)"),
			seen("least pressure", t.pressure(z.Least), "in "+Item{Row: z.LeastRow.Row}.Title()),
			seen("most pressure", t.pressure(z.Most), "in "+Item{Row: z.MostRow.Row}.Title()),
			seen("recommended", t.share(z.Wanted.Low)+" to "+t.share(z.Wanted.High), "ASABE EP405.1, line source (memory)"),
		},
		Result: t.share(z.EU), Source: "ASABE EP405.1",
	}
}

func (z *ZoneWater) monday(i int) season.Date { return z.water.Weeks[i] }

func (z *ZoneWater) whyOpen(t teller) Reckoning {
	w := z.Weeks[z.Peak]
	row := w.Most
	r := Reckoning{
		Title:    "Open, " + t.week(z.monday(z.Peak)),
		Equation: "so long that the neediest row gets its water; rows that need none are shut",
		Inputs: []Input{
			seen(Item{Row: row.Row}.Title(), fmt.Sprintf("%s at %s", t.volume(row.Weeks[z.Peak].Need), t.flow(row.Flow)), "see the row"),
			seen("rows open", strconv.Itoa(w.Open), "see the rows"),
			seen("what they need", t.volume(w.Need), "see the rows"),
		},
		Result: fmt.Sprintf("%s, %s sent", OpenTime(w.Time), t.volume(w.Sent)), Source: commonPractice,
	}
	if w.Least != row {
		r.Inputs = append(r.Inputs, seen("row that needs least, "+Item{Row: w.Least.Row}.Title(), OpenTime(w.Least.Weeks[z.Peak].Time), "see the row"))
	}
	if z.DryPeak >= 0 {
		r.Inputs = append(r.Inputs, seen("if no rain fell", fmt.Sprintf("%s in the %s", OpenTime(z.Weeks[z.DryPeak].Dry), t.week(z.monday(z.DryPeak))), "see the rows"))
	}
	return r
}

func (z *ZoneWater) whyPlan(t teller) Reckoning {
	p := z.Plan
	r := Reckoning{
		Title:    "Openings, " + t.week(z.monday(z.Peak)),
		Equation: "as many whole days apart as the wetted ground carries its plants, each split so that no run goes below the roots",
		Inputs: []Input{
			seen("ground that lasts shortest", Item{Row: p.Sets.Row}.Title(), "see its Wetted ground"),
			seen("longest run", fmt.Sprintf("%s in %s", OpenTime(p.Splits.Wetting.Longest), Item{Row: p.Splits.Row}.Title()), "see its Wetted ground"),
		},
		Source: "FAO-56 Eq. 82 and 83; " + commonPractice,
	}
	switch {
	case p.PerDay > 1:
		r.Result = fmt.Sprintf("%d times a day, %s each", p.PerDay, OpenTime(p.Opening))
	case p.Days == 1:
		r.Result = "every day, " + OpenTime(p.Opening)
	default:
		r.Result = fmt.Sprintf("every %d days, %s", p.Days, OpenTime(p.Opening))
	}
	if p.Pulses > 1 {
		r.Result += fmt.Sprintf(" in %d pulses", p.Pulses)
	}
	return r
}

func (z *ZoneWater) whySeason(t teller) Reckoning {
	return Reckoning{
		Title:    "Water of the season",
		Equation: "sum of the weeks' time × flow of the rows that are open",
		Inputs:   []Input{seen("what the rows need", t.volume(z.Need), "see the rows")},
		Result:   t.volume(z.Sent), Source: commonPractice,
	}
}
