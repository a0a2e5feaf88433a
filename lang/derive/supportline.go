package derive

import "haulm/stdlib/support"

// levels lays strings one above the other as high as the trellis reaches.
func (t *Trellis) levels(first, interval float64) {
	lead := max(0, t.usual("plant height")-t.usual("first string")) // plants stand that much above a string when it is put up
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
	t.Line = t.Height + reserve + t.ends()
	interval := t.usual("clip interval")
	stem := t.Height + reserve
	first := t.usual("plant height")
	full := t.growth().Full
	for i := range support.Levels(stem, first, interval) {
		h := first + float64(i)*interval
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
