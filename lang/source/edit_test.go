package source_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/source"
)

// An edited file cannot be told from one made of its text, whatever edits led there.
func TestEdit(t *testing.T) {
	texts := rapid.StringOf(rapid.SampledFrom([]rune("ab é🌽\r\n\r\n")))
	rapid.Check(t, func(t *rapid.T) {
		f := source.New("farm.star", texts.Draw(t, "text"))
		for range rapid.IntRange(1, 6).Draw(t, "edits") {
			n := len(f.Text)
			start := rapid.IntRange(-1, n+1).Draw(t, "start")
			end := rapid.IntRange(start-1, n+2).Draw(t, "end")
			text := texts.Draw(t, "new text")
			from := min(max(start, 0), n)
			to := min(max(end, from), n)
			want := source.New("farm.star", f.Text[:from]+text+f.Text[to:])
			f = f.Edit(start, end, text)
			require.Equal(t, want.Text, f.Text)
			require.Equal(t, want.Lines(), f.Lines())
			for line := 1; line <= want.Lines(); line++ {
				require.Equal(t, want.Line(line), f.Line(line), "line %d of %q", line, f.Text)
			}
			for at := 0; at <= len(f.Text); at++ {
				require.Equal(t, want.Point(at), f.Point(at), "byte %d of %q", at, f.Text)
				require.Equal(t, want.Offset(want.Point(at)), f.Offset(f.Point(at)))
			}
		}
	})
}

func TestAs(t *testing.T) {
	f := source.New("farm.star", strings.Repeat("é = 1\n", 3))
	g := f.As("other.star")
	require.Equal(t, "other.star:3:3", g.Span(17, 18).String())
	require.Equal(t, f.Text, g.Text)
	require.Equal(t, 4, f.Lines())
	require.Equal(t, f.Point(9), g.As("farm.star").Point(9))
}

func BenchmarkEdit(b *testing.B) {
	f := source.New("farm.star", strings.Repeat("row(bench, at = 4 * ft)\n", 50_000))
	f.Lines()
	for b.Loop() {
		g := f.Edit(600_000, 600_003, "row")
		g.Point(600_100)
	}
}
