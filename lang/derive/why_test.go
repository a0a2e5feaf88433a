package derive

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/crops"
)

// told prints reckonings one to a line, for comparing.
func told(rs []Reckoning) []string {
	out := make([]string, len(rs))
	for i, r := range rs {
		var in []string
		for _, x := range r.Inputs {
			in = append(in, x.Name+" "+x.Value+" ["+x.Source+"]")
		}
		out[i] = r.Title + ": " + r.Equation + "; " + strings.Join(in, ", ") + "; " + r.Result + " [" + r.Source + "]"
	}
	return out
}

// Every number of a reckoning says where it is from, and those of the plan point at their text.
func TestWhyPlanting(t *testing.T) {
	file := &source.File{Path: "farm.star", Text: "plant(first, pepper, fill = True)"}
	span := func(col int32) source.Span {
		return source.Span{File: file, Start: source.Point{Line: 1, Col: col}, End: source.Point{Line: 1, Col: col + 4}}
	}
	p := newPlan(foot)
	c := crop("pepper")
	c.InRow, c.TrayWeeks = stated(12*inch, 18*inch), stated(6, 8)
	c.MaturityTransplant = crops.Range{Low: 70, High: 70, Grade: "plan"}
	c.HarvestDays = crops.Range{Low: 42, High: 56, Grade: "M", Source: "memory"}
	c.Call = span(9)
	d := p.plant(p.row(p.plot("Bench", 48, 40, 0), 5), c, 0, filled)
	d.Spacing = farm.Length{}
	d.On, d.On.Span, d.Fill.Span = on(5, 1), span(3), span(5)

	q := derive(t, p).Plantings[0]
	require.Equal(t, []string{
		"Spacing in the line: middle of the crop's range, rounded to what a ruler shows; in-row spacing 12 in to 18 in [field guide (grade B)]; 15 in [common practice]",
		// 48 ft / 15 in = 38.4
		"Plants: (whole part of room / spacing, + 1) × lines; room 48 ft [from the first plant to the row's end], spacing 15 in [see Spacing in the line], lines 1 [when the plan gives none]; 39 [common practice]",
		// 38 * 15 in = 570 in = 47 ft 6 in
		"Place in the row: first plant at the first free place from the row's head; last = first + (plants in the line - 1) × spacing; spacing 15 in [see Spacing in the line], plants in the line 39 [see Plants]; first plant at 0 in, last at 47 ft 6 in of 48 ft [common practice]",
		"Sow: planting day - weeks in the tray (middle of the range); on Sat May 1 [this plan], weeks in the tray 6 to 8 [field guide (grade B)]; Sat Mar 13 [common practice]",
		"First harvest: planting day + days from setting out to first harvest (middle of the range); on Sat May 1 [this plan], days from setting out to first harvest 70 [this plan]; Sat Jul 10 [common practice]",
		"Last harvest: first harvest + days of harvest (middle of the range); first harvest Sat Jul 10 [see First harvest], days of harvest 42 to 56 [memory]; Sat Aug 28 [common practice]",
		"Clear: the day after the last harvest; last harvest Sat Aug 28 [see Last harvest]; Sun Aug 29 [common practice]",
		"Harvest: yield × plants or length of lines; ; not known: no yield of pepper is known; give one with yield_per_length [common practice]",
	}, told(q.Why()))
	why := q.Why()
	require.Equal(t, span(5), why[1].Inputs[0].Span, "the room is asked for by fill")
	require.Equal(t, span(3), why[3].Inputs[0].Span)
	require.Equal(t, span(9), why[4].Inputs[1].Span, "the plan's own crop")
	require.False(t, why[3].Inputs[1].Span.IsValid(), "the table's value has no place in the plan")
}

