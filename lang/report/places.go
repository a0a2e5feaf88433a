package report

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
)

// places names rows by their plots: "Lower bench, rows 1 to 3 and 5; Vine field, row 2". Rows come in the order of
// Facts.Rows.
func places(rows []*derive.Row) string {
	var plots []string
	for i := 0; i < len(rows); {
		n := i
		for n < len(rows) && rows[n].Plot == rows[i].Plot {
			n++
		}
		plots = append(plots, rows[i].Plot.Decl.Name.Value+", "+inPlot(rows[i:n]))
		i = n
	}
	return strings.Join(plots, "; ")
}

// inPlot names rows of one plot: those that have a name by it, then the others by their numbers.
func inPlot(rows []*derive.Row) string {
	var names, numbers []string
	numbered := 0
	for i := 0; i < len(rows); i++ {
		if rows[i].Decl.Name.Value != "" {
			names = append(names, rows[i].Name())
			continue
		}
		first := i
		for i+1 < len(rows) && rows[i+1].Decl.Name.Value == "" && rows[i+1].Number == rows[i].Number+1 {
			i++
		}
		numbered += i - first + 1
		switch text := strconv.Itoa(rows[first].Number); i - first {
		case 0:
			numbers = append(numbers, text)
		case 1:
			numbers = append(numbers, text, strconv.Itoa(rows[i].Number))
		default:
			numbers = append(numbers, text+" to "+strconv.Itoa(rows[i].Number))
		}
	}
	switch {
	case numbered == 1:
		names = append(names, "row "+numbers[0])
	case numbered > 1:
		names = append(names, "rows "+strings.Join(numbers, ", "))
	}
	return strings.Join(names, ", ")
}

// Places names where something is done, plot by plot: rows as places does, then what is no row.
func Places(items []derive.Item) string {
	var rows []*derive.Row
	var others []string
	for _, i := range items {
		r := i.Row
		if i.Planting != nil {
			r = i.Planting.Row
		}
		switch {
		case r != nil && !slices.Contains(rows, r):
			rows = append(rows, r)
		case r == nil && !slices.Contains(others, i.Title()):
			others = append(others, i.Title())
		}
	}
	order := map[*derive.Plot]int{}
	for _, r := range rows {
		if _, ok := order[r.Plot]; !ok {
			order[r.Plot] = len(order)
		}
	}
	slices.SortStableFunc(rows, func(a, b *derive.Row) int {
		return cmp.Or(cmp.Compare(order[a.Plot], order[b.Plot]), cmp.Compare(a.Number, b.Number))
	})
	if len(rows) > 0 {
		others = slices.Insert(others, 0, places(rows))
	}
	return printable(strings.Join(others, "; "))
}
