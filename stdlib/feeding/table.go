package feeding

import (
	"strings"

	"haulm/stdlib/table"
)

// spanOf reads "110-155" or "110"; an empty cell is the zero span.
func spanOf(r table.Row, column string) Span {
	low, high := r.Span(column)
	return Span{low, high}
}

func sourceOf(r table.Row) Source {
	s := Source{Title: r.Text("source"), Grade: Grade(r.Text("grade"))}
	if r.Has("note") {
		s.Note = r.Text("note")
	}
	return s
}

// fold makes names comparable: lower case, one space between words, no hyphens or underscores.
func fold(name string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("-", " ", "_", " ").Replace(strings.ToLower(name))), " ")
}
