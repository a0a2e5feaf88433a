package lsp

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	protocol "github.com/tliron/glsp/protocol_3_16"
)

// before is the plan of the year before the field's.
const before = `load("crops", "bell_pepper")
farm("Lower farm 🌽", year = 2026)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 2 * ft)
plant(row(bench, at = 4 * ft, name = "🌽 é"), bell_pepper, count = 8, spacing = 18 * inch, on = "2026-05-28")
`

// twoYears is an editor that shows the field, which looks back to the plan of the year before.
func twoYears(t *testing.T) (e *editor, now, then string) {
	dir := workspace(t, map[string]string{entryName: field + "previous(\"2026\")\n", "2026/farm.star": before})
	e = greeted(t, able, []string{dir})
	now, then = uriOf(filepath.Join(dir, entryName)), uriOf(filepath.Join(dir, "2026", entryName))
	e.open(now, field+"previous(\"2026\")\n")
	e.findings(now)
	return e, now, then
}

// Over a plot and at a planting the editor says what stood there the year before.
func TestSinceLastYear(t *testing.T) {
	e, uri, _ := twoYears(t)
	require.Eventually(t, func() bool {
		var lenses []protocol.CodeLens
		e.ask("textDocument/codeLens", documentParams(uri), &lenses)
		for _, l := range lenses {
			if strings.HasPrefix(l.Command.Title, "since last year: 1 renamed, 1 resized") {
				return true
			}
		}
		return false
	}, 20*time.Second, 20*time.Millisecond)
	var h struct{ Contents protocol.MarkupContent }
	e.ask("textDocument/hover", at(uri, 4, 2), &h)
	require.Contains(t, h.Contents.Value, "Last year: bell pepper, 8 plants at 18 in, planted May 28, on 80 % of this ground; now 10 plants, planted Jun 1.")
	require.NoError(t, e.leave())
}

// From a planting the editor goes to where the plan of the year before has it, open or not, edited or not.
func TestToLastYear(t *testing.T) {
	e, uri, earlier := twoYears(t)
	to := func() []protocol.Location {
		var list []protocol.Location
		e.ask("textDocument/declaration", at(uri, 4, 2), &list)
		return list
	}
	line := strings.Split(before, "\n")[3]
	end := uint32(len(line))
	require.Equal(t, []protocol.Location{{URI: earlier, Range: span(3, 0, 3, end)}}, to())
	e.open(earlier, before)
	e.edit(earlier, change(2, 0, 2, 0, "# é\n\n"))
	require.Equal(t, []protocol.Location{{URI: earlier, Range: span(5, 0, 5, end)}}, to())
	var none []protocol.Location
	e.ask("textDocument/declaration", at(uri, 2, 2), &none)
	require.Empty(t, none, "a plot is no planting")
	e.ask("textDocument/declaration", at(earlier, 5, 2), &none)
	require.Empty(t, none, "that plan looks back to none")
	require.NoError(t, e.leave())
}
