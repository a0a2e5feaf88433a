package diag

import (
	"strings"

	"haulm/lang/source"
)

// tabStop is how many columns apart tabs stop in an excerpt.
const tabStop = 4

// plain makes a text of one's own or of the plan safe to show; line ends stay.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' {
			return r
		}
		return source.Visible(r)
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
			r = source.Visible(r)
			c.wide = source.Columns(r)
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
			need := source.TextColumns(word)
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
