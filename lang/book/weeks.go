package book

import (
	"math"
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
	jobs   []*derive.Occasion
}

// weeks gives the weeks in which there is anything to do, to pick or to water, and what, in order of days.
func (b *Book) weeks() []week {
	var mondays []season.Date
	occasions := b.Facts.Calendar()
	for _, o := range occasions {
		mondays = append(mondays, o.On.Monday())
	}
	for _, w := range b.Facts.Labor().Weeks {
		if w.Hours >= leastHours {
			mondays = append(mondays, w.Monday)
		}
	}
	mondays = append(mondays, b.Facts.Harvest().Weeks...)
	slices.Sort(mondays)
	mondays = slices.Compact(mondays)
	list := make([]week, len(mondays))
	at := 0
	for i, monday := range mondays {
		list[i].monday = monday
		from := at
		for at < len(occasions) && occasions[at].On.Monday() == monday {
			at++
		}
		list[i].jobs = occasions[from:at]
	}
	return list
}

// leastHours of work are worth telling, h.
const leastHours = 0.05

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

func (b *Book) todo(j *derive.Occasion) todo {
	t := todo{Day: j.On.Weekday().String()[:3] + " " + b.day(j.On), Do: j.Do, Note: cutTo(j.Note, longMessage)}
	if j.Until.IsSet() && j.Until > j.On {
		t.Day += " – " + b.day(j.Until)
	}
	if j.What != "" {
		t.Do += ": " + shown(j.What)
	}
	if n := j.Counted(); n != "" {
		t.Do += ", " + n
	}
	t.Where = cutTo(report.Places(j.Places), longMessage)
	return t
}

// work says what hours a week takes; "" when it takes none.
func (b *Book) work(monday season.Date) string {
	l := b.Facts.Labor()
	i := slices.IndexFunc(l.Weeks, func(w derive.WorkWeek) bool { return w.Monday == monday })
	if i < 0 || l.Weeks[i].Hours < leastHours {
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
			amount := c.Weeks[i]
			if c.Unit.Mass == 0 && amount > 1 {
				amount = math.Round(amount) // nobody picks a part of a head
			}
			parts = append(parts, number(amount)+" "+shown(c.Unit.Name)+" "+shown(c.Crop.Title()))
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
	if x >= 20 || x == math.Round(x) {
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
			parts = append(parts, shown(z.Decl.Name.Value)+" "+derive.OpenTime(z.Weeks[i].Time))
		}
	}
	if parts == nil {
		return ""
	}
	return "Valves open: " + cutTo(strings.Join(parts, ", "), longMessage) + "."
}
