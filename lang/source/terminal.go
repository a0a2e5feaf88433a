package source

import (
	"unicode"

	"golang.org/x/text/width"
)

// Visible gives a rune as a terminal or a page may safely show it: control characters, which could move
// the cursor or change colors, marks that turn the direction of the text, and what ends a line or is no
// character, become symbols.
func Visible(r rune) rune {
	switch {
	case r < 0x20:
		return 0x2400 + r // control pictures
	case r == 0x7f:
		return 0x2421
	case r >= 0x80 && r < 0xa0, r == 0xfeff, r == 0xfffe, r == 0xffff,
		r == 0x061c, r == 0x200e, r == 0x200f, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069,
		r == 0x2028, r == 0x2029:
		return unicode.ReplacementChar
	}
	return r
}

// Columns gives how many terminal columns a rune takes: none for marks that combine and for invisible
// format characters, two for wide and fullwidth ones (Unicode UAX #11), else one.
func Columns(r rune) int {
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

// TextColumns gives the terminal columns of a text.
func TextColumns(text string) int {
	n := 0
	for _, r := range text {
		n += Columns(r)
	}
	return n
}
