package report

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// turn is a planting's place among those that share its ground one after the other.
type turn struct {
	p  *derive.Planting
	n  int // 0 for the first
	of int // how many share
	// The least spacing of those that share: either all of them are drawn plant by plant or none.
	least float64
}

// turns gives the turn of each planting of a row that has a place, by place.
func turns(r *derive.Row) []turn {
	var all []turn
	for _, p := range r.Plantings {
		if p.Placed() {
			all = append(all, turn{p: p, of: 1, least: p.Spacing})
		}
	}
	slices.SortStableFunc(all, func(a, b turn) int { return cmp.Compare(a.p.Owns.From, b.p.Owns.From) })
	for from := 0; from < len(all); {
		end := all[from].p.Owns.To
		to := from + 1
		for to < len(all) && all[to].p.Owns.From < end-1e-6 {
			end = max(end, all[to].p.Owns.To)
			to++
		}
		share(all[from:to])
		from = to
	}
	return all
}

// share gives each of a chain of plantings that overlap the first turn that none of its neighbours
// has, by date.
func share(chain []turn) {
	byDate := make([]*turn, len(chain))
	for i := range chain {
		byDate[i] = &chain[i]
	}
	slices.SortStableFunc(byDate, func(a, b *turn) int { return cmp.Compare(a.p.Plant, b.p.Plant) })
	most := 1
	for i, t := range byDate {
		used := map[int]bool{}
		for _, u := range byDate[:i] {
			if t.p.Owns.From < u.p.Owns.To-1e-6 && u.p.Owns.From < t.p.Owns.To-1e-6 {
				used[u.n] = true
			}
		}
		for used[t.n] {
			t.n++
		}
		most = max(most, t.n+1)
	}
	least := chain[0].least
	for _, t := range chain {
		least = min(least, t.least)
	}
	for i := range chain {
		chain[i].of, chain[i].least = most, least
	}
}

func (m *mapper) drawPlantings(mp *mapPlot, b *bed) {
	all := turns(b.r)
	m.nowhere += len(b.r.Plantings) - len(all)
	most := 0
	for _, t := range all {
		most = max(most, t.n)
	}
	for n := range most + 1 { // first turns first, also among labels
		for i := range all {
			if all[i].n == n {
				m.drawPlanting(mp, b, all, i)
			}
		}
	}
}

// stretch is the ground of a planting on the page.
type stretch struct {
	u0, u1 float64 // the ground it owns, within the row unless plants stand beyond its end
	v0, v1 float64 // the bed, or its share of it
	next   float64 // u where the next planting's ground begins, or the row ends
}

func (m *mapper) stretchOf(mp *mapPlot, b *bed, all []turn, i int) stretch {
	t, r, k := all[i], b.r, m.layout.scale
	p := t.p
	s := stretch{
		u0: (r.Start + max(p.Owns.From, min(0, p.First))) * k,
		u1: (r.Start + min(p.Owns.To, max(r.Length, p.Last))) * k,
	}
	far := mp.length*k + overEdge
	s.u0, s.u1 = min(max(s.u0, -overHead), far), max(min(s.u1, far), -overHead)
	s.next = max(b.u1, s.u1)
	for _, other := range all[i+1:] {
		if other.p.Owns.From >= p.Owns.To-1e-6 {
			s.next = max(s.u1, min(s.next, (r.Start+other.p.Owns.From)*k))
			break
		}
	}
	high := (b.v1 - b.v0) / float64(t.of)
	s.v0 = b.v0 + float64(t.n)*high
	s.v1 = s.v0 + high
	return s
}

