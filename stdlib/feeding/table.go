package feeding

import (
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

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

// list reads a cell of words parted by "|"; an empty cell holds none.
func (r record) list(name string) []string {
	if r.text(name) == "" {
		return nil
	}
	return strings.Split(r.text(name), "|")
}

// number reads a cell, or gives other for an empty one.
func (r record) number(name string, other float64) float64 {
	if r.text(name) == "" {
		return other
	}
	return r.parse(name, r.text(name))
}

// span reads "110-155" or "110"; an empty cell is the zero span.
func (r record) span(name string) Span { return r.spanOf(name, r.text(name)) }

func (r record) spanOf(name, text string) Span {
	if text == "" {
		return Span{}
	}
	low, high, two := strings.Cut(text, "-")
	if !two {
		high = low
	}
	return Span{r.parse(name, low), r.parse(name, high)}
}

func (r record) parse(name, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Sprintf("%s: %s: %v", r.file, name, err))
	}
	return v
}

func (r record) source() Source {
	s := Source{Title: r.text("source"), Grade: Grade(r.text("grade"))}
	if note, ok := r.cell["note"]; ok {
		s.Note = note
	}
	return s
}

// fold makes names comparable: lower case, one space between words, no hyphens or underscores.
func fold(name string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("-", " ", "_", " ").Replace(strings.ToLower(name))), " ")
}
