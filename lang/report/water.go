package report

import (
	"fmt"
	"math"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

func (t *Table) flowUnit() quantity.Unit     { return t.unit("gpm", "lps") }
func (t *Table) pressureUnit() quantity.Unit { return t.unit("psi", "kpa") }
func (t *Table) volumeUnit() quantity.Unit   { return t.unit("gal", "cubic_m") }

func flowCell(v float64) Cell     { return amountCell(quantity.Of(v, quantity.Flow)) }
func pressureCell(v float64) Cell { return amountCell(quantity.Of(v, quantity.Pressure)) }
func volumeCell(v float64) Cell   { return amountCell(quantity.Of(v, quantity.Volume)) }
func shareCell(v float64) Cell {
	return amountCell(quantity.Of(math.Round(v*1000)/1000, quantity.Ratio))
}

// timeCell holds a time that a valve is open, to the minute: nobody turns it off to the second.
func timeCell(seconds float64) Cell {
	return amountCell(quantity.Of(math.Round(seconds/60)*60, quantity.Time))
}

// depth prints a depth of water, given in m, as a rain gauge reads it.
func (t *Table) depth(v float64) string {
	if t.units == quantity.US {
		return fmt.Sprintf("%.2f in", v/0.0254)
	}
	return fmt.Sprintf("%.1f mm", v*1000)
}

// depthCell holds a depth of water in mm, to a hundredth of an inch or a tenth of a millimeter.
func (t *Table) depthCell(mm float64) Cell {
	step := 0.1
	if t.units == quantity.US {
		step = 0.254
	}
	return lengthCell(math.Round(mm/step) * step / 1000)
}

// Water gives one row for each zone, in the order of the plan: its flow and pressures, how evenly it waters,
// what the season takes of it, and its neediest week.
func Water(facts *derive.Facts) Table {
	t := newTable("water", facts)
	t.totalsOut = true
	t.Columns = []Column{
		{Head: "zone", Key: "zone"},
		{Head: "source", Key: "source", keep: 2},
		{Head: "rows", Key: "rows", Right: true},
		{Head: "tape", Key: "tape_length", Unit: t.unit("ft", "m"), Right: true, keep: 6},
		{Head: "emitters", Key: "emitters", Right: true, keep: 1},
		{Head: "flow", Key: "flow", Unit: t.flowUnit(), Right: true},
		{Head: "pressure at heads", Key: "head_pressure", Unit: t.pressureUnit(), Right: true, keep: 5},
		{Head: "least", Key: "least_pressure", Unit: t.pressureUnit(), Right: true, keep: 3},
		{Head: "even", Key: "uniformity", Right: true, keep: 8},
		{Head: "season", Key: "season_volume", Unit: t.volumeUnit(), Right: true, keep: 7},
		{Head: "neediest week", Key: "peak_week", Right: true, optional: true},
		{Head: "open", Key: "peak_time", Unit: t.unit("hours", "hours"), Right: true, optional: true},
		{Head: "as", Key: "peak_plan", optional: true, keep: 4},
	}
	length, sent := 0.0, 0.0
	rows, emitters := 0, 0
	if facts != nil && facts.Water != nil {
		for _, z := range facts.Water.Zones {
			t.Rows = append(t.Rows, zoneRow(facts.Water, z))
			length, sent = length+z.Length, sent+z.Sent
			rows, emitters = rows+len(z.Rows), emitters+z.Emitters
		}
	}
	t.Totals = []Cell{
		textCell("total"), {}, wholeCell(rows), lengthCell(length), wholeCell(emitters), {}, {}, {}, {}, volumeCell(sent), {}, {}, {},
	}
	return t
}

func zoneRow(w *derive.Water, z *derive.ZoneWater) []Cell {
	row := []Cell{textCell(z.Decl.Name.Value), {}, wholeCell(len(z.Rows)), lengthCell(z.Length), {}, {}, {}, {}, {}, {}, {}, {}, {}}
	if z.Source != nil {
		row[1] = textCell(z.Source.Decl.Name.Value)
	}
	if z.Unsolved == "" && z.Group != nil && z.Group.Unsolved == "" {
		row[4], row[5], row[6] = wholeCell(z.Emitters), flowCell(z.Flow), pressureCell(z.After)
		row[7], row[8] = pressureCell(z.Least), shareCell(z.EU)
	}
	if z.Peak >= 0 {
		row[9], row[10], row[11] = volumeCell(z.Sent), dayCell(w.Weeks[z.Peak]), timeCell(z.Weeks[z.Peak].Time)
		row[12] = textCell(openings(z.Plan))
	}
	return row
}

// openings says how a week's time is given: "2 × 40 min every 2 days".
func openings(p *derive.RunPlan) string {
	if p == nil {
		return ""
	}
	every := "daily"
	switch {
	case p.PerDay > 1:
		every = fmt.Sprintf("%d times a day", p.PerDay)
	case p.Days > 1:
		every = fmt.Sprintf("every %d days", p.Days)
	}
	text := derive.OpenTime(p.Opening) + " " + every
	if p.Pulses > 1 {
		text += fmt.Sprintf(" in %d pulses of %s", p.Pulses, derive.OpenTime(p.Pulse))
	}
	return text
}

// Watering gives one row for each week of the season: what the weather asks and brings, and how long each
// valve is open.
func Watering(facts *derive.Facts) Table {
	t := newTable("watering", facts)
	depth := t.unit("inch", "mm")
	hours := t.unit("hours", "hours")
	t.Columns = []Column{
		{Head: "week of", Key: "week", Right: true},
		{Head: "reference ET", Key: "reference_et", Unit: depth, Right: true, Depth: true, optional: true},
		{Head: "rain", Key: "rain", Unit: depth, Right: true, Depth: true, optional: true},
	}
	if facts == nil || facts.Water == nil {
		return t
	}
	w := facts.Water
	for _, z := range w.Zones {
		t.Columns = append(t.Columns, Column{Head: z.Decl.Name.Value, Key: "zone " + z.Decl.Name.Value, Unit: hours, Right: true})
	}
	total := make([]float64, len(w.Zones))
	for i, monday := range w.Weeks {
		row := []Cell{dayCell(monday), t.depthCell(w.Climate[i].Reference), t.depthCell(w.Climate[i].Rain)}
		for j, z := range w.Zones {
			cell := Cell{}
			if i < len(z.Weeks) {
				cell = timeCell(z.Weeks[i].Time)
				total[j] += z.Weeks[i].Time
			}
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	t.Totals = []Cell{textCell("season"), {}, {}}
	for j := range w.Zones {
		t.Totals = append(t.Totals, amountCell(quantity.Of(total[j], quantity.Time)))
	}
	return t
}

// Tape gives one row for each row that hangs on a zone: where to cut its tape, what flows through it and
// with how much pressure.
func Tape(facts *derive.Facts) Table {
	t := newTable("tape", facts)
	long := t.unit("ft", "m")
	t.Columns = []Column{
		{Head: "plot", Key: "plot"},
		{Head: "row", Key: "row", Right: true},
		{Head: "zone", Key: "zone", keep: 5},
		{Head: "tapes", Key: "tapes", Right: true},
		{Head: "cut each", Key: "cut_length", Unit: long, Right: true},
		{Head: "emitters", Key: "emitters", Right: true, keep: 4},
		{Head: "flow", Key: "flow", Unit: t.flowUnit(), Right: true, keep: 6},
		{Head: "at head", Key: "head_pressure", Unit: t.pressureUnit(), Right: true, keep: 2},
		{Head: "at end", Key: "end_pressure", Unit: t.pressureUnit(), Right: true, keep: 3},
		{Head: "even", Key: "uniformity", Right: true, keep: 1},
	}
	length := 0.0
	tapes, emitters := 0, 0
	if facts != nil && facts.Water != nil {
		for _, r := range facts.Water.Rows {
			if r.Zone == nil || r.Row == nil {
				continue
			}
			t.Rows = append(t.Rows, tapeRow(r))
			length += r.Cut.Length * float64(r.Tapes)
			tapes, emitters = tapes+r.Tapes, emitters+r.Emitters
		}
	}
	t.Totals = []Cell{textCell("total"), {}, {}, wholeCell(tapes), lengthCell(length), wholeCell(emitters), {}, {}, {}, {}}
	return t
}

func tapeRow(r *derive.RowWater) []Cell {
	row := []Cell{textCell(r.Row.Plot.Decl.Name.Value), textCell(rowLabel(r.Row)), textCell(r.Zone.Decl.Name.Value),
		wholeCell(r.Tapes), {}, {}, {}, {}, {}, {}}
	if r.Cut.Length > 0 {
		row[4] = lengthCell(r.Cut.Length)
	}
	if r.Unsolved == "" {
		row[5], row[6], row[7], row[8], row[9] = wholeCell(r.Emitters), flowCell(r.Flow), pressureCell(r.Inlet), pressureCell(r.End), shareCell(r.EU)
	}
	return row
}