// drawPlanting draws the plants one by one when they can be told apart and there is room beside the
// row to say what they are, else a band with its label on it.
func (m *mapper) drawPlanting(mp *mapPlot, b *bed, all []turn, i int) {
	t := all[i]
	s := m.stretchOf(mp, b, all, i)
	if s.u1 <= s.u0 {
		return // all of it beyond what is drawn of the row
	}
	crop := m.look.of(t.p)
	texts := m.labelTexts(t, crop)
	m.WriteString(`<g class="planting" fill="` + crop.family.color + `" stroke="none">` + "\n")
	m.tip(m.describe(t.p))
	if m.readable(t, b) && m.labelBeside(mp, b, s, t, texts) {
		m.rect("stretch", mp.frame.box(s.u0, s.v0, s.u1, s.v1), ` fill-opacity=".16"`)
		m.drawPlants(mp, b, t, crop)
	} else {
		m.rect("band", mp.frame.box(s.u0, s.v0, s.u1, s.v1), ` fill="`+crop.family.fill+`" stroke="`+crop.family.color+`"`)
		m.shown.band = true
		on := func() bool { return m.labelOn(mp, s, texts) }
		beside := func() bool { return m.labelBeside(mp, b, s, t, texts) }
		if s.v1-s.v0 < labelHeight(smallSize) {
			on, beside = beside, on
		}
		if !on() && !beside() {
			m.unlabelled++
		}
	}
	m.close()
}

// sharedDot is how much farther apart plants must be on the page when crops share their place, so that
// dots and rings can be told apart.
const sharedDot = 2.0

// readable tells whether the plants can be told apart on the page.
func (m *mapper) readable(t turn, b *bed) bool {
	k, least := m.layout.scale, m.leastDot
	if t.of > 1 {
		least *= sharedDot
	}
	return t.least*k >= least && (len(b.r.Lines) == 1 || (b.r.Lines[1]-b.r.Lines[0])*k >= closestDot)
}

func (m *mapper) drawPlants(mp *mapPlot, b *bed, t turn, crop *mapCrop) {
	k := m.layout.scale
	r := t.p.Row
	radius := min(4.2, 0.32*t.p.Spacing*k)
	if len(r.Lines) > 1 {
		radius = min(radius, 0.36*(r.Lines[1]-r.Lines[0])*k)
	}
	radius = max(1.2, min(radius, (b.v1-b.v0)/2-1))
	class := "plant"
	if t.n > 0 {
		class = "plant later"
		radius = min(radius+1.9*float64(t.n), max(0.5*t.p.Spacing*k, radius+0.8))
		m.WriteString(`<g fill="none" stroke="` + crop.family.color + `" stroke-width="1.3">` + "\n")
		m.shown.ring = true
	} else {
		m.shown.dot = true
	}
	far := mp.length*k + overEdge
	for line, x := range r.Lines {
		v := x * k
		if v < -overEdge || v > mp.width*k+overEdge {
			continue
		}
		for at := range t.p.Positions(line) {
			u := (r.Start + at) * k
			if u > far {
				break
			}
			if u >= -overHead {
				cx, cy := mp.frame.at(u, v)
				m.circle(class, cx, cy, radius)
			}
		}
	}
	if t.n > 0 {
		m.close()
	}
}

// labelText is one way of saying what a planting is.
type labelText struct{ code, text string }

// labelTexts gives the ways of saying what a planting is, the fullest first, the bare code last.
func (m *mapper) labelTexts(t turn, crop *mapCrop) []labelText {
	p := t.p
	order := ""
	if t.of > 1 {
		order = ordinal(t.n + 1)
	}
	name, title := "crop not known", "crop not known"
	if c := p.Decl.Crop; c != nil {
		name, title = cut(c.Name, 26), cut(c.Title(), 40)
	}
	number := strconv.Itoa(p.Plants)
	apart := number + " at " + m.facts.Farm.Units.Short(quantity.Meters(p.Spacing))
	join := func(parts ...string) string {
		parts = slices.DeleteFunc(parts, func(s string) bool { return s == "" })
		return strings.Join(parts, " · ")
	}
	texts := []labelText{
		{crop.code, join(order, title, apart, m.season(p))},
		{crop.code, join(order, title, apart)},
		{crop.code, join(order, title, number)},
		{crop.code, join(order, name, number)},
		{crop.code, join(order, number)},
		{crop.code, order},
	}
	return slices.Compact(texts)
}

