package report

import (
	"strings"

	"haulm/lang/source"
)

// printable makes a name of the plan safe to show.
func printable(text string) string { return strings.Map(source.Visible, text) }

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
