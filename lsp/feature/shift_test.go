package feature_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lsp/feature"
)

func docs(old, now string) *feature.Doc {
	f := source.New("farm.star", old)
	return feature.NewDoc(source.New("farm.star", now), feature.NewPlan(&plan.Snapshot{Files: []*source.File{f}}, nil))
}

func TestPlacesAfterEdits(t *testing.T) {
	for _, c := range []struct {
		name, old, now, text string // text is marked by its place in now: the first of it
		then                 string // what it was, "" for nowhere
		fresh                bool
	}{
		{"nothing changed", "a\nb\n", "a\nb\n", "b", "b", true},
		{"line added before", "a\nb\n", "x\na\nb\n", "b", "b", true},
		{"line added after", "a\nb\n", "a\nb\nx\n", "a\nb", "a\nb", true},
		{"line taken out", "x\na\nb", "a\nb", "b", "b", true},
		{"behind an edit in the line", "row(a, at = 4)", "row(a, at = 40)", "row", "row", true},
		{"the edited number", "row(a, at = 4 * ft)", "row(a, at = 40 * ft)", "40", "4", false},
		{"the call around it", "x = row(a, at = 4 * ft)\n", "x = row(a, at = 40 * ft)\n", "row(a, at = 40 * ft)", "row(a, at = 4 * ft)", false},
		{"after it in the line", "row(a, at = 4 * ft)", "row(a, at = 40 * ft)", "ft", "ft", true},
		{"the next line", "row(4)\nb()\n", "row(45)\nb()\n", "b()", "b()", true},
		{"two edits", "a = 1\nb = 2\nc = 3\nd = 4\n", "a = 11\nb = 2\nc = 3\nd = 44\n", "c = 3", "c = 3", true},
		{"lines moved", "a = 1\nb = 2\nc = 3\nd = 4\n", "c = 3\nd = 4\na = 1\nb = 2\n", "d = 4", "d = 4", true},
		{"new line between two edits", "a = 1\nb = 2\nc = 3\n", "a = 4\nx = 1\nb = 2\nc = 5\n", "b = 2", "b = 2", true},
		{"a line that was not there", "a = 1\nc = 3\n", "a = 1\nx = 9\nc = 3\n", "x = 9", "", false},
		{"CRLF and wide characters", "é🌽 = 1\r\nb = 2\r\n", "é🌽 = 1\r\n# 🌽\r\nb = 2\r\n", "b = 2", "b = 2", true},
		{"all new", "a\nb\n", "zz\nyy", "yy", "", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := docs(c.old, c.now)
			at := strings.Index(c.now, c.text)
			span := d.File.Span(at, at+len(c.text))
			then, fresh := d.Evaluated(span)
			require.Equal(t, c.then, then.Text())
			require.Equal(t, c.fresh, fresh)
			if fresh {
				back, ok := d.Now(then)
				require.True(t, ok)
				require.Equal(t, span, back)
			}
		})
	}
}

// Whatever is edited, a place that counts as unchanged has the same text on both sides, and leads back.
func TestPlacesAreTrue(t *testing.T) {
	lines := rapid.SampledFrom([]string{"a = 1", "b = 2", "row(a)", "", "é = '🌽'", "x", "\tplot(", ")"})
	texts := rapid.Custom(func(t *rapid.T) string { return strings.Join(rapid.SliceOfN(lines, 0, 9).Draw(t, "lines"), "\n") })
	rapid.Check(t, func(t *rapid.T) {
		d := docs(texts.Draw(t, "old"), texts.Draw(t, "now"))
		n := len([]byte(d.File.Text))
		from := rapid.IntRange(0, n).Draw(t, "from")
		span := d.File.Span(from, rapid.IntRange(from, n).Draw(t, "to"))
		then, fresh := d.Evaluated(span)
		if fresh {
			require.Equal(t, span.Text(), then.Text())
		}
		if then.IsValid() {
			require.Equal(t, then.Start, then.File.Point(then.File.Offset(then.Start)))
			require.Equal(t, then.End, then.File.Point(then.File.Offset(then.End)))
		}
	})
}
