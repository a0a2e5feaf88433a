package book

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/report"
	"haulm/stdlib/season"
)

// week is what is to be done in one week, from Monday on.
type week struct {
	monday season.Date
	jobs   []*job
}

// job is one thing to do, wherever it is done on its day.
type job struct {
	derive.Event
	places []derive.Item
}

// weeks gives the weeks in which the plan has anything to do, and what, in order of days. The same work on the
// same kind on the same day is one job.
func (b *Book) weeks() []week {
	type key struct {
		on, until      season.Date
		do, what, note string
	}
	known := map[key]*job{}
	var jobs []*job
	for _, e := range b.Facts.Events() {
		if !e.On.IsSet() {
			continue
		}
		k := key{e.On, e.Until, e.Do, e.What, e.Note}
		j := known[k]
		if j == nil {
			j = &job{Event: e}
			j.Count = 0
			known[k] = j
			jobs = append(jobs, j)
		}
		j.Count += e.Count
		if e.Where != (derive.Item{}) {
			j.places = append(j.places, e.Where)
		}
	}
	slices.SortStableFunc(jobs, func(a, b *job) int {
		return cmp.Or(cmp.Compare(a.On, b.On), strings.Compare(a.Do, b.Do), strings.Compare(a.What, b.What))
	})
	var list []week
	for _, j := range jobs {
		monday := j.On.Monday()
		if len(list) == 0 || list[len(list)-1].monday != monday {
			list = append(list, week{monday: monday})
		}
		w := &list[len(list)-1]
		w.jobs = append(w.jobs, j)
	}
	return list
}

// addWeeks adds a page for each month with the weeks that begin in it.
func (b *Book) addWeeks() {
	all := b.weeks()
	for from := 0; from < len(all); {
		first := all[from].monday
		to := from
		for to < len(all) && all[to].monday.Month() == first.Month() && all[to].monday.Year() == first.Year() {
			to++
		}
		title := first.Month().String()
		if first.Year() != b.Farm.Year.Value {
			title += " " + decimal(first.Year())
		}
		weeks := all[from:to]
		b.add(Page{
			Name: "weeks-" + first.String()[:len("2027-04")] + ".html", Title: "Weeks of " + title, chapter: "weeks",
			write: func(w *paper) { b.weekSheets(w, weeks) },
		})
		from = to
	}
}

// todo is a job on a sheet.
type todo struct {
	Day, Do, Where, Note string
}

// weekSheets writes the sheets of a month, a box to tick before each job.
func (b *Book) weekSheets(w *paper, weeks []week) {
	w.part("turn", b.turnOf(w.page, "Months"))
	for _, k := range weeks {
		var jobs []todo
		for _, j := range k.jobs {
			jobs = append(jobs, b.todo(j))
		}
		w.part("week", map[string]any{
			"ID": "week-" + k.monday.String(), "Name": "Week of " + b.day(k.monday), "Jobs": jobs,
			"Notes": slices.DeleteFunc([]string{b.work(k.monday), b.picking(k.monday), b.openings(k.monday)}, func(s string) bool { return s == "" }),
		})
	}
}

func (b *Book) todo(j *job) todo {
	t := todo{Day: j.On.Weekday().String()[:3] + " " + b.day(j.On), Do: j.Do, Note: cutTo(j.Note, longMessage)}
	if j.Until.IsSet() && j.Until > j.On {
		t.Day += " – " + b.day(j.Until)
	}
	if j.What != "" {
		t.Do += ": " + shown(j.What)
	}
	if j.Count > 0 {
		one, several, _ := strings.Cut(j.Of, "|")
		if j.Count != 1 {
			one = several
		}
		t.Do += ", " + decimal(j.Count) + " " + one
	}
	t.Where = cutTo(b.places(j.places), longMessage)
	return t
}

