// Package table reads the tables of numbers that stand beside the packages of stdlib. In goes the text of an
// embedded CSV file with a head line; out come its rows, read by the names in that line.
//
// An embedded table is part of the program and its package's tests read it, so a fault in it is a fault of
// the program: reading panics with the file, the line and the column.
package table

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

// Row is one row of a table.
type Row struct {
	file string
	line int
	cell map[string]string
}

// Read gives the rows below the head line.
func Read(file, text string) []Row {
	lines, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("%s: %v", file, err))
	}
	rows := make([]Row, 0, len(lines)-1)
	for i, line := range lines[1:] {
		r := Row{file, i + 2, make(map[string]string, len(line))}
		for j, name := range lines[0] {
			r.cell[name] = line[j]
		}
		rows = append(rows, r)
	}
	return rows
}

// Text gives the cell of a column.
func (r Row) Text(column string) string {
	v, ok := r.cell[column]
	if !ok {
		panic(fmt.Sprintf("%s has no column %q", r.file, column))
	}
	return v
}

// Has tells whether the table has a column.
func (r Row) Has(column string) bool {
	_, ok := r.cell[column]
	return ok
}

// Number reads the cell of a column as a number, or gives other for an empty one.
func (r Row) Number(column string, other float64) float64 {
	if r.Text(column) == "" {
		return other
	}
	return r.Parse(column, r.Text(column))
}

// Parse reads a number that stands as a part of the cell of a column.
func (r Row) Parse(column, part string) float64 {
	v, err := strconv.ParseFloat(part, 64)
	if err != nil {
		panic(r.Fault("%s: %v", column, err))
	}
	return v
}

// List reads words parted by "|"; an empty cell holds none.
func (r Row) List(column string) []string {
	if r.Text(column) == "" {
		return nil
	}
	return strings.Split(r.Text(column), "|")
}

// Span reads "110-155" or "110"; an empty cell is 0 to 0. Both ends are 0 or more.
func (r Row) Span(column string) (low, high float64) {
	text := r.Text(column)
	if text == "" {
		return 0, 0
	}
	first, last, two := strings.Cut(text, "-")
	if !two {
		last = first
	}
	return r.Parse(column, first), r.Parse(column, last)
}

// Fault says what is wrong with the row, and where it stands.
func (r Row) Fault(format string, args ...any) string {
	return fmt.Sprintf("%s: line %d: %s", r.file, r.line, fmt.Sprintf(format, args...))
}
