// Package source holds texts and places in them. In go a file's name and bytes; out come lines, spans
// and the same place counted in bytes, runes (Unicode code points), UTF-8 or UTF-16 units.
//
// A line ends at "\n", "\r\n" or a lone "\r", as Starlark's own scanner has it. A text that ends in a
// line end has one more, empty, line: the place where a cursor would stand.
package source

import (
	"strconv"
	"strings"
)

// File is one immutable text of a plan.
type File struct {
	Path string // slash-separated, from the plan's root, as messages show it
	Text string

	index  lineIndex
	shared *lineIndex // in place of index, for a file made from another
}

// New makes a file of a text.
func New(path, text string) *File { return &File{Path: path, Text: text} }

// Point is a place in a text: line and column from 1, columns in Unicode code points.
// The zero Point is no place.
type Point struct{ Line, Col int32 }

// Before tells whether p stands earlier in a text than q.
func (p Point) Before(q Point) bool {
	return p.Line < q.Line || p.Line == q.Line && p.Col < q.Col
}

func (p Point) compare(q Point) int {
	switch {
	case p.Before(q):
		return -1
	case q.Before(p):
		return 1
	}
	return 0
}

// Span is a stretch of one file, its end exclusive. The zero Span is no place.
type Span struct {
	File       *File
	Start, End Point
}

// IsValid tells whether the span names a place.
func (s Span) IsValid() bool { return s.File != nil && s.Start.Line > 0 }

// Text is the text covered, "" for no place.
func (s Span) Text() string {
	if !s.IsValid() {
		return ""
	}
	start, end := s.File.Offset(s.Start), s.File.Offset(s.End)
	if end < start {
		return ""
	}
	return s.File.Text[start:end]
}

// Contains tells whether the character at p is covered; an empty span contains nothing.
func (s Span) Contains(p Point) bool {
	return s.IsValid() && !p.Before(s.Start) && p.Before(s.End)
}

// Compare orders spans by file path, then start, then end, as -1, 0 or 1. No place comes first.
func (s Span) Compare(t Span) int {
	if c := strings.Compare(s.path(), t.path()); c != 0 {
		return c
	}
	if c := s.Start.compare(t.Start); c != 0 {
		return c
	}
	return s.End.compare(t.End)
}

func (s Span) path() string {
	if s.File == nil {
		return ""
	}
	return s.File.Path
}

// String is the span's start as messages show it, "farm.star:12:5"; "" for no place.
func (s Span) String() string {
	if !s.IsValid() {
		return ""
	}
	return s.path() + ":" + strconv.Itoa(int(s.Start.Line)) + ":" + strconv.Itoa(int(s.Start.Col))
}