// places names where a job is done: "Lower bench, rows 1–3 and 5; Upper bench, cage row".
func (b *Book) places(items []derive.Item) string {
	var plots []*derive.Plot
	rows := map[*derive.Plot][]*derive.Row{}
	var others []string
	for _, i := range items {
		r := i.Row
		if i.Planting != nil {
			r = i.Planting.Row
		}
		if r == nil {
			if title := i.Title(); !slices.Contains(others, title) {
				others = append(others, title)
			}
			continue
		}
		if rows[r.Plot] == nil {
			plots = append(plots, r.Plot)
		}
		if !slices.Contains(rows[r.Plot], r) {
			rows[r.Plot] = append(rows[r.Plot], r)
		}
	}
	var parts []string
	for _, p := range plots {
		parts = append(parts, shown(p.Decl.Name.Value)+", "+rowNames(rows[p]))
	}
	return strings.Join(append(parts, others...), "; ")
}

// rowNames names rows of one plot, those that have only a number by stretches of numbers.
func rowNames(rows []*derive.Row) string {
	var numbers []int
	var names []string
	for _, r := range rows {
		if r.Decl.Name.Value != "" {
			names = append(names, shown(r.Name()))
		} else {
			numbers = append(numbers, r.Number)
		}
	}
	slices.Sort(numbers)
	var parts []string
	for from := 0; from < len(numbers); {
		to := from + 1
		for to < len(numbers) && numbers[to] == numbers[to-1]+1 {
			to++
		}
		part := decimal(numbers[from])
		if to-from > 1 {
			part += "–" + decimal(numbers[to-1])
		}
		parts = append(parts, part)
		from = to
	}
	switch {
	case len(numbers) == 1:
		names = append([]string{"row " + parts[0]}, names...)
	case len(numbers) > 1:
		names = append([]string{"rows " + strings.Join(parts, ", ")}, names...)
	}
	return strings.Join(names, ", ")
}

// work says what hours a week takes; "" when it takes none.
func (b *Book) work(monday season.Date) string {
	l := b.Facts.Labor()
	i := slices.IndexFunc(l.Weeks, func(w derive.WorkWeek) bool { return w.Monday == monday })
	if i < 0 || l.Weeks[i].Hours < 0.05 {
		return ""
	}
	w := l.Weeks[i]
	text := "Work: " + number(w.Hours) + " h"
	if l.Crewed {
		text += " of " + number(w.Crew) + " h"
	}
	return text + "; " + report.MostWork(w) + "."
}

// picking says what a week gives of each crop; "" when it gives nothing.
func (b *Book) picking(monday season.Date) string {
	h := b.Facts.Harvest()
	i := slices.Index(h.Weeks, monday)
	if i < 0 {
		return ""
	}
	var parts []string
	for _, c := range h.Crops {
		if i < len(c.Weeks) && c.Weeks[i] > 0 {
			parts = append(parts, shown(c.Crop.Title())+" "+number(c.Weeks[i])+" "+shown(c.Unit.Name))
		}
	}
	if parts == nil {
		return ""
	}
	return "To pick, about: " + cutTo(strings.Join(parts, ", "), longMessage) + "."
}

// number prints an estimate to what can be told of it.
func number(x float64) string {
	decimals := 1
	if x >= 20 {
		decimals = 0
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

// openings says how long each valve is open in a week; "" when none is.
func (b *Book) openings(monday season.Date) string {
	f := b.Facts.Water
	if f == nil {
		return ""
	}
	i := slices.Index(f.Weeks, monday)
	if i < 0 {
		return ""
	}
	var parts []string
	for _, z := range f.Zones {
		if i < len(z.Weeks) && z.Weeks[i].Time >= 60 {
			parts = append(parts, shown(z.Decl.Name.Value)+" "+report.OpenTime(z.Weeks[i].Time))
		}
	}
	if parts == nil {
		return ""
	}
	return "Valves open: " + cutTo(strings.Join(parts, ", "), longMessage) + "."
}
