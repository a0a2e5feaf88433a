package report

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"io"

	"haulm/stdlib/quantity"
)

// PlotsSchema is the JSON Schema (draft 2020-12) of what Plots writes as JSON.
//
//go:embed plots.schema.json
var PlotsSchema string

// PlantingsSchema is the JSON Schema (draft 2020-12) of what Plantings writes as JSON.
//
//go:embed plantings.schema.json
var PlantingsSchema string

// WaterSchema is the JSON Schema (draft 2020-12) of what Water writes as JSON.
//
//go:embed water.schema.json
var WaterSchema string

// WateringSchema is the JSON Schema (draft 2020-12) of what Watering writes as JSON.
//
//go:embed watering.schema.json
var WateringSchema string

// TapeSchema is the JSON Schema (draft 2020-12) of what Tape writes as JSON.
//
//go:embed tape.schema.json
var TapeSchema string

// ShoppingSchema is the JSON Schema (draft 2020-12) of what Shopping writes as JSON.
//
//go:embed shopping.schema.json
var ShoppingSchema string

// HarvestSchema is the JSON Schema (draft 2020-12) of what Harvest writes as JSON.
//
//go:embed harvest.schema.json
var HarvestSchema string

// HarvestWeeksSchema is the JSON Schema (draft 2020-12) of what HarvestWeeks writes as JSON.
//
//go:embed harvest_weeks.schema.json
var HarvestWeeksSchema string

// WantsSchema is the JSON Schema (draft 2020-12) of what Wants writes as JSON.
//
//go:embed wants.schema.json
var WantsSchema string

// NurserySchema is the JSON Schema (draft 2020-12) of what Nursery writes as JSON.
//
//go:embed nursery.schema.json
var NurserySchema string

// SeedSchema is the JSON Schema (draft 2020-12) of what Seed writes as JSON.
//
//go:embed seed.schema.json
var SeedSchema string

// NurseryWeeksSchema is the JSON Schema (draft 2020-12) of what NurseryWeeks writes as JSON.
//
//go:embed nursery_weeks.schema.json
var NurseryWeeksSchema string

// VesselsSchema is the JSON Schema (draft 2020-12) of what Vessels writes as JSON.
//
//go:embed vessels.schema.json
var VesselsSchema string

// SupportSchema is the JSON Schema (draft 2020-12) of what Support writes as JSON.
//
//go:embed support.schema.json
var SupportSchema string

// StringsSchema is the JSON Schema (draft 2020-12) of what Strings writes as JSON.
//
//go:embed strings.schema.json
var StringsSchema string

// CutsSchema is the JSON Schema (draft 2020-12) of what Cuts writes as JSON.
//
//go:embed cuts.schema.json
var CutsSchema string

// ProtectionSchema is the JSON Schema (draft 2020-12) of what Protection writes as JSON.
//
//go:embed protection.schema.json
var ProtectionSchema string

// LaborSchema is the JSON Schema (draft 2020-12) of what Labor writes as JSON.
//
//go:embed labor.schema.json
var LaborSchema string

// JobsSchema is the JSON Schema (draft 2020-12) of what Jobs writes as JSON.
//
//go:embed jobs.schema.json
var JobsSchema string

// LaborPlotsSchema is the JSON Schema (draft 2020-12) of what LaborPlots writes as JSON.
//
//go:embed labor_plots.schema.json
var LaborPlotsSchema string

// CalendarSchema is the JSON Schema (draft 2020-12) of what Calendar writes as JSON.
//
//go:embed calendar.schema.json
var CalendarSchema string

// FeedingSchema is the JSON Schema (draft 2020-12) of what Feeding writes as JSON.
//
//go:embed feeding.schema.json
var FeedingSchema string

// FeedingRowsSchema is the JSON Schema (draft 2020-12) of what FeedingRows writes as JSON.
//
//go:embed feeding_rows.schema.json
var FeedingRowsSchema string

// FeedingDaysSchema is the JSON Schema (draft 2020-12) of what FeedingDays writes as JSON.
//
//go:embed feeding_days.schema.json
var FeedingDaysSchema string

// FeedingPlotsSchema is the JSON Schema (draft 2020-12) of what FeedingPlots writes as JSON.
//
//go:embed feeding_plots.schema.json
var FeedingPlotsSchema string

