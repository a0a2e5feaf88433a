package report_test

import (
	"bytes"
	"context"
	"os"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	front "haulm/lang/plan"
	"haulm/lang/report"
)

// worked is a small farm that raises, holds up and sprays what it grows, from testdata/work.star.
func worked(t *testing.T) *derive.Facts {
	text, err := os.ReadFile("testdata/work.star")
	require.NoError(t, err)
	s := front.Check(context.Background(), fstest.MapFS{"farm.star": {Data: text}}, "farm.star")
	require.NoError(t, s.Trouble)
	return s.Facts
}

func workTables(facts *derive.Facts) []report.Table {
	return []report.Table{
		report.Nursery(facts), report.Seed(facts), report.NurseryWeeks(facts), report.Vessels(facts), report.Support(facts),
		report.Strings(facts), report.Cuts(facts), report.Protection(facts), report.Calendar(facts),
	}
}

func TestWorkTables(t *testing.T) {
	for _, table := range workTables(worked(t)) {
		t.Run(table.Name, func(t *testing.T) {
			var text, csv bytes.Buffer
			require.NoError(t, table.WriteText(&text, 0))
			require.NoError(t, table.WriteCSV(&csv))
			golden(t, "work-"+table.Name+".txt", text.Bytes())
			golden(t, "work-"+table.Name+".csv", csv.Bytes())
			requireValid(t, table)
		})
	}
}

// A plan without trays, trellises and protectants has tables without rows.
func TestNoWork(t *testing.T) {
	for _, table := range workTables(derive.Derive(nil)) {
		require.Empty(t, table.Rows, table.Name)
		requireValid(t, table)
	}
}

func TestWorkWhy(t *testing.T) {
	facts := worked(t)
	for item, name := range map[string]string{"Top/1": "work-why-row.txt", "Top/1/Bead": "work-why-planting.txt", "Top/2": "work-why-stakes.txt"} {
		text, err := report.Why(facts, item)
		require.NoError(t, err)
		golden(t, name, []byte(text))
	}
}
