package report_test

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"testing/fstest"

	ics "github.com/arran4/golang-ical"
	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	front "haulm/lang/plan"
	"haulm/lang/report"
)

func icsOf(t *testing.T, facts *derive.Facts) string {
	var out bytes.Buffer
	require.NoError(t, report.CalendarICS(facts, &out))
	return out.String()
}

func TestCalendar(t *testing.T) {
	facts := inSeason(t)
	requireTables(t, "season-", report.Calendar(facts))
	golden(t, "season-calendar.ics", []byte(icsOf(t, facts)))
	table := report.Calendar(derive.Derive(nil))
	require.Empty(t, table.Rows)
	requireValid(t, table)
	require.Contains(t, icsOf(t, derive.Derive(nil)), "END:VCALENDAR\r\n")
}

// Every line ends in CR LF and has at most 75 bytes, and reading it back gives every event with its words.
func TestCalendarReadsBack(t *testing.T) {
	facts := inSeason(t)
	text := icsOf(t, facts)
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		require.LessOrEqual(t, len(line), 75)
		require.NotContains(t, line, "\n")
	}
	cal, err := ics.ParseCalendar(strings.NewReader(text))
	require.NoError(t, err)
	occasions := facts.Calendar()
	require.Len(t, cal.Events(), len(occasions))
	seen := map[string]bool{}
	for i, e := range cal.Events() {
		id := e.GetProperty(ics.ComponentPropertyUniqueId).Value
		require.False(t, seen[id])
		seen[id] = true
		require.Equal(t, strings.ReplaceAll(occasions[i].On.String(), "-", ""), e.GetProperty(ics.ComponentPropertyDtStart).Value)
		require.Contains(t, e.GetProperty(ics.ComponentPropertySummary).Value, occasions[i].What)
	}
}

const small = `load("crops", "radish")
farm("NAME", year = 2027)
bench = plot("NAME", length = 40 * ft, width = 20 * ft)
sow(row(bench, at = 4 * ft), radish, fill = True, spacing = 1 * inch, on = "2027-04-DAY")
`

func smallFacts(t *testing.T, name, day string) *derive.Facts {
	text := strings.NewReplacer("NAME", name, "DAY", day).Replace(small)
	s := front.Check(context.Background(), fstest.MapFS{"farm.star": {Data: []byte(text)}}, "farm.star")
	require.NoError(t, s.Trouble)
	require.Len(t, s.Facts.Plantings, 1)
	return s.Facts
}

// An event that moves to another day keeps its UID.
func TestCalendarKeepsUIDs(t *testing.T) {
	ids := func(day string) (out []string) {
		cal, err := ics.ParseCalendar(strings.NewReader(icsOf(t, smallFacts(t, "Bench", day))))
		require.NoError(t, err)
		for _, e := range cal.Events() {
			out = append(out, e.GetProperty(ics.ComponentPropertyUniqueId).Value)
		}
		return out
	}
	require.Equal(t, ids("05"), ids("19"))
}

// A name cannot end a line, open a component, or carry control characters out.
func TestCalendarHostileNames(t *testing.T) {
	for _, name := range []string{`a\r\nEND:VEVENT\r\nBEGIN:VALARM`, `semi;colon, comma\\n`, `\u202eright to left`, strings.Repeat("ü", 400), `\u0007bell`} {
		text := icsOf(t, smallFacts(t, name, "05"))
		require.Equal(t, 4, strings.Count(text, "\r\nBEGIN:VEVENT\r\n"))
		require.NotContains(t, text, "\r\nBEGIN:VALARM")
		require.NotContains(t, text, "\u202e")
		require.NotContains(t, text, "\a")
		cal, err := ics.ParseCalendar(strings.NewReader(text))
		require.NoError(t, err)
		require.Len(t, cal.Events(), 4)
	}
}
