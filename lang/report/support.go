package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
)

// Support gives one row for each trellis: what it takes and by when its posts must stand.
func Support(facts *derive.Facts) Table {
	t := newTable("support", facts)
	long := t.unit("ft", "m")
	t.totalsOut = true
	t.Columns = []Column{
		{Head: "plot", Key: "plot"},
		{Head: "rows", Key: "rows"},
		{Head: "style", Key: "style"},
		{Head: "plants", Key: "plants", Right: true, keep: 2},
		{Head: "posts", Key: "posts", Right: true},
		{Head: "each", Key: "post_length", Unit: long, Right: true, keep: 6},
		{Head: "apart", Key: "post_spacing", Unit: long, Right: true, keep: 4},
		{Head: "levels", Key: "levels", Right: true, optional: true, keep: 5},
		{Head: "twine", Key: "twine", Unit: long, Right: true, optional: true},
		{Head: "strings", Key: "strings", Right: true, optional: true},
		{Head: "string each", Key: "string_length", Unit: long, Right: true, optional: true, keep: 5},
		{Head: "clips", Key: "clips", Right: true, optional: true},
		{Head: "rail", Key: "rail", Unit: long, Right: true, optional: true},
		{Head: "joints", Key: "joints", Right: true, optional: true, keep: 3},
		{Head: "cages", Key: "cages", Right: true, optional: true},
		{Head: "mesh each", Key: "mesh", Unit: long, Right: true, optional: true},
		{Head: "net", Key: "net", Unit: long, Right: true, optional: true},
		{Head: "set by", Key: "set", Right: true},
		{Head: "note", Key: "note", optional: true, keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	posts, clips, twine := 0, 0, 0.0
	for _, s := range facts.Support().Trellises {
		row := make([]Cell, len(t.Columns))
		row[0], row[1], row[2] = textCell(s.Rows[0].Plot.Decl.Name.Value), textCell(rowsOf(s)), textCell(s.Decl.Style.Value)
		row[18] = textCell(s.Unknown)
		if s.Unknown == "" {
			row[3], row[4], row[5], row[6] = wholeCell(s.Plants), wholeCell(s.Posts), lengthCell(s.Post), t.aboutCell(s.Apart)
			if len(s.Levels) > 0 {
				row[7] = wholeCell(len(s.Levels))
			}
			row[8], row[12], row[16] = some(s.Twine), some(sum(s.Rail)), some(s.Net)
			row[9], row[11], row[14] = someWhole(s.Lines), someWhole(s.Clips), someWhole(s.Cages)
			if s.Lines > 0 {
				row[10], row[13] = lengthCell(s.Line), wholeCell(s.Joints)
			}
			if s.Cages > 0 {
				row[15] = lengthCell(s.Mesh)
			}
			row[17] = dayCell(s.Set)
			if s.Load[1] > 0 {
				row[18] = textCell(loadNote(s, t.unit("lb", "kg")))
			}
			posts, clips, twine = posts+s.Posts, clips+s.Clips, twine+s.Twine
		}
		t.Rows = append(t.Rows, row)
	}
	t.Totals = make([]Cell, len(t.Columns))
	t.Totals[0], t.Totals[4], t.Totals[8], t.Totals[11] = textCell("total"), wholeCell(posts), some(twine), someWhole(clips)
	return t
}

// loadNote cautions about what hangs on each span of a rail, in whole pounds or kilograms: more is not known of it.
func loadNote(s *derive.Trellis, unit quantity.Unit) string {
	in := func(kg float64) float64 { return kg / unit.SI }
	limit := s.ConduitCarries()
	if limit <= 0 || s.Load[1] <= limit {
		return fmt.Sprintf("%.0f to %.0f %s on each span when laden: have posts and rail judged by someone who knows", in(s.Load[0]), in(s.Load[1]), unit.Symbol)
	}
	return fmt.Sprintf("%.0f to %.0f %s on each span when laden, and 3/4 in conduit bends for good at about %.0f %s: set posts nearer or take a stiffer rail, "+
		"and have both judged by someone who knows", in(s.Load[0]), in(s.Load[1]), unit.Symbol, in(limit), unit.Symbol)
}

// aboutCell holds a length to the inch or the centimeter.
func (t *Table) aboutCell(m float64) Cell {
	step := 0.01
	if t.units == quantity.US {
		step = 0.0254
	}
	return lengthCell(math.Round(m/step) * step)
}

// some holds a length that is more than nothing.
func some(m float64) Cell {
	if m > 0 {
		return lengthCell(m)
	}
	return Cell{}
}

func someWhole(n int) Cell {
	if n > 0 {
		return wholeCell(n)
	}
	return Cell{}
}

func sum(list []float64) float64 {
	all := 0.0
	for _, v := range list {
		all += v
	}
	return all
}

// rowsOf names the rows of a trellis, "3" or "3 and 4".
func rowsOf(s *derive.Trellis) string {
	names := make([]string, len(s.Rows))
	for i, r := range s.Rows {
		names[i] = rowLabel(r)
	}
	return strings.Join(names, " and ")
}

// Strings gives one row for each string or pass of clips of every trellis, by day.
func Strings(facts *derive.Facts) Table {
	t := newTable("strings", facts)
	t.Columns = []Column{
		{Head: "about", Key: "on"},
		{Head: "plot", Key: "plot"},
		{Head: "rows", Key: "rows"},
		{Head: "what", Key: "what"},
		{Head: "height", Key: "height", Unit: t.unit("inch", "cm"), Right: true, Short: true},
		{Head: "of", Key: "crop", keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	for _, s := range facts.Support().Trellises {
		add := func(list []derive.StringLevel, what string) {
			for i, l := range list {
				t.Rows = append(t.Rows, []Cell{
					dayCell(l.On), textCell(s.Rows[0].Plot.Decl.Name.Value), textCell(rowsOf(s)), textCell(fmt.Sprintf("%s %d", what, i+1)),
					lengthCell(l.Height), textCell(s.Main.Decl.Crop.Title()),
				})
			}
		}
		add(s.Levels, "string")
		add(s.Passes, "clip")
	}
	slices.SortStableFunc(t.Rows, func(a, b []Cell) int { // those without a day last
		switch x, y := a[0].none(), b[0].none(); {
		case x && !y:
			return 1
		case y && !x:
			return -1
		}
		return cmp.Compare(a[0].day, b[0].day)
	})
	return t
}

// Cuts gives the cut list of the trellises: how many pieces of which length of what.
func Cuts(facts *derive.Facts) Table {
	t := newTable("cuts", facts)
	t.Columns = []Column{
		{Head: "plot", Key: "plot"},
		{Head: "rows", Key: "rows"},
		{Head: "piece", Key: "piece"},
		{Head: "number", Key: "number", Right: true},
		{Head: "length", Key: "length", Unit: t.unit("ft", "m"), Right: true},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	for _, s := range facts.Support().Trellises {
		add := func(piece string, n int, length float64) {
			if n > 0 && length > 0 {
				t.Rows = append(t.Rows, []Cell{
					textCell(s.Rows[0].Plot.Decl.Name.Value), textCell(rowsOf(s)), textCell(piece), wholeCell(n), lengthCell(length),
				})
			}
		}
		if s.Unknown != "" {
			continue
		}
		add("post", s.Posts, s.Post)
		for i := 0; i < len(s.Rail); {
			n := i
			for n < len(s.Rail) && s.Rail[n]-s.Rail[i] < 1e-6 && s.Rail[i]-s.Rail[n] < 1e-6 {
				n++
			}
			add("rail", n-i, s.Rail[i])
			i = n
		}
		add("string", s.Lines, s.Line)
		add("mesh", s.Cages, s.Mesh)
		add("net", 1, s.Net)
	}
	return t
}