// RecordSchema is the JSON Schema (draft 2020-12) of what Record writes as JSON.
//
//go:embed record.schema.json
var RecordSchema string

// RecordWorkSchema is the JSON Schema (draft 2020-12) of what RecordWork writes as JSON.
//
//go:embed record_work.schema.json
var RecordWorkSchema string

// OwnRatesSchema is the JSON Schema (draft 2020-12) of what OwnRates writes as JSON.
//
//go:embed own_rates.schema.json
var OwnRatesSchema string

// jsonVersion grows when a reader of the form before would misread the new one.
const jsonVersion = 1

// WriteJSON writes the table as one object: version, farm, year, units and the list of rows. Amounts
// are objects of the SI number, under its unit, and the printed text: {"m": 0.4572, "text": "18 in"};
// dates are ISO; what is not known is null.
func (t Table) WriteJSON(w io.Writer) error {
	var b bytes.Buffer
	b.WriteString(`{"version":` + decimal(jsonVersion, 0) + `,"farm":`)
	writeJSON(&b, nullable(t.farm))
	b.WriteString(`,"year":`)
	if t.year == 0 {
		writeJSON(&b, nil)
	} else {
		writeJSON(&b, t.year)
	}
	b.WriteString(`,"units":`)
	writeJSON(&b, t.units.String())
	b.WriteByte(',')
	writeJSON(&b, t.Name)
	b.WriteString(`:[`)
	for i, row := range t.Rows {
		if i > 0 {
			b.WriteByte(',')
		}
		t.writeObject(&b, row, false)
	}
	b.WriteByte(']')
	if t.totalsOut {
		b.WriteString(`,"totals":`)
		t.writeObject(&b, t.Totals, true)
	}
	b.WriteByte('}')
	var out bytes.Buffer
	if err := json.Indent(&out, b.Bytes(), "", "  "); err != nil {
		return err
	}
	out.WriteByte('\n')
	_, err := w.Write(out.Bytes())
	return err
}

// writeObject writes a row under the columns' keys, in their order; of the totals only those there are.
func (t *Table) writeObject(b *bytes.Buffer, row []Cell, totals bool) {
	b.WriteByte('{')
	first := true
	for i := range row {
		col := &t.Columns[i]
		if !col.in(inJSON) || totals && (row[i].kind == unknown || row[i].kind == isText) {
			continue
		}
		if !first {
			b.WriteByte(',')
		}
		first = false
		writeJSON(b, col.Key)
		b.WriteByte(':')
		t.writeCell(b, col, &row[i])
	}
	b.WriteByte('}')
}

func (t *Table) writeCell(b *bytes.Buffer, col *Column, c *Cell) {
	switch c.kind {
	case isText:
		writeJSON(b, c.text)
	case isList:
		writeJSON(b, append([]string{}, c.list...)) // never null
	case isWhole:
		writeJSON(b, c.whole)
	case isNumber:
		b.WriteString(decimal(c.x, 6))
	case isMoney:
		b.WriteString(decimal(c.x, 2))
	case isAmount:
		unit := jsonUnits[c.q.Dim]
		b.WriteString(`{"` + unit.name + `":` + decimal(c.q.SI, unit.decimals) + `,"text":`)
		writeJSON(b, t.print(col, c))
		b.WriteByte('}')
	case isDay:
		writeJSON(b, c.day.String())
	default:
		b.WriteString("null")
	}
}

// jsonUnits are the names of the SI units under which amounts stand, with the decimals they are given.
var jsonUnits = map[quantity.Dimension]struct {
	name     string
	decimals int
}{
	quantity.Length: {"m", 6}, quantity.AreaMass: {"kg_per_m2", 8}, quantity.Mass: {"kg", 6}, quantity.Area: {"m2", 6}, quantity.Volume: {"m3", 6}, quantity.Flow: {"m3_per_s", 10},
	quantity.Pressure: {"pa", 2}, quantity.Time: {"s", 1}, quantity.Ratio: {"ratio", 6}, quantity.Temperature: {"k", 2},
}

// nullable gives nil for a text that was not given.
func nullable(text string) any {
	if text == "" {
		return nil
	}
	return text
}

// writeJSON writes a value that always has a JSON form; names keep their < and &.
func writeJSON(b *bytes.Buffer, v any) {
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	if e.Encode(v) == nil {
		b.Truncate(b.Len() - 1) // the encoder's newline
	}
}
