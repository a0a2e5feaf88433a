// Package report turns worked-out facts into what people read: tables as text, CSV and JSON, the map
// as SVG, and the reckoning behind a fact. In go derive.Facts; out come bytes, the same for the same facts.
//
// It works nothing out of its own. Facts of a plan with errors have holes: what is not known is an em
// dash in text, nothing in CSV and null in JSON.
package report

import (
	"math"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// Table is one subject of the plan in columns and rows.
type Table struct {
	Name    string // plural noun, "plots": what a row is, and the list's name in JSON
	Columns []Column
	Rows    [][]Cell // each as long as Columns
	Totals  []Cell   // as long as Columns, nil when the table has none

	farm      string
	year      int
	units     quantity.System
	totalsOut bool   // JSON carries the totals too
	caution   string // stands once under the text, a paragraph a line
}

// Column says what its cells are and how they are shown.
type Column struct {
	Head  string        // in text
	Key   string        // in JSON; in CSV with spaces for underscores, and the unit
	Unit  quantity.Unit // of the numbers in CSV; the zero Unit for what is no amount
	Right bool          // aligned at the right
	Short bool          // lengths in one unit, "30 in"
	Depth bool          // lengths as water is measured, "0.98 in" or "24.9 mm"

	keep     int  // 0: always shown; else the lowest goes first where the lines are narrow
	optional bool // left out of the text where no row knows it
	only     form // forms it is in; 0 for all
}

// form is one of the ways a table is written; several are or-ed.
type form uint8

const (
	inText form = 1 << iota
	inCSV
	inJSON
)

func (c *Column) in(f form) bool { return c.only == 0 || c.only&f != 0 }

// Cell is one value of a table. The zero Cell is a value that is not known.
type Cell struct {
	kind  kind
	text  string
	list  []string
	whole int
	x     float64
	q     quantity.Quantity
	day   season.Date
}

type kind uint8

const (
	unknown kind = iota
	isText
	isList
	isWhole
	isNumber
	isMoney
	isAmount
	isDay
)

// textCell holds a name; an empty one is not known.
func textCell(text string) Cell {
	if text == "" {
		return Cell{}
	}
	return Cell{kind: isText, text: text}
}

func listCell(list []string) Cell   { return Cell{kind: isList, list: list} }
func wholeCell(n int) Cell          { return Cell{kind: isWhole, whole: n} }
func lengthCell(meter float64) Cell { return amountCell(quantity.Meters(meter)) }

// numberCell holds a plain number; one that is none is not known.
func numberCell(x float64) Cell {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return Cell{}
	}
	return Cell{kind: isNumber, x: x}
}

// moneyCell holds an amount of the farm's money, printed with two decimals and no sign.
func moneyCell(x float64) Cell {
	c := numberCell(x)
	if c.kind == isNumber {
		c.kind = isMoney
	}
	return c
}

// measureCell holds an amount of goods: pieces, which are a plain ratio, as a number.
func measureCell(q quantity.Quantity) Cell {
	if q.Dim == quantity.Ratio {
		return numberCell(q.SI)
	}
	return amountCell(q)
}

// amountCell holds a quantity; one that is no number is not known.
func amountCell(q quantity.Quantity) Cell {
	if math.IsNaN(q.SI) || math.IsInf(q.SI, 0) {
		return Cell{}
	}
	return Cell{kind: isAmount, q: q}
}

func dayCell(d season.Date) Cell {
	if !d.IsSet() {
		return Cell{}
	}
	return Cell{kind: isDay, day: d}
}

// none tells whether there is nothing to show.
func (c *Cell) none() bool { return c.kind == unknown || c.kind == isList && len(c.list) == 0 }

// print gives the cell as a grower reads it, "" when it is not known.
func (t *Table) print(col *Column, c *Cell) string {
	switch c.kind {
	case isText:
		return printable(c.text)
	case isList:
		return printable(strings.Join(c.list, ", "))
	case isWhole:
		return strconv.Itoa(c.whole)
	case isNumber:
		return decimal(c.x, 2)
	case isMoney:
		return strconv.FormatFloat(c.x, 'f', 2, 64)
	case isAmount:
		if c.q.Dim == quantity.Time {
			return derive.OpenTime(c.q.SI)
		}
		if col.Depth {
			return t.depth(c.q.SI)
		}
		if col.Short {
			return t.units.Short(c.q)
		}
		return t.units.Format(c.q)
	case isDay:
		return shortDay(c.day, t.year)
	}
	return ""
}

// shortDay gives "May 8", with the year when it is not the one expected.
func shortDay(d season.Date, year int) string {
	text := d.Month().String()[:3] + " " + strconv.Itoa(d.Day())
	if d.Year() != year {
		text += ", " + strconv.Itoa(d.Year())
	}
	return text
}

// newTable starts a table of a farm.
func newTable(name string, facts *derive.Facts) Table {
	t := Table{Name: name}
	if facts == nil || facts.Farm == nil {
		return t
	}
	f := facts.Farm
	t.farm, t.year, t.units = f.Name.Value, f.Year.Value, f.Units
	return t
}

// units for the numbers of CSV: what a grower of the system would sum in a spreadsheet.
func (t *Table) unit(us, metric string) quantity.Unit {
	name := us
	if t.units == quantity.Metric {
		name = metric
	}
	u, _ := quantity.UnitNamed(name)
	return u
}

// meters reads a length of the plan; false when it gave none or none that can be used.
func meters(l *farm.Length) (float64, bool) {
	v := l.Value.SI
	if !l.Given || l.Value.Dim != quantity.Length || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}
