package derive

import (
	"cmp"
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/labor"
	"haulm/stdlib/season"
)

// Labor is the season's work: the jobs that the plan makes and those that it adds, each with its hours and the
// weeks it may be done in, laid over the weeks so that the crew's hours hold as much of it as they can.
type Labor struct {
	Weeks    []WorkWeek // one after the other, from the first job to the last; empty without any
	Jobs     []*Job     // by first week, then in the order of work
	Hours    float64    // in all
	Crewed   bool       // the plan says what hours there are
	Peak     int        // week with most hours; -1 without any
	Unplaced []Unplaced // tasks of the plan that have no week
}

// WorkWeek is a week of work.
type WorkWeek struct {
	Monday season.Date
	Crew   float64 // hours that there are; infinite when the plan does not say
	Hours  float64 // of work in it
	Over   float64 // of those, above what there are
	Done   []JobShare
}

// JobShare is what is done of a job in a week.
type JobShare struct {
	Job   *Job
	Hours float64
	Over  bool // above the hours that there are
}

// Job is one kind of work on what is planted in a plot, for all rows in which it has the same weeks.
type Job struct {
	Name   string // "weeding"
	What   string // the crop; "" for work on no one crop
	Plot   *Plot  // nil for work on no one plot
	Rows   int    // rows it is done in; 0 for work on none
	From   season.Date
	To     season.Date // last day of its last week
	Hours  float64
	Amount float64     // of Per
	Per    string      // what the rate counts: "m" of row, "m2", "plant", "tray", "kg", "bunch"; "" for a time of its own
	Each   float64     // s for one of Per
	Rate   *labor.Rate // of the table; nil when the plan gives its own
	Task   *farm.Task  // that gives its own rate, or is the work; nil when neither
	After  []*Job      // that must be done before
	Early  *Job        // the first of those that it should follow, when all of them come later; nil otherwise
	Shares []WeekShare // when it is done

	begin, end season.Date // days of a task of the plan's own

	kind  jobKind
	crop  *farm.Crop
	index int // in Labor.Jobs
	last  *Row
}

// WeekShare is the part of a job that falls in a week.
type WeekShare struct {
	Week  int // index in Labor.Weeks
	Hours float64
	Over  bool
}

// Unplaced is a task that has no week, and why.
type Unplaced struct {
	Decl *farm.Task
	Why  string
	Near string // the job that its name, or what it follows, is nearly called
}

// Done gives the first and the last week in which something is done of the job; -1 when nothing is.
func (j *Job) Done() (first, last int) {
	if len(j.Shares) == 0 {
		return -1, -1
	}
	return j.Shares[0].Week, j.Shares[len(j.Shares)-1].Week
}

// Labor gives the season's work, laid out when first asked for.
func (facts *Facts) Labor() *Labor {
	facts.labor.once.Do(func() { facts.labor.of = newLabor(facts) })
	return facts.labor.of
}

func newLabor(facts *Facts) *Labor {
	b := newForeman(facts)
	b.addNursery()
	for _, p := range facts.Plantings {
		b.addPlanting(p)
	}
	b.addSupport()
	b.addFeedings()
	b.addSprays()
	b.addHarvest()
	b.addTasks()
	l := &Labor{Jobs: b.jobs, Unplaced: b.unplaced, Crewed: facts.Farm.Crew != nil, Peak: -1}
	slices.SortStableFunc(l.Jobs, func(a, b *Job) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.kind, b.kind)) })
	first, last := season.None, season.None
	for i, j := range l.Jobs {
		j.index = i
		j.Hours = j.Amount * j.Each / 3600
		l.Hours += j.Hours
		first, last = sooner(first, j.From), max(last, j.To)
	}
	if first.IsSet() {
		for d := monday(first); d <= last; d += 7 {
			l.Weeks = append(l.Weeks, WorkWeek{Monday: d, Crew: crewHours(facts.Farm.Crew, d)})
		}
		l.level()
	}
	return l
}

// level lays the jobs over the weeks.
func (l *Labor) level() {
	tasks := make([]labor.Task, len(l.Jobs))
	begin := l.Weeks[0].Monday
	for i, j := range l.Jobs {
		tasks[i] = labor.Task{Hours: j.Hours, First: j.From.DaysSince(begin) / 7, Last: j.To.DaysSince(begin) / 7}
		for _, before := range j.After {
			tasks[i].After = append(tasks[i].After, before.index)
		}
	}
	hours := make([]float64, len(l.Weeks))
	for i := range l.Weeks {
		hours[i] = l.Weeks[i].Crew
	}
	for _, s := range labor.Level(tasks, hours) {
		j, w := l.Jobs[s.Task], &l.Weeks[s.Week]
		j.Shares = append(j.Shares, WeekShare{s.Week, s.Hours, s.Over})
		w.Done = append(w.Done, JobShare{j, s.Hours, s.Over})
		w.Hours += s.Hours
		if s.Over {
			w.Over += s.Hours
		}
	}
	for n := len(l.Weeks); n > 1 && l.Weeks[n-1].Hours == 0; n-- {
		l.Weeks = l.Weeks[:n-1] // everything was done before
	}
	for i := range l.Weeks {
		if w := &l.Weeks[i]; w.Hours > 0 && (l.Peak < 0 || exceeds(w.Hours, l.Weeks[l.Peak].Hours)) {
			l.Peak = i
		}
	}
}

// crewHours are those of the week: each day has its share of its month's.
func crewHours(c *farm.Crew, monday season.Date) float64 {
	if c == nil {
		return math.Inf(1)
	}
	sum := 0.0
	for d := monday; d < monday+7; d++ {
		of := c.HoursPerWeek.Value
		if own := month(&c.ByMonth, int(d.Month())-1); c.ByMonth.Given && own >= 0 {
			of = own / 3600
		}
		sum += of / 7
	}
	return math.Round(sum*1e6) / 1e6
}

// ByPlot sums the hours of work by plot and week; what belongs to no plot comes last, under nil.
func (l *Labor) ByPlot(plots []*Plot) []PlotWork {
	out := make([]PlotWork, len(plots)+1)
	place := make(map[*Plot]int, len(plots))
	for i, p := range plots {
		out[i].Plot, place[p] = p, i
	}
	place[nil] = len(plots)
	for i := range out {
		out[i].Weeks = make([]float64, len(l.Weeks))
	}
	for i, w := range l.Weeks {
		for _, s := range w.Done {
			of := &out[place[s.Job.Plot]]
			of.Weeks[i] += s.Hours
			of.Hours += s.Hours
		}
	}
	return out
}

// PlotWork is the work on one plot.
type PlotWork struct {
	Plot  *Plot // nil for the rest
	Hours float64
	Weeks []float64 // as Labor.Weeks
}

// Of gives the jobs that a task is, or sets the time of, in the order of Jobs.
func (l *Labor) Of(d *farm.Task) []*Job {
	var out []*Job
	for _, j := range l.Jobs {
		if j.Task == d {
			out = append(out, j)
		}
	}
	return out
}
