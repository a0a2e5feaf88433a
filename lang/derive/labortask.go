package derive

import (
	"slices"

	"github.com/agnivade/levenshtein"

	"haulm/lang/farm"
	"haulm/stdlib/season"
)

// addTask makes the jobs of a task of the plan's own: one, or one for each time that it is done.
func (b *foreman) addTask(d *farm.Task) {
	if d.After.Given && !b.known(d.After.Value) {
		b.unplaced = append(b.unplaced, Unplaced{Decl: d, Why: "nothing in the plan is called " + d.After.Value, Near: b.nearest(d.After.Value)})
		return
	}
	if !d.On.Given || !d.On.Value.IsSet() {
		b.unplaced = append(b.unplaced, Unplaced{Decl: d, Why: "it has no day", Near: b.nearest(d.Name.Value)})
		return
	}
	pc := ownPace(d)
	place := b.placeOf(d)
	amount := place.amount(pc.per)
	if pc.per == "kg" {
		b.unplaced = append(b.unplaced, Unplaced{Decl: d, Why: "only picking and washing can be timed by what is picked"})
		return
	}
	from, to := d.On.Value, d.On.Value
	if d.Until.Given && d.Until.Value > from {
		to = d.Until.Value
	}
	add := func(from, to season.Date) {
		b.jobs = append(b.jobs, &Job{
			Name: d.Name.Value, What: place.what, Plot: place.plot, Rows: place.rows, From: monday(from), To: monday(to) + 6,
			Amount: amount, Per: pc.per, Each: pc.each, Task: d, kind: ownTask, crop: d.Crop, begin: from, end: to,
		})
	}
	if !d.Every.Given || d.Every.Value <= 0 {
		add(from, to)
		return
	}
	for n := 0; n < mostPasses; n++ {
		day := from.Add(n * d.Every.Value)
		if day > to {
			break
		}
		add(day, min(to, day.Add(d.Every.Value-1)))
	}
}

// workPlace is where a task of one's own is done.
type workPlace struct {
	plot         *Plot
	what         string
	rows         int
	length, area float64
	plants       int
}

func (w *workPlace) amount(per string) float64 {
	switch per {
	case "m":
		return w.length
	case "m2":
		return w.area
	case "plant":
		return float64(w.plants)
	}
	return 1
}

// placeOf sums up the rows, or the plantings of a crop, that a task is for.
func (b *foreman) placeOf(d *farm.Task) workPlace {
	w := workPlace{}
	var rows []*Row
	for _, p := range b.facts.Plots {
		if d.Plot == p.Decl || d.Plot == nil {
			w.area += p.Area
			rows = append(rows, p.Rows...)
		}
		if d.Plot == p.Decl {
			w.plot = p
		}
	}
	if d.Row == nil && d.Planting == nil && d.Crop == nil {
		for _, r := range rows {
			w.length += r.Length
			for _, p := range r.Plantings {
				w.plants += p.Plants
			}
		}
		w.rows = len(rows)
		return w
	}
	w.area = 0
	for _, r := range rows {
		if d.Row == r.Decl {
			w.plot, w.rows, w.length = r.Plot, 1, r.Length
			w.area = r.Length * usualStrip
			if share := r.share(); share < usualStrip*10 {
				w.area = r.Length * share
			}
			for _, p := range r.Plantings {
				w.plants += p.Plants
			}
			return w
		}
		in := false
		for _, p := range r.Plantings {
			if nearTo(d, p) > 1 {
				w.what, in = p.Decl.Crop.Title(), true
				w.length += p.lineLength()
				w.area += p.amount("m2")
				w.plants += p.Plants
			}
		}
		if in {
			w.rows++
			if w.rows > 1 && w.plot != r.Plot {
				w.plot = nil
			} else {
				w.plot = r.Plot
			}
		}
	}
	return w
}

// wait makes a job of one's own wait for the jobs of a name that begin before its last day is over: those of its
// own plot and crop where it has them. Where there are none but later ones, it comes too early.
func (b *foreman) wait(j *Job, name string) {
	for _, k := range b.jobs {
		if plain(k.Name) != plain(name) || k.Task == j.Task || j.Plot != nil && k.Plot != nil && j.Plot != k.Plot ||
			j.What != "" && k.What != "" && j.What != k.What {
			continue
		}
		if k.From <= j.To {
			j.follow(k)
		} else if j.Early == nil || k.From < j.Early.From {
			j.Early = k
		}
	}
	if len(j.After) > 0 {
		j.Early = nil
	}
}

// known tells whether a name is that of a job of the plan or of a task.
func (b *foreman) known(name string) bool {
	return slices.ContainsFunc(b.names(), func(n string) bool { return plain(n) == plain(name) })
}

func (b *foreman) names() []string {
	names := slices.Clone(jobNames[:])
	for _, d := range b.extra {
		names = append(names, d.Name.Value)
	}
	return names
}

// nearest gives the job whose name is most like another, "" when none is much like it.
func (b *foreman) nearest(name string) string {
	best, least := "", (len(name)+2)/3+1
	for _, n := range b.names() {
		if d := levenshtein.ComputeDistance(plain(name), plain(n)); d < least && plain(n) != plain(name) {
			best, least = n, d
		}
	}
	return best
}
