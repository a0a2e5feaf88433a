package report

import "math"

// placer knows where labels stand, so that no two overlap. Boxes are kept by squares of the page, so
// that a map with thousands of labels is as quick for each.
type placer struct {
	taken map[[2]int][]box
	count int
}

const placerSquare = 64.0

func (p *placer) squares(b box) (x0, y0, x1, y1 int) {
	square := func(v float64) int { return int(math.Floor(v / placerSquare)) }
	return square(b.x), square(b.y), square(b.x + b.w), square(b.y + b.h)
}

// free tells whether a label may stand there.
func (p *placer) free(b box) bool {
	x0, y0, x1, y1 := p.squares(b)
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			for _, other := range p.taken[[2]int{x, y}] {
				if b.overlaps(other) {
					return false
				}
			}
		}
	}
	return true
}

func (p *placer) take(b box) {
	if p.taken == nil {
		p.taken = map[[2]int][]box{}
	}
	x0, y0, x1, y1 := p.squares(b)
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			p.taken[[2]int{x, y}] = append(p.taken[[2]int{x, y}], b)
		}
	}
	p.count++
}

// try takes the place when it is free.
func (p *placer) try(b box) bool {
	if !p.free(b) {
		return false
	}
	p.take(b)
	return true
}

// label is a line of text with its place: a bold code first, when it has one.
type label struct {
	box    box
	upward bool
	code   string
	text   string
	size   float64
	class  string
	plate  bool // clears the ground behind it
}

// labelWidth is the room that a code and a text take on one line.
func labelWidth(code, text string, size float64) float64 {
	w := textWidth(text, size, false)
	if code != "" {
		w += textWidth(code, size, true)
		if text != "" {
			w += textWidth(" ", size, false)
		}
	}
	return w
}

// labelHeight is the height of a line at a size of text, with a little air.
func labelHeight(size float64) float64 { return size * 1.2 }

// tightHeight is the least that a line needs to be kept apart from the next.
func tightHeight(size float64) float64 { return size * 1.06 }

func (d *drawing) label(l *label) {
	x, y := l.box.x, l.box.y+l.box.h-l.size*0.3 // the letters' feet are above the box's lower edge
	if l.upward {
		x, y = l.box.x+l.box.w-l.size*0.3, l.box.y+l.box.h
	}
	class := l.class
	if l.plate {
		// Letters may be narrower than estimated: keep them in the plate's middle.
		d.rect("plate", l.box, ` rx="2"`)
		class += " middle"
		if l.upward {
			y -= l.box.h / 2
		} else {
			x += l.box.w / 2
		}
	}
	d.words(class, x, y, l.size, l.upward, l.code, l.text)
}

// platePad is the air at either end of a label that clears the ground behind it.
const platePad = 3.0
