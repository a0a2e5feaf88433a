package check

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
)

// workedGround begins the examples of this file: one row of tomatoes and a crew.
func workedGround(crew string) string {
	return `load("crops", "determinate_tomato")
hands = ` + crew + `
farm("Ferry Bank", year = 2027, crew = hands)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
plant(row(bench, at = 4 * ft), determinate_tomato, fill = True, spacing = 24 * inch, on = "2027-05-10")
`
}

var weekOverbooked = &diag.Rule{
	Code: "week-overbooked", Severity: diag.Warning,
	Summary: "a week has more work than the crew has hours",
	Explain: `The jobs of the plan and its tasks are laid over the weeks in which each may be done, the most urgent first, within
the crew's hours. What still has no room when its last week ends is counted here, with the week and the jobs.

Most rates of the table are from memory and unverified, and farms differ several times over: time your own work and
say it with ` + "`task(\"weeding\", per_length = ...)`" + `. Then move a planting, add hours with ` + "`by_month`" + `, or plant less.

A crew that is rushed gets hurt. Lifting: the revised NIOSH equation starts from 51 lb (23 kg) for a load close to the body at
knuckle height and goes down from there with reach, height, twist and frequency. Heat: OSHA's guidance for its heat index bands
asks for more water, rest and shade from 91 °F on, and for newcomers to build up over one to two weeks. Local rules come first.`,
	Example: workedGround("crew(hours_per_week = 20)") + `task("build the wash stand", takes = 30 * hours, on = "2027-05-03")
`,
	Source: "earliest due date first (Horn, Naval Research Logistics Quarterly 21, 1974); rates as `haulm show labor --by job` tells; NIOSH lifting equation; OSHA, Using the Heat Index",
}

var taskOutOfOrder = &diag.Rule{
	Code: "task-out-of-order", Severity: diag.Warning,
	Summary: "a task's days are over before the job that it follows can be done",
	Explain: `A task with ` + "`after`" + ` waits until the job of that name is done in its plot. Its last day is before that job's
first, or the crew has no hours to finish that job in time; it is then shown in the first week in which it can be done.

Move the task's days, or the planting that the other job belongs to.`,
	Example: workedGround("crew(hours_per_week = 40)") + `task("stretch wire", where = bench, takes = 2 * hours, on = "2027-04-05", after = "planting")
`,
	Source: "the order of days",
}

var taskNotPlaced = &diag.Rule{
	Code: "task-not-placed", Severity: diag.Warning,
	Summary: "a task has no week: it names no job and has no day, or follows nothing that there is",
	Explain: `A task whose name is one of the plan's own jobs (` + strings.Join(derive.JobNames(), ", ") + `) gives your time for that
job. Any other name is work of its own, and needs a day: ` + "`on`" + `, with ` + "`until`" + ` and ` + "`every`" + ` where it is done over days or again.
What it follows must be the name of a job or of another task.`,
	Example: workedGround("crew(hours_per_week = 40)") + `task("weedin", per_length = 10 * minutes / (100 * ft))
`,
	Source: "what the reckoning needs",
}

// labor holds the season's work against the crew. It costs nothing for plans that speak of neither crew nor tasks.
func (p *pass) labor() {
	if p.farm.Crew == nil && len(p.farm.Tasks) == 0 {
		return
	}
	l := p.facts.Labor()
	for _, u := range l.Unplaced {
		p.unplaced(u)
	}
	for _, j := range l.Jobs {
		if j.Task != nil && j.Task.After.Given {
			p.inOrder(l, j)
		}
	}
	for from := 0; from < len(l.Weeks); from++ {
		to := from
		for to < len(l.Weeks) && l.Weeks[to].Over >= leastOver {
			to++
		}
		if to > from {
			p.overbooked(l, from, to-1)
			from = to
		}
	}
}

// leastOver hours above a crew's are told: no estimate of work is finer.
const leastOver = 0.5

