package report

import (
	"archive/zip"
	"bytes"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// Widths of a sheet's columns, in characters.
const (
	leastWidth = 9
	mostWidth  = 44
)

// WriteXLSX writes tables as one workbook, a sheet each: the columns of CSV under heads that stay in sight,
// amounts and days as numbers that can be summed and sorted, names as text that no program takes for a
// formula. Tables must have names of their own; a table without rows has its heads.
func WriteXLSX(w io.Writer, tables []Table) error {
	f := excelize.NewFile()
	defer f.Close()
	book := workbook{File: f}
	if err := book.styles(); err != nil {
		return err
	}
	for i := range tables {
		var err error
		if i == 0 {
			err = f.SetSheetName("Sheet1", tables[i].Name)
		} else {
			_, err = f.NewSheet(tables[i].Name)
		}
		if err != nil {
			return err
		}
		if err := book.add(&tables[i]); err != nil {
			return err
		}
	}
	if err := f.SetDocProps(&excelize.DocProperties{Creator: "Haulm", Title: "Season plan"}); err != nil {
		return err
	}
	f.SetZipWriter(func(w io.Writer) excelize.ZipWriter { return &sortedZip{Writer: zip.NewWriter(w)} })
	return f.Write(w)
}

// workbook is a file being filled with its styles.
type workbook struct {
	*excelize.File
	head, day, money int
}

func (b *workbook) styles() error {
	var err error
	style := func(s excelize.Style) int {
		id, e := b.NewStyle(&s)
		if err == nil {
			err = e
		}
		return id
	}
	day, money := "yyyy-mm-dd", "0.00"
	b.head = style(excelize.Style{Font: &excelize.Font{Bold: true}, Border: []excelize.Border{{Type: "bottom", Style: 1, Color: "262626"}}})
	b.day = style(excelize.Style{CustomNumFmt: &day})
	b.money = style(excelize.Style{CustomNumFmt: &money})
	return err
}

func (b *workbook) add(t *Table) error {
	sheet, err := b.NewStreamWriter(t.Name)
	if err != nil {
		return err
	}
	if err := sheet.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	at := 0
	var heads []any
	for i := range t.Columns {
		col := &t.Columns[i]
		if !col.in(inCSV) {
			continue
		}
		at++
		head := printable(col.csvHead())
		wide := utf8.RuneCountInString(head) + 2
		for _, row := range t.Rows[:min(len(t.Rows), 200)] {
			wide = max(wide, utf8.RuneCountInString(row[i].csv(col))+1)
		}
		if err := sheet.SetColWidth(at, at, float64(min(max(wide, leastWidth), mostWidth))); err != nil {
			return err
		}
		heads = append(heads, excelize.Cell{StyleID: b.head, Value: head})
	}
	if err := sheet.SetRow("A1", heads); err != nil {
		return err
	}
	values := make([]any, 0, at)
	for n, row := range t.Rows {
		values = values[:0]
		for i := range row {
			if col := &t.Columns[i]; col.in(inCSV) {
				values = append(values, b.value(col, &row[i]))
			}
		}
		cell, err := excelize.CoordinatesToCellName(1, n+2)
		if err != nil {
			return err
		}
		if err := sheet.SetRow(cell, values); err != nil {
			return err
		}
	}
	return sheet.Flush()
}

// firstDay is the number that a sheet has for 1970-01-01.
const firstDay = 25569

// value is a cell as a sheet holds it, nil when it is not known.
func (b *workbook) value(col *Column, c *Cell) any {
	switch c.kind {
	case isText:
		return cut(printable(c.text), mostInSheet)
	case isList:
		return cut(printable(strings.Join(c.list, ", ")), mostInSheet)
	case isWhole:
		return c.whole
	case isNumber:
		return c.x
	case isMoney:
		return excelize.Cell{StyleID: b.money, Value: c.x}
	case isAmount:
		return rounded(c.amountIn(col), 4)
	case isDay:
		return excelize.Cell{StyleID: b.day, Value: int(c.day) + firstDay}
	}
	return nil
}

// mostInSheet is how many characters a cell of a sheet may hold.
const mostInSheet = 32767

// sortedZip writes the files of an archive in the order of their names: the library keeps them in a map.
type sortedZip struct {
	*zip.Writer
	files []*zipped
}

type zipped struct {
	name string
	bytes.Buffer
}

// Create takes a file that is written when all are known.
func (z *sortedZip) Create(name string) (io.Writer, error) {
	f := &zipped{name: name}
	z.files = append(z.files, f)
	return f, nil
}

// Close writes the files and ends the archive.
func (z *sortedZip) Close() error {
	slices.SortFunc(z.files, func(a, b *zipped) int { return strings.Compare(a.name, b.name) })
	for _, f := range z.files {
		w, err := z.Writer.Create(f.name)
		if err != nil {
			return err
		}
		if _, err := f.WriteTo(w); err != nil {
			return err
		}
	}
	return z.Writer.Close()
}
