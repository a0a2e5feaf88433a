package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/report"
	"haulm/stdlib/quantity"
)

// metricFarm is a farm in meters with a plan's usual slips: what hangs on them is not known.
func metricFarm() *builder {
	b := newFarm("Sörby", quantity.Metric)
	p := b.plot("Norra lyckan", 0, 0, 0)
	p.Length, p.Width, p.Headland = length(30), length(12), length(1.5)
	for _, at := range []float64{1, 2.25, 3.5} {
		r := b.row(p, 0)
		r.At = length(at)
		r.Lines, r.LineSpacing, r.BedWidth = given(3), length(0.25), length(0.75)
	}
	b.fill(b.f.Rows[0], carrot(), "2027-05-02").Direct = true
	b.count(b.f.Rows[1], kale(), 20, "2027-05-20").Spacing = length(0.45)
	b.count(b.f.Rows[2], kale(), 20, "").Spacing = length(0.45)
	nothing := kale()
	nothing.InRow.Grade = ""
	b.count(b.f.Rows[2], nothing, 5, "2026-09-20")
	b.f.Plots = append(b.f.Plots, &farm.Plot{Name: given("no size yet")})
	return b
}

func text(t *testing.T, table report.Table, width int) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, table.WriteText(&b, width))
	return b.String()
}

func TestGoldenTables(t *testing.T) {
	for name, b := range map[string]*builder{"benches": benches(), "metric": metricFarm()} {
		facts := b.facts()
		for kind, table := range map[string]report.Table{"plots": report.Plots(facts), "plantings": report.Plantings(facts)} {
			t.Run(name+" "+kind, func(t *testing.T) {
				for suffix, write := range map[string]func(io.Writer) error{
					".txt":    func(w io.Writer) error { return table.WriteText(w, 0) },
					".80.txt": func(w io.Writer) error { return table.WriteText(w, 80) },
					".40.txt": func(w io.Writer) error { return table.WriteText(w, 40) },
					".csv":    table.WriteCSV,
					".json":   table.WriteJSON,
				} {
					var got bytes.Buffer
					require.NoError(t, write(&got))
					golden(t, name+"-"+kind+suffix, got.Bytes())
				}
			})
		}
	}
}

func TestTablesWithoutRows(t *testing.T) {
	for _, facts := range []*derive.Facts{nil, {}, derive.Derive(nil), newFarm("Bare", quantity.US).facts()} {
		require.Equal(t, "The plan has no plots.\n", text(t, report.Plots(facts), 80))
		require.Equal(t, "The plan has no plantings.\n", text(t, report.Plantings(facts), 0))
		for _, table := range []report.Table{report.Plots(facts), report.Plantings(facts)} {
			requireValid(t, table)
		}
	}
}

// Lines are never wider than asked once the table is down to what cannot be left out.
func TestTextKeepsToTheWidth(t *testing.T) {
	b := benches()
	b.f.Plots[0].Name = given("a plot whose name is so long that it needs a line of its own and more")
	b.f.Rows[0].Name = given("北の畝と南の畝")
	facts := b.facts()
	for _, table := range []report.Table{report.Plots(facts), report.Plantings(facts)} {
		for width := 50; width <= 240; width++ {
			for line := range strings.SplitSeq(text(t, table, width), "\n") {
				require.LessOrEqual(t, shownWidth(line), width, "%q at %d", line, width)
			}
		}
		text(t, table, 1) // and it ends at any width
	}
}

// shownWidth counts terminal columns of the few scripts that the tests use.
func shownWidth(line string) int {
	n := 0
	for _, r := range line {
		n++
		if r >= 0x3000 && r < 0xa000 {
			n++
		}
	}
	return n
}

func TestTextAlignsAndTotals(t *testing.T) {
	lines := strings.Split(text(t, report.Plots(benches().facts()), 0), "\n")
	lines = lines[1:] // the upper line of the heads
	require.True(t, strings.HasPrefix(lines[0], "plot "))
	end := strings.Index(lines[0], "plants") + len("plants")
	for _, line := range []string{lines[2], lines[3], lines[5]} {
		require.Contains(t, "0123456789", string([]rune(line)[end-1]), line)
		require.Equal(t, " ", string([]rune(line)[end]), line)
	}
	require.Contains(t, lines[5], "total")
	require.Contains(t, lines[5], "2800 sq ft") // 52 x 40 + 30 x 24
	require.Contains(t, lines[5], "390 ft")     // 7 rows of 42 ft and 4 of 24 ft
}

