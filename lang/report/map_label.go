package report

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

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
func (m *mapper) labelBeside(mp *mapPlot, b *bed, s *spot) bool {
	usual := 0
	if mp.below {
		usual = 1
	}
	rooms := []float64{b.above, b.below}
	size, high := textSize, labelHeight(textSize)
	if rooms[usual] < high+1 {
		size, high = smallSize, tightHeight(smallSize)
	}
	var order []int
	if rooms[usual] >= high+0.5 {
		order = []int{usual}
	}
	if rooms[1-usual] >= 2*high+8 {
		order = append(order, 1-usual)
		if s.n%2 == 1 {
			slices.Reverse(order)
		}
	}
	sides := []float64{b.v0 - high - 0.5, b.v1 + 0.5}
	edge := min(s.next, mp.length*m.layout.scale)
	for n, text := range s.texts {
		wide := labelWidth(text.code, text.text, size)
		l := label{code: text.code, text: text.text, size: size, class: "label"}
		for _, side := range order {
			v := sides[side]
			for u := s.u0; u+wide <= edge; u += 12 {
				if m.tryLabel(mp.frame, u, v, u+wide, v+high, l) {
					return true
				}
			}
			middle := (s.u0 + s.u1 - wide) / 2
			if n == len(s.texts)-1 && m.tryLabel(mp.frame, middle, v, middle+wide, v+high, l) {
				return true
			}
		}
	}
	return false
}

// labelAfter names plantings of a row after the row's end, outside the plot, where room was kept for it.
func (m *mapper) labelAfter(mp *mapPlot, b *bed, spots []*spot) bool {
	high := tightHeight(smallSize)
	u, v := mp.length*m.layout.scale+mp.tail-mp.caption, (b.v0+b.v1)/2-high/2
	for n := range len(spots[0].texts) {
		code, text := spots[0].texts[n].code, spots[0].texts[n].text
		for _, s := range spots[1:] {
			t := s.texts[min(n, len(s.texts)-1)]
			text += "; " + t.code + " " + t.text
		}
		wide := labelWidth(code, text, smallSize)
		l := label{code: code, text: text, size: smallSize, class: "label"}
		if wide <= mp.caption-labelAir && m.tryLabel(mp.frame, u, v, u+wide, v+high, l) {
			return true
		}
	}
	return false
}

// bandShown is how much of a band its label may cover, so that the pattern is seen at both its ends.
const bandShown = 0.8

// labelOn puts a label on a band: in its middle, else where there is room along it.
func (m *mapper) labelOn(mp *mapPlot, _ *bed, s *spot) bool {
	high := labelHeight(smallSize)
	v := (s.v0 + s.v1) / 2
	for i, text := range s.texts {
		wide := labelWidth(text.code, text.text, smallSize) + 2*platePad
		room := s.u1 - s.u0
		if i < len(s.texts)-1 {
			room *= bandShown
		}
		if wide > room {
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
