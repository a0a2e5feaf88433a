package report

import (
	"bufio"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// WriteCSV writes the table as RFC 4180 has it: UTF-8, lines ended by CR LF, one line of heads. Amounts
// are plain numbers in the unit that the head names, dates are ISO, and what is not known is empty.
// There are no totals, so that the rows can be summed. A name that a spreadsheet could take for a
// formula gets an apostrophe before it.
func (t Table) WriteCSV(w io.Writer) error {
	out := bufio.NewWriter(w)
	var record []string
	for i := range t.Columns {
		if col := &t.Columns[i]; col.in(inCSV) {
			record = append(record, col.csvHead())
		}
	}
	writeRecord(out, record)
	for _, row := range t.Rows {
		record = record[:0]
		for i := range row {
			if col := &t.Columns[i]; col.in(inCSV) {
				record = append(record, row[i].csv(col))
			}
		}
		writeRecord(out, record)
	}
	return out.Flush()
}

// csvHead is what stands over the column: its key in words, and the unit of its numbers.
func (c *Column) csvHead() string {
	head := strings.ReplaceAll(c.Key, "_", " ")
	if c.Unit.Name != "" {
		head += " (" + c.Unit.Plural + ")"
	}
	return head
}

// amountIn is the number of an amount in the column's unit.
func (c *Cell) amountIn(col *Column) float64 {
	if col.Unit.Name != "" {
		return c.q.In(col.Unit)
	}
	return c.q.SI
}

func (c *Cell) csv(col *Column) string {
	switch c.kind {
	case isText:
		return guard(c.text)
	case isList:
		return guard(strings.Join(c.list, ", "))
	case isWhole:
		return strconv.Itoa(c.whole)
	case isNumber:
		return decimal(c.x, 4)
	case isMoney:
		return strconv.FormatFloat(c.x, 'f', 2, 64)
	case isAmount:
		// Four decimals of an inch are finer than any tape; more would only show the float's dust.
		return decimal(c.amountIn(col), 4)
	case isDay:
		return c.day.String()
	}
	return ""
}

// guard keeps a spreadsheet from reading a name as a formula: =, +, - and @, their full-width forms,
// and control characters, which some programs skip, may not come first.
func guard(text string) string {
	first, _ := utf8.DecodeRuneInString(text)
	if text != "" && (strings.ContainsRune("=+-@＝＋－＠", first) || first < 0x20 || first == 0x7f) {
		return "'" + text
	}
	return text
}

func writeRecord(out *bufio.Writer, record []string) {
	for i, field := range record {
		if i > 0 {
			out.WriteByte(',')
		}
		if strings.ContainsAny(field, ",\"\r\n") || strings.TrimSpace(field) != field || field == "" && len(record) == 1 {
			field = `"` + strings.ReplaceAll(field, `"`, `""`) + `"`
		}
		out.WriteString(field)
	}
	out.WriteString("\r\n")
}

// decimal writes a number with at most so many decimals and no zeros at its end.
func decimal(x float64, decimals int) string {
	return strconv.FormatFloat(rounded(x, decimals), 'f', -1, 64)
}

func rounded(x float64, decimals int) float64 {
	scale := math.Pow10(decimals)
	if math.Abs(x) < 1e15/scale {
		x = math.Round(x*scale) / scale
	}
	if x == 0 {
		x = 0 // no minus
	}
	return x
}
