package derive

import (
	"math"

	"haulm/stdlib/season"
	"haulm/stdlib/support"
)

// levels lays strings one above the other as high as the trellis reaches.
func (t *Trellis) levels(first, interval float64) {
	lead := max(0, t.usual("plant height")-t.usual("first string")) // plants stand that much above a string when it is put up
	full := t.growth().Full
	for i := range support.Levels(t.Height, first, interval) {
		h := first + float64(i)*interval
		l := StringLevel{h, t.reaches(min(h+lead, max(full, h)))}
		if t.gone(l.On) {
			break
		}
		t.Levels = append(t.Levels, l)
	}
}

// gone tells whether the plants are cleared by a day.
func (t *Trellis) gone(day season.Date) bool {
	return day.IsSet() && t.Main.Clear.IsSet() && day >= t.Main.Clear
}

// sides are the straight stretches of the rails: one along each row or, where the rail closes in a loop round two, two as
// long as the longer row and two across their ends.
func (t *Trellis) sides() []float64 {
	if len(t.Rows) == 2 && t.Decl.Loop.Value {
		t.Corners = loopCorners
		across := math.Abs(t.Rows[1].Center - t.Rows[0].Center)
		return []float64{t.Length, across, t.Length, across}
	}
	var sides []float64
	for _, r := range t.Rows {
		length, _, _ := t.along(r)
		sides = append(sides, length)
	}
	return sides
}

// loopCorners turn a rail round the ends of two rows.
const loopCorners = 4

// hang works a drop line out: rails, strings and clips.
func (t *Trellis) hang() {
	stems := 1
	if t.Decl.Stems.Given {
		stems = t.Decl.Stems.Value
	}
	reserve, _ := meters(&t.Decl.Reserve)
	t.Lines = t.Plants * stems
	t.Line = t.Height + reserve + t.ends()
	interval := t.usual("clip interval")
	stem := t.Height + reserve
	first := t.usual("plant height")
	full := t.growth().Full
	for i := range support.Levels(stem, first, interval) {
		h := first + float64(i)*interval
		l := StringLevel{h, t.reaches(min(h, full))}
		if t.gone(l.On) {
			break
		}
		t.Passes = append(t.Passes, l)
	}
	t.Clips = len(t.Passes) * t.Lines
	stock := t.own(&t.Decl.RailStock, "rail length")
	for _, side := range t.sides() {
		pieces := support.Rail(side, stock)
		t.Rail = append(t.Rail, pieces...)
		t.Joints += max(0, len(pieces)-1)
	}
	load, _ := support.Usual("drop line", "load")
	if t.Length > 0 {
		span := float64(t.Plants) / float64(len(t.Rows)) / t.Length * min(t.Apart, t.Length)
		t.Load = [2]float64{span * load.Low, span * load.High}
	}
}