// ordinal gives "1st", "2nd", "3rd", "4th".
func ordinal(n int) string {
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return strconv.Itoa(n) + end
}

// season gives "May 8 – Sep 20", from planting to the last harvest or the day it is cleared.
func (m *mapper) season(p *derive.Planting) string {
	if !p.Plant.IsSet() {
		return ""
	}
	from, to := m.day(p.Plant), m.day(p.LastHarvest)
	if to == "" {
		to = m.day(p.Clear)
	}
	if to == "" {
		return "from " + from
	}
	return from + " – " + to
}

func (m *mapper) day(d season.Date) string {
	if !d.IsSet() {
		return ""
	}
	return shortDay(d, m.facts.Farm.Year.Value)
}

// labelBeside puts a label on the free ground beside the row, on the same side all over the plot, so
// that nobody takes it for the neighbour's; on the other side only where there is room for two. It may
// run on over ground that nothing else is planted on. The bare code may stand anywhere near.
func (m *mapper) labelBeside(mp *mapPlot, b *bed, s stretch, t turn, texts []labelText) bool {
	high := labelHeight(textSize)
	sides := []float64{b.v0 - high - 0.5, b.v1 + 0.5}
	fits := []bool{b.above >= high+1, b.below >= high+1}
	spare := []bool{b.above >= 2*high+8, b.below >= 2*high+8}
	usual := 0
	if mp.below {
		usual = 1
	}
	var order []int
	if fits[usual] {
		order = []int{usual}
	}
	if spare[1-usual] {
		order = append(order, 1-usual)
		if t.n%2 == 1 {
			slices.Reverse(order)
		}
	}
	edge := min(s.next, mp.length*m.layout.scale)
	for n, text := range texts {
		wide := labelWidth(text.code, text.text, textSize)
		l := label{code: text.code, text: text.text, size: textSize, class: "label"}
		for _, side := range order {
			for u := s.u0; u+wide <= edge; u += 12 {
				if m.tryLabel(mp.frame, u, sides[side], u+wide, sides[side]+high, l) {
					return true
				}
			}
			middle := (s.u0 + s.u1 - wide) / 2
			if n == len(texts)-1 && m.tryLabel(mp.frame, middle, sides[side], middle+wide, sides[side]+high, l) {
				return true
			}
		}
	}
	return false
}

// labelOn puts a label on a band: in its middle, else where there is room along it.
func (m *mapper) labelOn(mp *mapPlot, s stretch, texts []labelText) bool {
	high := labelHeight(smallSize)
	v := (s.v0 + s.v1) / 2
	for _, text := range texts {
		wide := labelWidth(text.code, text.text, smallSize) + 2*platePad
		if wide > s.u1-s.u0 {
			continue
		}
		l := label{code: text.code, text: text.text, size: smallSize, class: "label", plate: true}
		middle := (s.u0 + s.u1 - wide) / 2
		for shift := 0.0; middle-shift >= s.u0; shift += max(16, math.Floor((s.u1-s.u0)/40)) {
			for _, u := range []float64{middle - shift, middle + shift} {
				if m.tryLabel(mp.frame, u, v-high/2, u+wide, v+high/2, l) {
					return true
				}
			}
		}
	}
	return false
}

// describe gives a sentence on the planting, for who points at it.
func (m *mapper) describe(p *derive.Planting) string {
	name := "crop not known"
	if c := p.Decl.Crop; c != nil {
		name = c.Title()
	}
	text := p.Row.Plot.Decl.Name.Value + ", " + p.Row.Name() + ": " + name + ", " + countOf(p.Plants, "plant") + " at " +
		m.facts.Farm.Units.Short(quantity.Meters(p.Spacing))
	if when := m.season(p); when != "" {
		text += ", " + when
	}
	return cut(text, 300)
}