func (p *pass) unplaced(u derive.Unplaced) {
	at, help := u.Decl.Name.Span, ""
	if strings.HasPrefix(u.Why, "nothing") {
		at = u.Decl.After.Span
	}
	if u.Near != "" {
		help = fmt.Sprintf("did you mean %q?", u.Near)
	}
	finding := diag.Diagnostic{
		Rule: taskNotPlaced, Message: fmt.Sprintf("task %q has no week: %s", u.Decl.Name.Value, u.Why),
		Primary: diag.Label{Span: at, Text: "not counted"}, Help: help,
	}
	if u.Near != "" && strings.Trim(at.Text(), `"'`) != at.Text() {
		finding.Fixes = []diag.Fix{{Title: "Write " + strconv.Quote(u.Near), Edits: []diag.Edit{{Span: at, Text: strconv.Quote(u.Near)}}}}
	}
	p.report(&u.Decl.Decl, u.Decl.Name.Value, finding)
}

func (p *pass) inOrder(l *derive.Labor, j *derive.Job) {
	name := j.Task.Name.Value
	finding := diag.Diagnostic{Rule: taskOutOfOrder, Primary: diag.Label{Span: j.Task.Call}}
	if j.Task.On.Span.IsValid() {
		finding.Primary.Span = j.Task.On.Span
	}
	first, last := j.Done()
	switch {
	case j.Early != nil:
		finding.Message = fmt.Sprintf("%s ends in the week of %s and follows %s, which begins in that of %s. Do it then, or later", name, p.day(j.To-6),
			j.Early.Title(), p.day(j.Early.From))
		finding.Primary.Text = "too early"
	case first >= 0 && l.Weeks[last].Monday > j.To:
		before := j.After[0]
		for _, k := range j.After {
			if _, a := k.Done(); a >= 0 {
				if _, b := before.Done(); b < a {
					before = k
				}
			}
		}
		finding.Message = fmt.Sprintf("%s ends in the week of %s, but %s, which it follows, is not done before that of %s. Give it later days, or the crew more hours",
			name, p.day(j.To-6), before.Title(), p.day(l.Weeks[first].Monday))
		finding.Primary.Text = "over too soon"
	default:
		return
	}
	p.report(&j.Task.Decl, name, finding)
}

// overbooked reports a stretch of weeks with more work than hours.
func (p *pass) overbooked(l *derive.Labor, from, to int) {
	worst, sum := from, 0.0
	for i := from; i <= to; i++ {
		sum += l.Weeks[i].Over
		if l.Weeks[i].Over > l.Weeks[worst].Over {
			worst = i
		}
	}
	w := l.Weeks[worst]
	message := fmt.Sprintf("the week of %s has %s of work and the crew %s: %s do not fit, %s", p.day(w.Monday), workHours(w.Hours), workHours(w.Crew),
		workHours(w.Over), mostOver(w))
	if to > from {
		message += fmt.Sprintf(". From the week of %s to that of %s, %s do not fit in all", p.day(l.Weeks[from].Monday), p.day(l.Weeks[to].Monday), workHours(sum))
	}
	crew := p.farm.Crew
	at := crew.HoursPerWeek.Span
	if crew.ByMonth.Given {
		at = crew.Call
	}
	p.report(&crew.Decl, p.day(w.Monday), diag.Diagnostic{
		Rule: weekOverbooked, Message: message, Primary: diag.Label{Span: at, Text: "too few by " + workHours(w.Over)},
		Values: []diag.Value{{Name: "work", Text: workHours(w.Hours)}, {Name: "crew", Text: workHours(w.Crew)}},
		Help:   "move a planting, add hours with by_month, or say how long your own work takes with task(...)",
	})
}

// mostOver names what does not fit: "of it picking 12 h and washing 5 h".
func mostOver(w derive.WorkWeek) string {
	type part struct {
		name  string
		hours float64
	}
	var parts []part
	for _, s := range w.Done {
		if !s.Over {
			continue
		}
		i := slices.IndexFunc(parts, func(q part) bool { return q.name == s.Job.Name })
		if i < 0 {
			i = len(parts)
			parts = append(parts, part{name: s.Job.Name})
		}
		parts[i].hours += s.Hours
	}
	slices.SortStableFunc(parts, func(a, b part) int {
		return cmp.Compare(b.hours, a.hours)
	})
	var words []string
	for _, q := range parts {
		words = append(words, q.name+" "+workHours(q.hours))
	}
	return "of it " + some(words)
}

// workHours prints hours of work to a tenth.
func workHours(h float64) string { return tenth(h) + " h" }

func tenth(v float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
}
