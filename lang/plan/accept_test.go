package plan

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

// The index finds the accept that looking at one after the other finds, also where statements lie inside
// each other.
func TestAcceptIndex(t *testing.T) {
	files := []*source.File{source.New("a.star", ""), source.New("b.star", "")}
	rapid.Check(t, func(t *rapid.T) {
		span := func(name string) source.Span {
			line := func(part string) int32 { return rapid.Int32Range(1, 12).Draw(t, name+part) }
			return source.Span{
				File:  rapid.SampledFrom(files).Draw(t, name+" file"),
				Start: source.Point{Line: line(" from"), Col: 1}, End: source.Point{Line: line(" to"), Col: 5},
			}
		}
		codes := rapid.SliceOfN(rapid.SampledFrom([]string{"x", "y"}), 1, 2)
		var accepts []syntax.Accept
		for range rapid.IntRange(0, 8).Draw(t, "accepts") {
			accepts = append(accepts, syntax.Accept{Codes: codes.Draw(t, "codes"), Target: span("target")})
		}
		place := span("place")
		want := slices.IndexFunc(accepts, func(a syntax.Accept) bool {
			return slices.Contains(a.Codes, "x") && a.Target.File == place.File && a.Target.Contains(place.Start)
		})
		require.Equal(t, want, indexAccepts(accepts).at("x", place))
	})
}
