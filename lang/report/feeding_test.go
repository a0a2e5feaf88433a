package report_test

import (
	"context"
	"os"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	front "haulm/lang/plan"
	"haulm/lang/report"
)

func TestFeedingTables(t *testing.T) {
	text, err := os.ReadFile("testdata/feeding.star")
	require.NoError(t, err)
	s := front.Check(context.Background(), fstest.MapFS{"farm.star": {Data: text}}, "farm.star")
	require.NoError(t, s.Trouble)
	requireTables(t, "fed-", report.Feeding(s.Facts), report.FeedingRows(s.Facts), report.FeedingDays(s.Facts), report.FeedingPlots(s.Facts), report.Shopping(s.Facts))
	for item, name := range map[string]string{"Top": "fed-why-plot.txt", "Top/1/cherry tomato": "fed-why-planting.txt"} {
		why, err := report.Why(s.Facts, item)
		require.NoError(t, err)
		golden(t, name, []byte(why))
	}
	for _, table := range []report.Table{report.Feeding(derive.Derive(nil)), report.FeedingRows(nil), report.FeedingDays(nil), report.FeedingPlots(nil)} {
		require.Empty(t, table.Rows)
		requireValid(t, table)
	}
}
