package water

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

// Range is a value as its source gives it; Low equals High where it gives one number.
type Range struct{ Low, High float64 }

// Mid is the middle of the range.
func (r Range) Mid() float64 { return (r.Low + r.High) / 2 }

// record is one row of an embedded table, read by the names in its head line.
type record struct {
	file string
	cell map[string]string
}

// records reads an embedded table. That the tables read is tested, so failing here cannot happen.
func records(file, text string) []record {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("%s: %v", file, err))
	}
	out := make([]record, 0, len(rows)-1)
	for _, row := range rows[1:] {
		r := record{file, make(map[string]string, len(row))}
		for i, name := range rows[0] {
			r.cell[name] = row[i]
		}
		out = append(out, r)
	}
	return out
}

func (r record) text(name string) string {
	v, ok := r.cell[name]
	if !ok {
		panic(fmt.Sprintf("%s has no column %q", r.file, name))
	}
	return v
}

// number reads a cell; an empty one is 0.
func (r record) number(name string) float64 {
	text := r.text(name)
	if text == "" {
		return 0
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("%s: %s: %v", r.file, name, err))
	}
	return v
}

// pair reads the columns name_low and name_high.
func (r record) pair(name string) Range {
	return Range{r.number(name + "_low"), r.number(name + "_high")}
}
