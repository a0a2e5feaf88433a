package derive

import (
	"math"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/labor"
	"haulm/stdlib/season"
)

// jobKind sorts the jobs that a plan makes itself, in the order of the work.
type jobKind uint8

const (
	traySowing jobKind = iota
	pottingOn
	bedPreparation
	tapeLaying
	feedingJob
	plantingJob
	sowingJob
	trellising
	stringing
	pruning
	weeding
	spraying
	picking
	washing
	clearing
	ownTask
)

// jobNames are what people call them: a task of that name gives a rate of one's own.
var jobNames = [...]string{
	"tray sowing", "potting on", "bed preparation", "tape laying", "feeding", "planting", "sowing", "trellising", "stringing",
	"pruning", "weeding", "spraying", "picking", "washing", "clearing",
}

// JobNames lists the jobs that a plan makes itself, in the order of the work.
func JobNames() []string { return jobNames[:] }

// When a job may be done, in days (common practice throughout; a task of one's own gives other days).
const (
	prepareBefore = 14 // beds are prepared within two weeks before planting day
	tapeBefore    = 7  // tape is laid in the week before
	trellisWithin = 21 // a trellis stands within three weeks of planting, when its day is not known
	weedFirst     = 14 // the first weeding, after planting; then as often again
	weedPasses    = 3  // until the crop covers its ground
	pruneFirst    = 28 // the first pruning, after planting
	clearWithin   = 14 // a row is cleared within two weeks
)

// foreman makes the jobs of a plan.
type foreman struct {
	facts    *Facts
	jobs     []*Job
	byKey    map[jobKey]*Job
	own      [ownTask][]*farm.Task // the plan's rates, by job
	extra    []*farm.Task
	unplaced []Unplaced
	chain    map[*Planting][]*Job // what must be done before a planting goes in
	planted  map[*Planting]*Job
}

type jobKey struct {
	kind jobKind
	plot *Plot
	crop *farm.Crop
	from season.Date
	to   season.Date
	task *farm.Task
	per  string
	each float64
}

func newForeman(facts *Facts) *foreman {
	b := &foreman{facts: facts, byKey: map[jobKey]*Job{}, chain: map[*Planting][]*Job{}, planted: map[*Planting]*Job{}}
	for _, d := range facts.Farm.Tasks {
		if d == nil {
			continue
		}
		if kind := slices.Index(jobNames[:], plain(d.Name.Value)); kind >= 0 && !d.On.Given {
			b.own[kind] = append(b.own[kind], d)
		} else {
			b.extra = append(b.extra, d)
		}
	}
	return b
}

// pace is how long one of something takes, and who says so.
type pace struct {
	per  string
	each float64 // s
	rate *labor.Rate
	task *farm.Task
}

// add puts an amount of work into the job of its kind, place, crop and weeks, and gives that job; nil when there is
// nothing to do or nobody knows how long it takes.
func (b *foreman) add(kind jobKind, p *Planting, pc pace, amount float64, from, to season.Date) *Job {
	if !from.IsSet() || !(amount > 0) || math.IsInf(amount, 0) || !(pc.each > 0) {
		return nil
	}
	from, to = monday(from), monday(max(from, to))+6
	k := jobKey{kind: kind, crop: p.Decl.Crop, plot: p.Row.Plot, from: from, to: to, task: pc.task, per: pc.per, each: pc.each}
	j := b.byKey[k]
	if j == nil {
		j = &Job{
			Name: jobNames[kind], What: p.Decl.Crop.Title(), Plot: p.Row.Plot, From: from, To: to, Per: pc.per, Each: pc.each, Rate: pc.rate, Task: pc.task,
			kind: kind, crop: p.Decl.Crop,
		}
		b.byKey[k] = j
		b.jobs = append(b.jobs, j)
	}
	j.Amount += amount
	if j.last != p.Row {
		j.last = p.Row
		j.Rows++
	}
	return j
}

// follow notes that a job waits for others.
func (j *Job) follow(before ...*Job) {
	if j == nil {
		return
	}
	for _, k := range before {
		if k != nil && k != j && !slices.Contains(j.After, k) {
			j.After = append(j.After, k)
		}
	}
}

// pace looks for the plan's own rate, the closest to the planting first and the last of those as close, then for that
// of the table.
func (b *foreman) pace(kind jobKind, p *Planting, pers ...string) pace {
	var best *farm.Task
	closest := 0
	for _, d := range b.own[kind] {
		if near := nearTo(d, p); near >= closest && near > 0 {
			best, closest = d, near
		}
	}
	if best != nil {
		return ownPace(best)
	}
	r := labor.Find(jobNames[kind], p.Decl.Crop.Name, pers...)
	if r == nil {
		return pace{}
	}
	return pace{per: r.Per, each: r.Mid(), rate: r}
}

