package eval

import (
	"fmt"
	"slices"
	"strings"
)

// recordColumn is a column that a file of records may have: its name, and other words for it.
type recordColumn struct {
	name  string
	also  []string
	units map[string]float64 // that may stand in the heading, and one of each in SI; nil where there is none
	usual string             // the heading to offer
}

var recordHours = map[string]float64{"h": 3600, "hr": 3600, "hrs": 3600, "hour": 3600, "hours": 3600, "min": 60, "minutes": 60, "mins": 60}

var recordMasses = map[string]float64{
	"lb": 0.45359237, "lbs": 0.45359237, "pounds": 0.45359237, "oz": 0.45359237 / 16, "kg": 1, "g": 0.001,
}

// The columns, by their place in recordColumns.
const (
	inDate = iota
	inPlot
	inRow
	inCrop
	inWhat
	inPlants
	inHours
	inWeight
	inPieces
	inNote
)

func recordColumns() []recordColumn {
	return []recordColumn{
		{name: "date", also: []string{"day", "on", "when"}},
		{name: "plot", also: []string{"field", "block", "where", "place"}},
		{name: "row", also: []string{"bed", "line"}},
		{name: "crop", also: []string{"planting", "variety", "plant"}},
		{name: "what", also: []string{"job", "task", "work", "action", "done"}},
		{name: "plants", also: []string{"stand", "number of plants"}},
		{name: "hours", also: []string{"time", "took", "minutes", "labor", "labour"}, units: recordHours, usual: "hours"},
		{name: "weight", also: []string{"mass", "harvest", "yield", "harvested"}, units: recordMasses, usual: "weight (lb)"},
		{name: "pieces", also: []string{"count", "heads", "bunches", "units", "number"}},
		{name: "note", also: []string{"notes", "why", "cause", "remark", "remarks", "comment", "comments"}},
	}
}

func recordColumnNames() string {
	var names []string
	for _, c := range recordColumns() {
		if c.usual != "" {
			names = append(names, c.usual)
		} else {
			names = append(names, c.name)
		}
	}
	return list(names, "and")
}

// separatorOf gives what stands most often between the words of the heading.
func separatorOf(text string) byte {
	line, _, _ := strings.Cut(text, "\n")
	best, most := byte(','), 0
	for _, sep := range []byte(",;\t") {
		if n := strings.Count(line, string(sep)); n > most {
			best, most = sep, n
		}
	}
	return best
}

// readHeading finds what each column holds; false when the lines below cannot be read by it.
func (r *recordReader) readHeading(cells []recordCell) bool {
	seen := map[int]bool{}
	for _, c := range cells {
		name, unit := headingOf(c.text)
		i := r.columnNamed(name)
		if i >= 0 && r.columns[i].units[name] != 0 && unit == "" {
			unit = name // "minutes" says both
		}
		factor := 1.0
		switch {
		case c.text == "":
			i = -1
		case i < 0:
			r.unread = append(r.unread, c.text)
		case seen[i]:
			r.fault(c, "the heading has two columns for %s", r.columns[i].name).help("leave one of them out, or call it something else")
			return false
		case r.columns[i].units != nil && unit == "" && i == inHours:
			factor = 3600
		case r.columns[i].units != nil:
			if factor = r.columns[i].units[unit]; factor == 0 {
				said := "has no unit"
				if unit != "" {
					said = fmt.Sprintf("has the unit %q", unit)
				}
				r.fault(c, "the column %s %s; write it as %s", r.columns[i].name, said, unitHeadings(&r.columns[i]))
				return false
			}
		}
		if i >= 0 {
			seen[i] = true
		}
		r.at, r.unit = append(r.at, i), append(r.unit, factor)
	}
	if !seen[inDate] {
		f := r.fault(cells[0], "the first line of %s has no column date", r.file.Path)
		f.help("it names the columns: %s", recordColumnNames())
		return false
	}
	return true
}

// headingOf cuts "weight (lb)" and "weight_lb" into name and unit.
func headingOf(text string) (name, unit string) {
	text = strings.ToLower(text)
	if i := strings.IndexAny(text, "(["); i >= 0 {
		return strings.TrimSpace(strings.ReplaceAll(text[:i], "_", " ")), strings.Trim(text[i:], "()[] ")
	}
	if before, after, ok := strings.Cut(text, "_"); ok && (recordMasses[after] != 0 || recordHours[after] != 0) {
		return before, after
	}
	return strings.TrimSpace(strings.ReplaceAll(text, "_", " ")), ""
}

func (r *recordReader) columnNamed(name string) int {
	return slices.IndexFunc(r.columns, func(c recordColumn) bool { return c.name == name || slices.Contains(c.also, name) })
}

func unitHeadings(c *recordColumn) string {
	if c.name == "hours" {
		return "hours (h) or hours (min)"
	}
	return c.name + " (lb), " + c.name + " (oz), " + c.name + " (kg) or " + c.name + " (g)"
}
