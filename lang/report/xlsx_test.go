package report_test

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"haulm/lang/derive"
	"haulm/lang/report"
	"haulm/stdlib/season"
)

func workbook(t *testing.T, tables ...report.Table) (*excelize.File, []byte) {
	var out bytes.Buffer
	require.NoError(t, report.WriteXLSX(&out, tables))
	f, err := excelize.OpenReader(bytes.NewReader(out.Bytes()))
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f, out.Bytes()
}

// The sheets hold what the CSV holds: the same heads, numbers as numbers, days as days.
func TestWorkbookIsTheCSV(t *testing.T) {
	for _, facts := range []*derive.Facts{watered(t), benches().facts(), metricFarm().facts()} {
		tables := []report.Table{report.Plots(facts), report.Plantings(facts), report.Tape(facts), report.Watering(facts)}
		f, _ := workbook(t, tables...)
		require.Equal(t, []string{"plots", "plantings", "tape", "watering"}, f.GetSheetList())
		for _, table := range tables {
			var text bytes.Buffer
			require.NoError(t, table.WriteCSV(&text))
			want, err := csv.NewReader(&text).ReadAll()
			require.NoError(t, err)
			got, err := f.GetRows(table.Name, excelize.Options{RawCellValue: true})
			require.NoError(t, err)
			require.Len(t, got, len(want), table.Name)
			for i := range want {
				for j, cell := range want[i] {
					have := ""
					if j < len(got[i]) {
						have = got[i][j]
					}
					if d, err := season.Parse(cell); err == nil {
						cell = strconv.Itoa(int(d) + 25569)
					}
					require.Equal(t, strings.TrimPrefix(cell, "'"), have, "%s, row %d, column %d", table.Name, i, j)
				}
			}
		}
	}
}

// A name stays a name, whatever a spreadsheet would make of it.
func TestWorkbookWithHostileNames(t *testing.T) {
	for _, name := range []string{"=cmd()", "+1", "-2+3", "@SUM(A1)", "<script>", "\x00\x1b", "\u202etxt", strings.Repeat("x", 40000), "123", "a\r\nb"} {
		b := benches()
		b.f.Plots[0].Name = given(name)
		f, _ := workbook(t, report.Plots(b.facts()))
		formula, err := f.GetCellFormula("plots", "A2")
		require.NoError(t, err)
		require.Empty(t, formula)
		kind, err := f.GetCellType("plots", "A2")
		require.NoError(t, err)
		require.Equal(t, excelize.CellTypeInlineString, kind)
		value, err := f.GetCellValue("plots", "A2")
		require.NoError(t, err)
		require.LessOrEqual(t, len([]rune(value)), 32767)
	}
}

func TestWorkbookRepeatsItself(t *testing.T) {
	facts := watered(t)
	tables := []report.Table{report.Plots(facts), report.Plantings(facts), report.Tape(facts), report.Watering(facts), report.Shopping(facts)}
	_, first := workbook(t, tables...)
	for range 5 {
		_, again := workbook(t, tables...)
		require.Equal(t, first, again)
	}
}