// A name cannot move the cursor, end a line or turn the text round.
func TestTextIsSafe(t *testing.T) {
	b := benches()
	b.f.Plots[0].Name = given("a\x1b[2Jb\nc\u202ed\u2028e\u009bf")
	got := text(t, report.Plots(b.facts()), 0)
	require.Len(t, strings.Split(got, "\n"), 8)
	for _, r := range got {
		require.False(t, r < 0x20 && r != '\n' || r >= 0x7f && r < 0xa0 || r == 0x202e || r == 0x2028, "%U", r)
	}
}

func TestCSVGuardsNames(t *testing.T) {
	for _, c := range []struct{ name, want string }{
		{"Lower bench", "Lower bench"},
		{"=1+1", "'=1+1"},
		{"+1", "'+1"},
		{"-1", "'-1"},
		{"@SUM(A1)", "'@SUM(A1)"},
		{"＝1", "'＝1"},
		{"\t=1", "'\t=1"},
		{"\r=1", "'\r=1"},
		{"\x00=1", "'\x00=1"},
		{"a=1", "a=1"},
		{`a "b", c`, `a "b", c`},
	} {
		b := newFarm("F", quantity.US)
		b.plot(c.name, 10, 10, 0)
		var out bytes.Buffer
		require.NoError(t, report.Plots(b.facts()).WriteCSV(&out))
		require.True(t, strings.HasSuffix(out.String(), "\r\n"))
		rows := readCSV(t, out.String())
		require.Equal(t, c.want, rows[1][0])
		require.Equal(t, "10", rows[1][1])
	}
}

// readCSV reads RFC 4180 by the letter: encoding/csv would change line ends within cells.
func readCSV(t require.TestingT, text string) [][]string {
	var rows [][]string
	var row []string
	for len(text) > 0 {
		var cell string
		if text[0] == '"' {
			text = text[1:]
			for {
				i := strings.IndexByte(text, '"')
				require.GreaterOrEqual(t, i, 0, "a quote is left open")
				cell, text = cell+text[:i], text[i+1:]
				if !strings.HasPrefix(text, `"`) {
					break
				}
				cell, text = cell+`"`, text[1:]
			}
		} else {
			i := strings.IndexAny(text, ",\r\n\"")
			require.GreaterOrEqual(t, i, 0)
			cell, text = text[:i], text[i:]
		}
		row = append(row, cell)
		if rest, ok := strings.CutPrefix(text, ","); ok {
			text = rest
			continue
		}
		rest, ok := strings.CutPrefix(text, "\r\n")
		require.True(t, ok, "%q", text)
		text = rest
		rows, row = append(rows, row), nil
	}
	return rows
}

// A negative number is no formula.
func TestCSVLeavesNumbersAlone(t *testing.T) {
	b := newFarm("F", quantity.US)
	p := b.plot("P", 20, 10, 0)
	b.bed(p, 4, 2, 12)
	b.bed(p, 5, 2, 12) // 30 in wide each, 12 in apart: they overlap by 18 in
	var out bytes.Buffer
	require.NoError(t, report.Plots(b.facts()).WriteCSV(&out))
	rows, err := csv.NewReader(&out).ReadAll()
	require.NoError(t, err)
	require.Equal(t, "narrowest path (in)", rows[0][8])
	require.Equal(t, "-18", rows[1][8])
}

func TestCSVReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringOf(rapid.SampledFrom([]rune("ab,;\"'\r\n\t=-@ é🌽"))).Draw(t, "name")
		b := newFarm("F", quantity.US)
		b.plot(name, 10, 10, 0)
		var out bytes.Buffer
		require.NoError(t, report.Plots(b.facts()).WriteCSV(&out))
		rows := readCSV(t, out.String())
		require.Len(t, rows, 2)
		require.Len(t, rows[1], len(rows[0]))
		require.Equal(t, name, strings.TrimPrefix(rows[1][0], apostrophe(name)))
	})
}

// apostrophe is what stands before a name that could be read as a formula.
func apostrophe(name string) string {
	if name != "" && strings.ContainsRune("=-@\r\n\t", rune(name[0])) {
		return "'"
	}
	return ""
}

// requireValid checks a table's JSON against its schema and returns it.
func requireValid(t *testing.T, table report.Table) map[string]any {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, table.WriteJSON(&out))
	doc, err := jsonschema.UnmarshalJSON(&out)
	require.NoError(t, err)
	require.NoError(t, schema(t, table.Name).Validate(doc))
	return doc.(map[string]any)
}

