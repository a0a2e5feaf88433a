// Package source holds texts and places in them. In go a file's name and bytes; out come lines, spans
// and the same place counted in bytes, runes (Unicode code points), UTF-8 or UTF-16 units.
package source

// File is one immutable text of a plan.
type File struct {
	Path string // slash-separated, from the plan's root, as messages show it
	Text string

	index lineIndex
}

// Point is a place in a text: line and column from 1, columns in Unicode code points.
// The zero Point is no place.
type Point struct{ Line, Col int32 }

// Span is a stretch of one file, its end exclusive. The zero Span is no place.
type Span struct {
	File       *File
	Start, End Point
}

// IsValid tells whether the span names a place.
func (s Span) IsValid() bool { return s.File != nil && s.Start.Line > 0 }