// ownPace is the rate that a task gives.
func ownPace(d *farm.Task) pace {
	pc := pace{task: d}
	switch {
	case d.PerLength.Given:
		pc.per, pc.each = "m", d.PerLength.Value.SI
	case d.PerArea.Given:
		pc.per, pc.each = "m2", d.PerArea.Value.SI
	case d.PerPlant.Given:
		pc.per, pc.each = "plant", d.PerPlant.Value.SI
	case d.Picked.Given && d.Picked.Value.SI > 0:
		pc.per, pc.each = "kg", 1/d.Picked.Value.SI
	case d.Takes.Given:
		pc.each = d.Takes.Value.SI
	}
	return pc
}

// amount is how much of what a rate counts there is of a planting.
func (p *Planting) amount(per string) float64 {
	switch per {
	case "m":
		return p.lineLength()
	case "m2":
		if w := p.strip(); w > 0 {
			return w * p.stretch()
		}
		return p.lineLength() * usualStrip
	case "plant":
		return float64(p.Plants)
	case "":
		return 1
	}
	return 0
}

// usualStrip is the width of ground of a row whose neighbors are not known, m (common practice).
const usualStrip = 1.2

// addPlanting makes the jobs that hang on planting day and on the day of clearing.
func (b *foreman) addPlanting(p *Planting) {
	if !p.Placed() || !p.Plant.IsSet() {
		return
	}
	bed := p.stretch() // a bed is prepared once, however many lines it has
	prepare := b.bedJob(bedPreparation, p, bed, p.Plant-prepareBefore, p.Plant-1)
	lay := (*Job)(nil)
	if p.Row.Water != nil && p.Row.Water.Zone != nil && p.Row.Water.Tapes > 0 && b.firstOf(p) {
		lay = b.bedJob(tapeLaying, p, bed*float64(p.Row.Water.Tapes), p.Plant-tapeBefore, p.Plant)
		lay.follow(prepare)
	}
	kind := plantingJob
	if p.direct() {
		kind = sowingJob
	}
	pc := b.pace(kind, p, "plant", "m")
	put := b.add(kind, p, pc, p.amount(pc.per), p.Plant, p.Plant)
	put.follow(prepare, lay)
	put.follow(b.chain[p]...)
	b.planted[p] = put
	b.addWeeding(p, put)
	if p.Clear.IsSet() {
		pc := b.pace(clearing, p, "m2", "m")
		b.add(clearing, p, pc, p.amount(pc.per), p.Clear, p.Clear+clearWithin-1)
	}
}

// firstOf tells whether no other planting goes into the row before this one: tape is laid once.
func (b *foreman) firstOf(p *Planting) bool {
	for _, q := range p.Row.Plantings {
		if q != p && q.Plant.IsSet() && (q.Plant < p.Plant || q.Plant == p.Plant && q.Number < p.Number) && q.Owns.From < p.Owns.To && p.Owns.From < q.Owns.To {
			return false
		}
	}
	return true
}

func (b *foreman) bedJob(kind jobKind, p *Planting, length float64, from, to season.Date) *Job {
	pc := b.pace(kind, p, "m", "m2")
	amount := length
	if pc.per != "m" {
		amount = p.amount(pc.per)
	}
	return b.add(kind, p, pc, amount, from, to)
}

// addWeeding weeds until the crop covers its ground, or is cleared; with a task's own days between passes, until the
// first harvest.
func (b *foreman) addWeeding(p *Planting, put *Job) {
	pc := b.pace(weeding, p, "m", "m2")
	every, passes := weedFirst, weedPasses
	if d := pc.task; d != nil && d.Every.Given && d.Every.Value > 0 {
		every, passes = d.Every.Value, mostPasses
	}
	end := p.Clear
	if !end.IsSet() || p.FirstHarvest.IsSet() && p.FirstHarvest < end {
		end = p.FirstHarvest
	}
	for n := 1; n <= passes; n++ {
		day := p.Plant.Add(n * every)
		if end.IsSet() && day >= end || passes == mostPasses && !end.IsSet() && n > weedPasses {
			break
		}
		b.add(weeding, p, pc, p.amount(pc.per), day, day+min(6, season.Date(every-1))).follow(put)
	}
}

// mostPasses bounds how often a job is done over again in a season.
const mostPasses = 60

// nearTo tells how closely a task is for a planting: 5 for the planting itself, then its row, variety, crop and plot; 1
// for the whole farm; 0 when it is for something else.
func nearTo(d *farm.Task, p *Planting) int {
	switch {
	case d.Planting != nil:
		return closeness(d.Planting == p.Decl, 6)
	case d.Row != nil:
		return closeness(d.Row == p.Row.Decl, 5)
	case d.Crop != nil && d.Crop.Variety != "":
		return closeness(d.Crop.Name == p.Decl.Crop.Name && d.Crop.Variety == p.Decl.Crop.Variety, 4)
	case d.Crop != nil:
		return closeness(d.Crop.Name == p.Decl.Crop.Name, 3)
	case d.Plot != nil:
		return closeness(d.Plot == p.Row.Plot.Decl, 2)
	}
	return 1
}

func closeness(is bool, near int) int {
	if is {
		return near
	}
	return 0
}
