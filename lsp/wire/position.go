// Package wire holds what goes over the protocol's wire beside the types of protocol_3_16: messages of
// version 3.17, capabilities with only what the server looks at, and positions. In go spans of lang/source and
// an encoding agreed on with the client; out come positions and ranges as the client counts them, and back.
package wire

import (
	protocol "github.com/tliron/glsp/protocol_3_16"

	"haulm/lang/source"
)

// Encoding is how client and server count columns.
type Encoding string

// The encodings that the server knows. UTF-16 is what holds when nothing was agreed on.
const (
	UTF8  Encoding = "utf-8"
	UTF16 Encoding = "utf-16"
)

// Agree picks UTF-8 where the client offers it, else UTF-16.
func Agree(offered []Encoding) Encoding {
	for _, e := range offered {
		if e == UTF8 {
			return UTF8
		}
	}
	return UTF16
}

// Position is a place of a text as the client counts it; a place outside the text is clamped.
func (e Encoding) Position(f *source.File, p source.Point) protocol.Position {
	line, unit := f.UTF16(p)
	if e == UTF8 {
		line, unit = f.UTF8(p)
	}
	return protocol.Position{Line: uint32(line), Character: uint32(unit)}
}

// Range is a span as the client counts it: the empty range at the text's beginning for no place.
func (e Encoding) Range(s source.Span) protocol.Range {
	if !s.IsValid() {
		return protocol.Range{}
	}
	return protocol.Range{Start: e.Position(s.File, s.Start), End: e.Position(s.File, s.End)}
}

// Point is the place in a text that a position means. Past a line's end it is that end, past the
// text's end the text's end.
func (e Encoding) Point(f *source.File, p protocol.Position) source.Point {
	line, unit := clamp(p.Line), clamp(p.Character)
	if e == UTF8 {
		return f.FromUTF8(line, unit)
	}
	return f.FromUTF16(line, unit)
}

// clamp keeps a position inside what an int of any machine holds.
func clamp(n uint32) int { return int(min(n, 1<<31-1)) }

// Span is the stretch of a text that a range means; one that ends before it starts is empty.
func (e Encoding) Span(f *source.File, r protocol.Range) source.Span {
	s := source.Span{File: f, Start: e.Point(f, r.Start), End: e.Point(f, r.End)}
	if s.End.Before(s.Start) {
		s.End = s.Start
	}
	return s
}
