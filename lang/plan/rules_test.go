package plan_test

import (
	"context"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"haulm/lang/diag"
	"haulm/lang/plan"
	"haulm/stdlib/season"
)

// check checks a plan of one file, or of the files of a text archive.
func check(text string) *plan.Snapshot { return checkOn(text, season.None) }

func checkOn(text string, today season.Date) *plan.Snapshot {
	files := fstest.MapFS{"farm.star": {Data: []byte(text)}}
	if strings.HasPrefix(text, "-- ") {
		for _, f := range txtar.Parse([]byte(text)).Files {
			files[f.Name] = &fstest.MapFile{Data: f.Data}
		}
	}
	return plan.CheckOn(context.Background(), files, "farm.star", today)
}

func has(ds []diag.Diagnostic, code string) bool {
	return slices.ContainsFunc(ds, func(d diag.Diagnostic) bool { return d.Rule.Code == code })
}

// Every rule is explained, and its example shows the very finding. Four have no example a page could hold:
// a large file, fifty files, somebody's patience, and a network that does not come to rest.
func TestRules(t *testing.T) {
	seen := map[string]bool{}
	var without []string
	for _, r := range plan.Rules() {
		t.Run(r.Code, func(t *testing.T) {
			require.False(t, seen[r.Code], "declared twice")
			seen[r.Code] = true
			require.NotEmpty(t, r.Summary)
			require.NotEmpty(t, r.Explain)
			require.NotEmpty(t, r.Source)
			if r.Example == "" {
				without = append(without, r.Code)
				return
			}
			today := season.None
			if r.Code == "recorded-ahead" { // the one that hangs on the day
				today = season.On(2027, 6, 30)
			}
			require.True(t, has(checkOn(r.Example, today).Findings, r.Code), "the example does not show it")
		})
	}
	require.ElementsMatch(t, []string{"file-too-large", "load-too-deep", "out-of-time", "water-not-balanced"}, without)
}

const tight = `load("crops", "tomato")
farm("Test", year = 2027, access = 0)
bench = plot("Bench", length = 50 * ft, width = 40 * ft)
plant(row(bench, at = 4 * ft), tomato, fill = True, spacing = 24 * inch)
`

func TestAccept(t *testing.T) {
	near := func(comment string) string {
		return tight + "plant(row(bench, at = 5 * ft), tomato, fill = True, spacing = 24 * inch)" + comment + "\n"
	}
	require.True(t, has(check(near("")).Findings, "rows-too-close"))

	s := check(near(" # accept: rows-too-close — the cart goes round the other side"))
	require.Empty(t, s.Findings)
	require.Len(t, s.Accepted, 1)
	require.Equal(t, "the cart goes round the other side", s.Accepted[0].Accept.Reason)

	for name, c := range map[string]struct{ text, code, message string }{
		"gone":             {tight + "# accept: rows-too-close — no longer\nx = 1\n", "stale-accept", "nothing here is rows-too-close; this accept is not needed"},
		"misspelled":       {near(" # accept: rows-to-close — a slip"), "stale-accept", "there is no finding called rows-to-close"},
		"not acceptable":   {"farm(\"T\", year = 2027, acess = 3) # accept: unknown-argument — why not\n", "stale-accept", "unknown-argument cannot be accepted: the plan cannot be worked out with it"},
		"without reason":   {near(" # accept: rows-too-close"), "accept-without-reason", ""},
		"only where it is": {near("") + "# accept: rows-too-close — elsewhere\nx = 1\n", "rows-too-close", ""},
	} {
		t.Run(name, func(t *testing.T) {
			s := check(c.text)
			i := slices.IndexFunc(s.Findings, func(d diag.Diagnostic) bool { return d.Rule.Code == c.code })
			require.GreaterOrEqual(t, i, 0)
			if c.message != "" {
				require.Equal(t, c.message, s.Findings[i].Message)
			}
		})
	}
}

// An accept next to the call of a helper covers what the helper declares.
func TestAcceptAtTheCaller(t *testing.T) {
	s := check(tight + `def more(at):
    plant(row(bench, at = at), tomato, fill = True, spacing = 24 * inch)

more(5 * ft) # accept: rows-too-close — picked from the other side
`)
	require.Empty(t, s.Findings)
	require.Len(t, s.Accepted, 1)
}

func TestTrouble(t *testing.T) {
	s := plan.Check(context.Background(), fstest.MapFS{}, "farm.star")
	require.EqualError(t, s.Trouble, "farm.star: there is no such file")
}
