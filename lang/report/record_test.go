package report_test

import (
	"context"
	"os"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/format"
	front "haulm/lang/plan"
	"haulm/lang/report"
	"haulm/lang/source"
	"haulm/stdlib/season"
)

// happened is the farm of testdata/season.star with a record of its season.
func happened(t *testing.T, more string, today season.Date) *derive.Facts {
	text, err := os.ReadFile("testdata/season.star")
	require.NoError(t, err)
	record, err := os.ReadFile("testdata/happened.csv")
	require.NoError(t, err)
	s := front.CheckOn(context.Background(), fstest.MapFS{
		"farm.star": {Data: []byte(string(text) + "record(\"record.csv\")\n" + more)}, "record.csv": {Data: record},
	}, "farm.star", today)
	require.NoError(t, s.Trouble)
	for _, d := range s.Findings {
		require.NotEqual(t, diag.Error, d.Rule.Severity, d.Message)
	}
	return s.Facts
}

func TestRecordTables(t *testing.T) {
	facts := happened(t, "", season.None)
	requireTables(t, "season-", report.Record(facts), report.RecordWork(facts), report.OwnRates(facts))
	for _, table := range []report.Table{report.Record(nil), report.RecordWork(derive.Derive(nil)), report.OwnRates(derive.Derive(nil))} {
		require.Empty(t, table.Rows)
		requireValid(t, table)
	}
}

// What is still being picked has no yield of its own yet.
func TestOwnRatesOfWhatIsOver(t *testing.T) {
	for _, o := range happened(t, "", season.On(2027, 9, 12)).Record.Rates() {
		require.Equal(t, o.Crop.Name == "radish", o.Window > 0 || o.Crop.Name == "radish", o.Crop.Title())
		require.NotZero(t, o.Days)
		require.Zero(t, o.Yield)
	}
}

// The own rates are plan text, laid out as plans are, and give the farm these rates.
func TestOwnRatesPlan(t *testing.T) {
	facts := happened(t, "", season.None)
	text := report.OwnRatesPlan(facts)
	golden(t, "season-own_rates.star", []byte(text))
	ground := `farm("Ferry Bank", year = 2028)
bench = plot("Lower bench", length = 110 * ft, width = 60 * ft, headland = 5 * ft)
plant(row(bench, at = 4 * ft), own_lantern_red, fill = True, spacing = 18 * inch, on = "2028-05-20")
plant(row(bench, at = 9 * ft), own_bead, fill = True, spacing = 30 * inch, on = "2028-05-09")
sow(row(bench, at = 14 * ft), own_radish, fill = True, spacing = 1 * inch, on = "2028-04-07")
`
	s := front.Check(context.Background(), fstest.MapFS{"farm.star": {Data: []byte(text + ground)}}, "farm.star")
	for _, d := range s.Findings {
		require.NotEqual(t, diag.Error, d.Rule.Severity, d.Message)
	}
	p := s.Facts.Plantings[0]
	require.Equal(t, 75, p.FirstHarvest.DaysSince(p.Plant))
	require.Equal(t, 40, p.LastHarvest.DaysSince(p.FirstHarvest))
	own := facts.Record.Rates()[0]
	require.InEpsilon(t, own.Yield*100*0.3048, s.Facts.Harvest().Plantings[0].Expected()*0.45359237, 0.01)
	for _, j := range s.Facts.Labor().Jobs {
		if j.Name == "weeding" {
			require.InEpsilon(t, 58.5*60/30.48, j.Each, 0.01)
		}
	}
	laid, err := format.Format(source.New("own.star", text))
	require.NoError(t, err)
	require.Equal(t, text, laid)
	require.Contains(t, report.OwnRatesPlan(nil), "Own rates")
}
