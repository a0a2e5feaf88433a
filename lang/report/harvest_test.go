package report_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"io"
	"os"
	"strconv"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"haulm/lang/derive"
	front "haulm/lang/plan"
	"haulm/lang/report"
)

// inSeason is a small farm with a crew, prices and wants, from testdata/season.star.
func inSeason(t *testing.T) *derive.Facts {
	text, err := os.ReadFile("testdata/season.star")
	require.NoError(t, err)
	s := front.Check(context.Background(), fstest.MapFS{"farm.star": {Data: text}}, "farm.star")
	require.NoError(t, s.Trouble)
	return s.Facts
}

// requireTables compares a table's text and CSV with their files, and its JSON with its schema.
func requireTables(t *testing.T, prefix string, tables ...report.Table) {
	for _, table := range tables {
		t.Run(table.Name, func(t *testing.T) {
			var text, csv bytes.Buffer
			require.NoError(t, table.WriteText(&text, 0))
			require.NoError(t, table.WriteCSV(&csv))
			golden(t, prefix+table.Name+".txt", text.Bytes())
			golden(t, prefix+table.Name+".csv", csv.Bytes())
			requireValid(t, table)
		})
	}
}

func TestHarvestTables(t *testing.T) {
	facts := inSeason(t)
	requireTables(t, "season-", report.Harvest(facts), report.HarvestWeeks(facts), report.Wants(facts))
	for _, table := range []report.Table{report.Harvest(derive.Derive(nil)), report.HarvestWeeks(nil), report.Wants(nil)} {
		require.Empty(t, table.Rows)
		requireValid(t, table)
	}
}

func TestLaborTables(t *testing.T) {
	facts := inSeason(t)
	requireTables(t, "season-", report.Labor(facts), report.Jobs(facts), report.LaborPlots(facts))
	for _, table := range []report.Table{report.Labor(derive.Derive(nil)), report.Jobs(derive.Derive(nil)), report.LaborPlots(derive.Derive(nil))} {
		require.Empty(t, table.Rows)
		requireValid(t, table)
	}
}

// The charts are whole XML, keep inside their page, and say so when there is nothing to draw.
func TestSeasonCharts(t *testing.T) {
	facts := inSeason(t)
	for name, draw := range map[string]func(*derive.Facts) *report.Charts{"labor": report.LaborCharts, "harvest": report.HarvestCharts} {
		t.Run(name, func(t *testing.T) {
			var out, none bytes.Buffer
			require.NoError(t, draw(facts).WriteSVG(&out))
			golden(t, "season-"+name+".svg", out.Bytes())
			d := xml.NewDecoder(bytes.NewReader(out.Bytes()))
			for {
				token, err := d.Token()
				if err == io.EOF {
					break
				}
				require.NoError(t, err)
				if e, ok := token.(xml.StartElement); ok && e.Name.Local == "rect" {
					for _, a := range e.Attr {
						if a.Name.Local == "height" && a.Value != "100%" {
							h, err := strconv.ParseFloat(a.Value, 64)
							require.NoError(t, err)
							require.GreaterOrEqual(t, h, 0.0)
						}
					}
				}
			}
			require.NoError(t, draw(derive.Derive(nil)).WriteSVG(&none))
			require.Contains(t, none.String(), "to draw.")
		})
	}
}
