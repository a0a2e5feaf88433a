package wire_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	protocol "github.com/tliron/glsp/protocol_3_16"
	"pgregory.net/rapid"

	"haulm/lang/source"
	"haulm/lsp/wire"
)

func TestAgree(t *testing.T) {
	require.Equal(t, wire.UTF16, wire.Agree(nil))
	require.Equal(t, wire.UTF16, wire.Agree([]wire.Encoding{"utf-32", wire.UTF16}))
	require.Equal(t, wire.UTF8, wire.Agree([]wire.Encoding{wire.UTF16, "utf-32", wire.UTF8}))
}

func at(line, char uint32) protocol.Position { return protocol.Position{Line: line, Character: char} }

func TestRanges(t *testing.T) {
	f := source.New("farm.star", "é🌽x\r\nab\n")
	corn := source.Span{File: f, Start: source.Point{Line: 1, Col: 2}, End: source.Point{Line: 1, Col: 3}}
	require.Equal(t, protocol.Range{Start: at(0, 1), End: at(0, 3)}, wire.UTF16.Range(corn))
	require.Equal(t, protocol.Range{Start: at(0, 2), End: at(0, 6)}, wire.UTF8.Range(corn))
	require.Equal(t, corn, wire.UTF16.Span(f, wire.UTF16.Range(corn)))
	require.Equal(t, corn, wire.UTF8.Span(f, wire.UTF8.Range(corn)))

	require.Equal(t, protocol.Range{}, wire.UTF16.Range(source.Span{}))
	backwards := wire.UTF16.Span(f, protocol.Range{Start: at(1, 1), End: at(0, 0)})
	require.Equal(t, backwards.Start, backwards.End)
	most := ^uint32(0)
	require.Equal(t, source.Point{Line: 3, Col: 1}, wire.UTF16.Point(f, at(most, most)))
	require.Equal(t, source.Point{Line: 2, Col: 3}, wire.UTF8.Point(f, at(1, most)))
}

// A place goes to the client and comes back as itself; whatever the client sends is a place of the text.
func TestRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := source.New("a.star", rapid.StringOf(rapid.SampledFrom([]rune("aé🌽\r\n\t"))).Draw(t, "text"))
		p := f.Point(rapid.IntRange(0, len(f.Text)).Draw(t, "offset"))
		sent := at(rapid.Uint32().Draw(t, "line"), rapid.Uint32().Draw(t, "character"))
		for _, e := range []wire.Encoding{wire.UTF8, wire.UTF16} {
			require.Equal(t, p, e.Point(f, e.Position(f, p)))
			q := e.Point(f, sent)
			require.Equal(t, q, f.Point(f.Offset(q)))
		}
	})
}
