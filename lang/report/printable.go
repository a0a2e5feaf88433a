package report

import (
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// printable makes a name of the plan safe to show: control characters, which could move a terminal's
// cursor or end a line, and marks that turn the direction of the text, become symbols.
func printable(text string) string { return strings.Map(visible, text) }

func visible(r rune) rune {
	switch {
	case r < 0x20:
		return 0x2400 + r // control pictures
	case r == 0x7f:
		return 0x2421
	case r >= 0x80 && r < 0xa0,
		r == 0x061c, r == 0x200e, r == 0x200f, r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069,
		r == 0x2028, r == 0x2029, r == 0xfffe, r == 0xffff:
		return unicode.ReplacementChar
	}
	return r
}

// wide gives how many terminal columns a rune takes: none for marks that combine and for invisible
// format characters, two for wide and fullwidth ones (Unicode UAX #11), else one.
func wide(r rune) int {
	switch {
	case r < 0x7f:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

// columns gives the terminal columns of a text.
func columns(text string) int {
	n := 0
	for _, r := range text {
		n += wide(r)
	}
	return n
}

// cut keeps a text to so many runes, the last an ellipsis when something was left out.
func cut(text string, most int) string {
	n := 0
	end := 0 // of the text that stays when it is too long
	for i := range text {
		if n == most-1 {
			end = i
		}
		if n == most {
			return strings.TrimRight(text[:end], " ") + "…"
		}
		n++
	}
	return text
}
