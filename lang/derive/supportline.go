package derive

import "haulm/stdlib/support"

// levels lays strings one above the other as high as the trellis reaches.
func (t *Trellis) levels(first, interval float64) {
	usual, _ := support.Usual(t.Decl.Style.Value, "first string")
	high, _ := support.Usual(t.Decl.Style.Value, "plant height")
	lead := max(0, high.Low-usual.Low) // plants stand that much above a string when it is put up
	full := t.growth().Full
	for i := range support.Levels(t.Height, first, interval) {
		h := first + float64(i)*interval
		t.Levels = append(t.Levels, StringLevel{h, t.reaches(min(h+lead, max(full, h)))})
	}
}

// hang works a drop line out: rails, strings and clips.
func (t *Trellis) hang() {
	stems := 1
	if t.Decl.Stems.Given {
		stems = t.Decl.Stems.Value
	}
	reserve, _ := meters(&t.Decl.Reserve)
	t.Lines = t.Plants * stems
	t.Line = t.Height + reserve + tieLength
	interval, _ := support.Usual("drop line", "clip interval")
	stem := t.Height + reserve
	first, _ := support.Usual("drop line", "plant height")
	full := t.growth().Full
	for i := range support.Levels(stem, first.Low, interval.Low) {
		h := first.Low + float64(i)*interval.Low
		t.Passes = append(t.Passes, StringLevel{h, t.reaches(min(h, full))})
	}
	t.Clips = len(t.Passes) * t.Lines
	stock := t.own(&t.Decl.RailStock, "rail length")
	for _, r := range t.Rows {
		length, _, _ := t.along(r)
		pieces := support.Rail(length, stock)
		t.Rail = append(t.Rail, pieces...)
		t.Joints += max(0, len(pieces)-1)
	}
	load, _ := support.Usual("drop line", "load")
	if t.Length > 0 {
		span := float64(t.Plants) / float64(len(t.Rows)) / t.Length * min(t.Apart, t.Length)
		t.Load = [2]float64{span * load.Low, span * load.High}
	}
}
