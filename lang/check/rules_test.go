package check_test

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"haulm/lang/check"
	"haulm/lang/plan"
	"haulm/stdlib/season"
)

// unshown is the code that no plan is known to bring about: a network that does not come to rest. Its
// wording is held by TestWaterNotBalanced.
const unshown = "water-not-balanced"

// exampleFiles are the files of an example: farm.star alone, or those of a text archive.
func exampleFiles(example string) fstest.MapFS {
	if !strings.HasPrefix(example, "-- ") {
		return fstest.MapFS{"farm.star": {Data: []byte(example)}}
	}
	files := fstest.MapFS{}
	for _, f := range txtar.Parse([]byte(example)).Files {
		files[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	return files
}

// TestRules holds that every rule explains itself and that its example shows it.
func TestRules(t *testing.T) {
	codes := map[string]bool{}
	for _, r := range check.Rules() {
		t.Run(r.Code, func(t *testing.T) {
			require.False(t, codes[r.Code], "two rules have this code")
			codes[r.Code] = true
			require.NotEmpty(t, r.Summary)
			require.NotContains(t, r.Summary, "\n")
			require.NotEmpty(t, r.Source)
			require.Greater(t, strings.Count(r.Explain, ". ")+strings.Count(r.Explain, ".\n"), 1, "the explanation has several sentences")

			if r.Code == unshown {
				return
			}
			today := season.None
			if r.Code == "recorded-ahead" { // the one that hangs on the day
				today = season.On(2027, time.June, 30)
			}
			s := plan.CheckOn(context.Background(), exampleFiles(r.Example), "farm.star", today)
			found := map[string]bool{}
			for i := range s.Findings {
				found[s.Findings[i].Code()] = true
			}
			require.True(t, found[r.Code], "the example does not show the finding:\n%s", listing(s.Findings))
			for code := range found {
				require.True(t, code == r.Code || code == "unused-declaration" || code == "row-feet-left-over",
					"the example also shows %s:\n%s", code, listing(s.Findings))
			}
		})
	}
}