func schema(t *testing.T, name string) *jsonschema.Schema {
	t.Helper()
	text := map[string]string{
		"plots": report.PlotsSchema, "plantings": report.PlantingsSchema, "water": report.WaterSchema,
		"watering": report.WateringSchema, "tape": report.TapeSchema, "shopping": report.ShoppingSchema,
		"harvest": report.HarvestSchema, "harvest_weeks": report.HarvestWeeksSchema, "wants": report.WantsSchema,
		"nursery": report.NurserySchema, "seed": report.SeedSchema, "nursery_weeks": report.NurseryWeeksSchema,
		"vessels": report.VesselsSchema, "support": report.SupportSchema, "strings": report.StringsSchema,
		"cuts": report.CutsSchema, "protection": report.ProtectionSchema,
		"calendar": report.CalendarSchema, "labor": report.LaborSchema, "jobs": report.JobsSchema, "labor_plots": report.LaborPlotsSchema,
		"diff":    report.DiffSchema,
		"feeding": report.FeedingSchema, "feeding_rows": report.FeedingRowsSchema, "feeding_days": report.FeedingDaysSchema, "feeding_plots": report.FeedingPlotsSchema,
		"record": report.RecordSchema, "record_work": report.RecordWorkSchema, "own_rates": report.OwnRatesSchema,
	}[name]
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	require.NoError(t, c.AddResource("schema.json", doc))
	s, err := c.Compile("schema.json")
	require.NoError(t, err)
	require.Equal(t, "https://json-schema.org/draft/2020-12/schema", doc.(map[string]any)["$schema"])
	return s
}

func TestJSONFollowsItsSchema(t *testing.T) {
	for _, b := range []*builder{benches(), metricFarm(), newFarm("", quantity.Metric)} {
		plots := requireValid(t, report.Plots(b.facts()))
		require.Len(t, plots["plots"], len(b.f.Plots))
		plantings := requireValid(t, report.Plantings(b.facts()))
		require.Len(t, plantings["plantings"], len(b.f.Plantings))
	}
}

// The schemas say no to what the program does not write.
func TestSchemasRefuse(t *testing.T) {
	for _, kind := range []string{"plots", "plantings"} {
		table := map[string]report.Table{"plots": report.Plots(benches().facts()), "plantings": report.Plantings(benches().facts())}[kind]
		s := schema(t, kind)
		first := requireValid(t, table)[kind].([]any)[0].(map[string]any)
		for key := range first {
			doc := requireValid(t, table)
			delete(doc[kind].([]any)[0].(map[string]any), key)
			require.Error(t, s.Validate(doc), "%s without %s", kind, key)
			doc = requireValid(t, table)
			doc[kind].([]any)[0].(map[string]any)[key] = true
			require.Error(t, s.Validate(doc), "%s with %s: true", kind, key)
		}
		for _, key := range []string{"version", "farm", "year", "units", kind} {
			doc := requireValid(t, table)
			delete(doc, key)
			require.Error(t, s.Validate(doc), "%s without %s", kind, key)
		}
	}
}

func TestJSONFigures(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, report.Plantings(benches().facts()).WriteJSON(&out))
	type amount struct {
		M    *float64
		Text string
	}
	var doc struct {
		Version   int
		Farm      string
		Plantings []struct {
			Plot, Row, Crop           string
			Variety                   *string
			Plants                    *int
			Spacing, Start, End       *amount
			SowDate                   *string `json:"sow_date"`
			PlantDate                 *string `json:"plant_date"`
			FirstHarvest, LastHarvest *string
		}
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &doc))
	require.Equal(t, 1, doc.Version)
	require.Equal(t, "Alder Hollow", doc.Farm)
	p := doc.Plantings[0]
	require.Equal(t, []string{"Lower bench", "1", "bell pepper", "Lantern Red"}, []string{p.Plot, p.Row, p.Crop, *p.Variety})
	require.Equal(t, 10, *p.Plants)
	require.Equal(t, 0.4572, *p.Spacing.M) // 18 in
	require.Equal(t, "18 in", p.Spacing.Text)
	require.Equal(t, 0.0, *p.Start.M)
	require.Equal(t, 4.1148, *p.End.M) // nine times 18 in
	require.Equal(t, "2027-05-08", *p.PlantDate)
	require.Equal(t, "2027-03-27", *p.SowDate) // six weeks before
	last := doc.Plantings[len(doc.Plantings)-1]
	require.Nil(t, last.PlantDate)
	require.Nil(t, last.Variety)
	require.NotNil(t, last.Plants)
}
