package report

import (
	"haulm/lang/derive"
)

// Calendar gives all dated events of the plan in order.
func Calendar(facts *derive.Facts) Table {
	t := newTable("calendar", facts)
	t.Columns = []Column{
		{Head: "day", Key: "day"},
		{Head: "until", Key: "until", optional: true},
		{Head: "do", Key: "do"},
		{Head: "to what", Key: "what"},
		{Head: "how many", Key: "amount", Right: true, keep: 2},
		{Head: "where", Key: "where"},
		{Head: "note", Key: "note", optional: true, keep: 1},
	}
	if facts == nil || facts.Farm == nil {
		return t
	}
	for _, o := range facts.Calendar() {
		row := []Cell{
			dayCell(o.On), {}, textCell(o.Do), textCell(o.What), textCell(o.Counted()), textCell(Places(o.Places)), textCell(o.Note),
		}
		if o.Until > o.On {
			row[1] = dayCell(o.Until)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