// What the plan gives itself is told as the plan's.
func TestWhyGiven(t *testing.T) {
	p := newPlan(1)
	c := crop("carrot")
	c.MaturityTransplant, c.TrayWeeks = stated(40, 40), stated(3, 3)
	row := p.row(p.plot("Bench", 20, 10, 1), 5, p.bed(2, 0.3, true))
	a := p.plant(row, c, 0.5, p.long(5.25), p.from(2), func(d *farm.Planting) {
		d.Direct, d.Harvest, d.Until, d.On = true, days(10), on(time.August, 1), on(time.May, 1)
	})
	b := p.plant(row, c, 0.5, counted(4), func(d *farm.Planting) { d.Maturity, d.SownOn, d.On = days(50), on(4, 1), on(5, 1) })
	c2 := p.plant(row, crop("bare"), 0)
	facts := derive(t, p)
	require.Equal(t, []string{
		"Spacing in the line: as the plan gives it; spacing 50 cm [this plan]; 50 cm [this plan]",
		// straight 5.25 / 0.5 = 10.5, 11; shifted 5 / 0.5 = 10, 11
		"Plants: (whole part of length / spacing, + 1) × lines; length 5.25 m [this plan], spacing 50 cm [this plan], lines 2 [this plan]; 22 [common practice]",
		"Place in the row: first plant where the plan puts it; last = first + (plants in the line - 1) × spacing, half a spacing further in shifted lines; spacing 50 cm [this plan], plants in the line 11 [see Plants], start 2 m [this plan], staggered yes [this plan]; first plant at 2 m, last at 7.25 m of 18 m [this plan]",
		"Sow: sown in the row on its day; on Sat May 1 [this plan]; Sat May 1 [this plan]",
		// 40 + 21 days
		"First harvest: planting day + days from setting out (middle of the range) + two thirds of the days a transplant spends in the tray; on Sat May 1 [this plan], days from setting out 40 [field guide (grade B)], weeks in the tray 3 [field guide (grade B)]; Thu Jun 24 [common practice]",
		"Last harvest: first harvest + days of harvest, but no later than the day before the row is cleared; first harvest Thu Jun 24 [see First harvest], days of harvest 10 [this plan], until Sun Aug 1 [this plan]; Sun Jul 4 [this plan]",
		"Clear: as the plan gives it; until Sun Aug 1 [this plan]; Sun Aug 1 [this plan]",
		"Harvest: yield × plants or length of lines; ; not known: no yield of carrot is known; give one with yield_per_length [common practice]",
	}, told(of(facts, a).Why()))
	why := told(of(facts, b).Why())
	require.Equal(t, "Plants: count × lines; count 4 [this plan], lines 2 [this plan]; 8 [this plan]", why[1])
	require.Equal(t, "Sow: as the plan gives it; sown_on Thu Apr 1 [this plan]; Thu Apr 1 [this plan]", why[3])
	require.Contains(t, why[4], "first harvest 50 [this plan]; Sun Jun 20 [this plan]")
	require.Contains(t, why[5], "days of harvest not known [the crop table holds none]; not known")
	why = told(of(facts, c2).Why())
	require.Len(t, why, 6)
	require.Contains(t, why[0], "no spacing that can be used")
	require.Contains(t, why[2], "on not known [the plan gives no day]")
}

func TestWhyRowAndPlot(t *testing.T) {
	p := newPlan(foot)
	plot := p.plot("Bench", 52, 40, 5)
	row := p.row(plot, 4, p.bed(3, 1, false))
	p.row(plot, 10, func(r *farm.Row) { r.Length, r.BedWidth = length(20*foot), length(2*foot) })
	p.plant(row, crop("pepper"), 2, counted(4))
	facts := derive(t, p)
	require.Equal(t, []string{
		"Place across the plot: edges = center line ± half the bed's width, or the outer lines where no width is given; at 4 ft [this plan], lines 3 [this plan], line_spacing 12 in [this plan]; 3 ft to 5 ft from the plot's first side [this plan]",
		"Length: plot length - headland - place of the row's head; plot length 52 ft [this plan], headland 5 ft [this plan], head 5 ft [the headland's edge]; 42 ft [this plan]",
		"Free: row length - what any planting ever owns: from half a spacing before its first plant to half a spacing after its last; row length 42 ft [see Length], pepper 0 in to 7 ft [see its Place in the row]; 35 ft [common practice]",
	}, told(facts.Rows[0].Why()))
	single := p.row(plot, 14)
	again := derive(t, p)
	require.Equal(t, single, again.Rows[2].Decl)
	require.Equal(t, "Place across the plot: one line, as the plan gives it; at 14 ft [this plan]; 14 ft from the plot's first side [this plan]", told(again.Rows[2].Why())[0])
	require.Equal(t, "Length: as the plan gives it; length 20 ft [this plan]; 20 ft [this plan]", told(facts.Rows[1].Why())[1])
	require.Equal(t, []string{
		"Area: length × width; length 52 ft [this plan], width 40 ft [this plan]; 2080 sq ft [this plan]",
		"Row length: sum of the rows' own lengths; rows 2 [this plan]; 62 ft [this plan]",
		"Free: sum of the rows' lengths that no planting ever owns; row 1 35 ft [see the row], row 2 20 ft [see the row]; 55 ft [common practice]",
		"Plants: sum over the plantings of every row; row 1 12 [see the row], row 2 0 [see the row]; 12 [this plan]",
		"Path between row 1 and row 2: first edge of the one - last edge of the other; row 1 5 ft [see the row], row 2 9 ft [see the row]; 48 in [this plan]",
	}, told(facts.Plots[0].Why()))
}
