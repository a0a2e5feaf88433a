package derive

import (
	"cmp"
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// Derive works the farm out. It takes any farm, however incomplete, and never changes it; the cost
// grows with rows and plantings as n log n, and within one row as the square of its plantings.
func Derive(f *farm.Farm) *Facts {
	if f == nil {
		f = &farm.Farm{}
	}
	facts := &Facts{Farm: f, Seasons: newSeasons(f.Site), warmth: &warmth{site: f.Site, today: f.Today}}
	plots := facts.addPlots(f)
	rows := facts.addRows(f, plots)
	facts.addPlantings(f, rows)
	facts.place()
	facts.Earlier = earlier(f)
	facts.addRecord()
	facts.addWater()
	return facts
}

func (facts *Facts) addPlots(f *farm.Farm) *index[farm.Plot, Plot] {
	block := make([]Plot, 0, len(f.Plots))
	facts.Plots = make([]*Plot, 0, len(f.Plots))
	for _, decl := range f.Plots {
		if decl == nil {
			continue
		}
		block = append(block, Plot{Decl: decl, farm: f, facts: facts})
		p := &block[len(block)-1]
		length, okL := meters(&decl.Length)
		width, okW := meters(&decl.Width)
		if okL && okW && length > 0 && width > 0 {
			p.Area = length * width
		}
		facts.Plots = append(facts.Plots, p)
	}
	return &index[farm.Plot, Plot]{all: block, decl: func(p *Plot) *farm.Plot { return p.Decl }}
}

// addRows gives every row its place and each plot its rows in order across it.
func (facts *Facts) addRows(f *farm.Farm, plots *index[farm.Plot, Plot]) *index[farm.Row, Row] {
	block := make([]Row, 0, len(f.Rows))
	xs := make([]float64, 0, len(f.Rows)) // when beds make it grow, the rows before keep the old one
	for _, decl := range f.Rows {
		if decl == nil {
			continue
		}
		plot := plots.of(decl.Plot)
		if plot == nil {
			continue
		}
		block = append(block, Row{Decl: decl, Plot: plot})
		r := &block[len(block)-1]
		if !r.layOut() {
			block = block[:len(block)-1]
			continue
		}
		from := len(xs)
		xs = appendLines(xs, decl, r.Center)
		r.Lines = xs[from:len(xs):len(xs)]
		r.Left, r.Right = r.Lines[0], r.Lines[len(r.Lines)-1]
		if w, ok := meters(&decl.BedWidth); ok && w > 0 {
			r.Left, r.Right = r.Center-w/2, r.Center+w/2
		}
		plot.rows++
	}

	facts.Rows = make([]*Row, len(block))
	next := 0
	for _, p := range facts.Plots {
		p.Rows = facts.Rows[next : next : next+p.rows]
		next += p.rows
	}
	for i := range block {
		r := &block[i]
		r.Plot.Rows = append(r.Plot.Rows, r)
	}
	for _, p := range facts.Plots {
		slices.SortStableFunc(p.Rows, func(a, b *Row) int { return cmp.Compare(a.Center, b.Center) })
		for i, r := range p.Rows {
			r.Number = i + 1
		}
	}
	return &index[farm.Row, Row]{all: block, decl: func(r *Row) *farm.Row { return r.Decl }}
}

// addPlantings gives every planting its row, and each row its plantings in the order of declaration.
func (facts *Facts) addPlantings(f *farm.Farm, rows *index[farm.Row, Row]) {
	block := make([]Planting, 0, len(f.Plantings))
	for _, decl := range f.Plantings {
		if decl == nil || decl.Crop == nil {
			continue
		}
		row := rows.of(decl.Row)
		if row == nil {
			continue
		}
		block = append(block, Planting{Decl: decl, Row: row, order: len(block)})
		row.plantings++
	}
	facts.Plantings = make([]*Planting, len(block))
	next := 0
	for _, r := range facts.Rows {
		r.Plantings = facts.Plantings[next : next : next+r.plantings]
		next += r.plantings
	}
	for i := range block {
		p := &block[i]
		p.Row.Plantings = append(p.Row.Plantings, p)
	}
}

// index finds the facts of a declaration. Plans mostly speak of things in the order in which they
// declare them, so it looks where it found the last one and just behind before it hashes.
type index[D, F any] struct {
	all  []F
	decl func(*F) *D
	last int
	far  map[*D]*F
}

// of gives the facts of a declaration, nil when there are none.
func (x *index[D, F]) of(d *D) *F {
	if d == nil {
		return nil
	}
	for i := x.last; i < min(x.last+2, len(x.all)); i++ {
		if f := &x.all[i]; x.decl(f) == d {
			x.last = i
			return f
		}
	}
	if x.far == nil {
		x.far = make(map[*D]*F, len(x.all))
		for i := range x.all {
			x.far[x.decl(&x.all[i])] = &x.all[i]
		}
	}
	return x.far[d]
}

// place dates the plantings and fills the rows with them, then adds the plots up.
func (facts *Facts) place() {
	free := make([]Stretch, 0, len(facts.Rows)+len(facts.Plantings))
	paths := make([]Path, 0, len(facts.Rows))
	pl := placer{units: facts.Farm.Units, seasons: facts.Seasons, warmth: facts.warmth}
	var tl timeline
	for _, p := range facts.Plots {
		firstPath := len(paths)
		for i, r := range p.Rows {
			free = pl.fill(r, free)
			p.RowLength += r.Length
			p.FreeLength += r.FreeLength
			for _, q := range r.Plantings {
				p.Plants += q.Plants
			}
			if i > 0 && tl.meet(p.Rows[i-1], r) {
				left := p.Rows[i-1]
				paths = append(paths, Path{Left: left, Right: r, Width: r.Left - left.Right})
			}
		}
		p.Paths = paths[firstPath:len(paths):len(paths)]
	}
	for i, p := range facts.Plantings {
		p.Number = i + 1
	}
}

// layOut gives the row its place along and across the plot; false when the plan does not say enough.
// Head and end are the headlands' edges unless the row gives its own.
func (r *Row) layOut() bool {
	center, ok := meters(&r.Decl.At)
	if !ok {
		return false
	}
	r.Center = center
	plot, plotKnown := meters(&r.Plot.Decl.Length)
	headland, _ := meters(&r.Plot.Decl.Headland)
	headland = max(headland, 0)
	r.Start, ok = meters(&r.Decl.Start)
	if !ok {
		r.Start = headland
	}
	r.Length, ok = meters(&r.Decl.Length)
	if !ok {
		if !plotKnown {
			return false
		}
		r.Length = plot - headland - r.Start
	}
	r.Length = max(r.Length, 0)
	r.End = r.Start + r.Length
	return true
}

// maxLines bounds what is believed of a bed; no bed has more lines than this.
const maxLines = 1000

func lineCount(r *farm.Row) int {
	if n := r.Lines.Value; n > 1 && n <= maxLines {
		return n
	}
	return 1
}

// appendLines adds the x of each line of the bed. Lines stand evenly about the center: at the line
// spacing, or, when only the bed's width is given, so that each has the same share of it.
func appendLines(xs []float64, r *farm.Row, center float64) []float64 {
	n := lineCount(r)
	if n == 1 {
		return append(xs, center)
	}
	apart, ok := meters(&r.LineSpacing)
	if !ok {
		width, _ := meters(&r.BedWidth)
		apart = width / float64(n)
	}
	apart = max(apart, 0)
	for i := range n {
		xs = append(xs, center+(float64(i)-float64(n-1)/2)*apart)
	}
	return xs
}

// meters reads a length that the plan gave; false when it gave none or none that can be used.
func meters(l *farm.Length) (float64, bool) {
	v := l.Value.SI
	if !l.Given || l.Value.Dim != quantity.Length || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}
