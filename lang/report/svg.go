package report

import (
	"bytes"
	"encoding/xml"
	"math"
	"strconv"
	"strings"

	"haulm/lang/source"
)

// drawing is SVG being written. Every coordinate is in px of the view box, with two decimals.
type drawing struct{ bytes.Buffer }

// px writes a number with at most two decimals.
func px(x float64) string {
	x = math.Round(x*100) / 100
	if x == 0 {
		x = 0 // no minus
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// escape makes any text fit for XML and safe to show.
func escape(text string) string {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(printable(text))) // writing to a buffer does not fail
	return b.String()
}

// box is a rectangle of the page.
type box struct{ x, y, w, h float64 }

func (b box) overlaps(c box) bool {
	return b.x < c.x+c.w && c.x < b.x+b.w && b.y < c.y+c.h && c.y < b.y+b.h
}

func (b box) grown(by float64) box { return box{b.x - by, b.y - by, b.w + 2*by, b.h + 2*by} }

func (d *drawing) open(class string) { d.WriteString("<g class=\"" + class + "\">\n") }
func (d *drawing) close()            { d.WriteString("</g>\n") }

// tip is what a browser shows over the group it stands first in.
func (d *drawing) tip(text string) { d.WriteString("<title>" + escape(text) + "</title>\n") }

func (d *drawing) rect(class string, b box, more string) {
	d.WriteString("<rect class=\"" + class + "\" x=\"" + px(b.x) + "\" y=\"" + px(b.y) + "\" width=\"" + px(b.w) +
		"\" height=\"" + px(b.h) + "\"" + more + "/>\n")
}

func (d *drawing) circle(class string, x, y, r float64) {
	d.WriteString("<circle class=\"" + class + "\" cx=\"" + px(x) + "\" cy=\"" + px(y) + "\" r=\"" + px(r) + "\"/>\n")
}

func (d *drawing) path(class, data string) {
	d.WriteString("<path class=\"" + class + "\" d=\"" + data + "\"/>\n")
}

// text writes a line of text from its left end and baseline.
func (d *drawing) text(class string, x, y, size float64, text string) {
	d.words(class, x, y, size, false, "", text)
}

// words writes a line of text that may begin with a bold code and may run upward.
func (d *drawing) words(class string, x, y, size float64, upward bool, code, text string) {
	d.WriteString("<text class=\"" + class + "\" x=\"" + px(x) + "\" y=\"" + px(y) + "\" font-size=\"" + px(size) + "\"")
	if upward {
		d.WriteString(" transform=\"rotate(-90 " + px(x) + " " + px(y) + ")\"")
	}
	d.WriteString(">")
	if code != "" {
		d.WriteString("<tspan class=\"code\">" + escape(code) + "</tspan>")
		if text != "" {
			d.WriteString(" ")
		}
	}
	d.WriteString(escape(text) + "</text>\n")
}

// textWidth estimates the width of a line of sans serif text, on the wide side of common fonts, so
// that what is kept free for it is enough.
func textWidth(text string, size float64, bold bool) float64 {
	em := 0.0
	for _, r := range printable(text) {
		switch {
		case r == ' ':
			em += 0.33
		case strings.ContainsRune("iljtfrI.,:;'|!()[]", r):
			em += 0.41
		case r == 'm' || r == 'w' || r == 'M' || r == 'W' || r == '@' || r == '%':
			em += 1
		case r >= 'A' && r <= 'Z':
			em += 0.79
		case strings.ContainsRune("#&+<=>^~×", r):
			em += 0.84
		case r == '·':
			em += 0.36
		case r == '–':
			em += 0.54
		case r < 0x2000:
			em += 0.64
		default:
			em += max(1, float64(source.Columns(r)))
		}
	}
	if bold {
		em *= 1.1
	}
	return em * size
}

// fitText cuts a text so that it is no wider than so many px, "" when hardly a letter would be left.
func fitText(text string, size float64, bold bool, room float64) string {
	if textWidth(text, size, bold) <= room {
		return text
	}
	runes := []rune(text)
	low, high := 0, len(runes) // low runes and an ellipsis fit
	for low+1 < high {
		mid := (low + high) / 2
		if textWidth(string(runes[:mid])+"…", size, bold) <= room {
			low = mid
		} else {
			high = mid
		}
	}
	if low < 2 {
		return ""
	}
	return cut(text, low+1)
}
