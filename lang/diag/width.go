package diag

import (
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// tabStop is how many columns apart tabs stop in an excerpt.
const tabStop = 4

// columns gives how many terminal columns a rune takes: none for marks that combine and for invisible
// format characters, two for wide and fullwidth ones (Unicode UAX #11), else one.
func columns(r rune) int {
	if r < 0x7f {
		return 1
	}
	if unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf) {
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

// visible gives a rune as a terminal may safely show it: control characters, which could move the
// cursor or change colors, byte order marks, and marks that turn the direction of the text, become
// symbols.
func visible(r rune) rune {
	switch {
	case r < 0x20:
		return 0x2400 + r // control pictures
	case r == 0x7f:
		return 0x2421
	case r >= 0x80 && r < 0xa0, r == 0xfeff, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069:
		return unicode.ReplacementChar
	}
	return r
}

// plain makes a text of one's own or of the plan safe to show; line ends stay.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' {
			return r
		}
		return visible(r)
	}, text)
}

// cell is one rune of an excerpt's line: what is shown for it and the column where it starts.
type cell struct {
	shown string
	at    int // terminal columns from the line's start
	wide  int
}

// cells lays a line out: tabs run to the next stop, the rest takes the columns it needs. One more cell
// than there are runes: the last stands for the place after the line.
func cells(line string) []cell {
	out := make([]cell, 0, len(line)+1)
	at := 0
	for _, r := range line {
		c := cell{at: at}
		if r == '\t' {
			c.wide = tabStop - at%tabStop
			c.shown = strings.Repeat(" ", c.wide)
		} else {
			r = visible(r)
			c.wide = columns(r)
			c.shown = string(r)
		}
		at += c.wide
		out = append(out, c)
	}
	return append(out, cell{at: at})
}

// wrap breaks a text at spaces into lines of at most so many columns; a longer word stands alone.
func wrap(text string, most int) []string {
	var lines []string
	for para := range strings.SplitSeq(text, "\n") {
		line, have := "", 0
		for word := range strings.FieldsSeq(para) {
			need := 0
			for _, r := range word {
				need += columns(r)
			}
			if line != "" && have+1+need > most {
				lines = append(lines, line)
				line, have = "", 0
			}
			if line != "" {
				line += " "
				have++
			}
			line += word
			have += need
		}
		lines = append(lines, line)
	}
	return lines
}
