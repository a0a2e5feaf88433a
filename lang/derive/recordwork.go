package derive

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"haulm/lang/farm"
)

// WorkRecord is a kind of work on a crop, or on no one crop: what was recorded of it against what was planned.
type WorkRecord struct {
	Name    string
	What    string     // the crop; "" for work on several or none
	Crop    *farm.Crop // nil as well
	Times   int        // records of it
	Hours   float64    // recorded
	Planned float64    // hours of all such work in the plan; 0 when it has none
	Of      float64    // Per, that the recorded hours were for; 0 when not known
	Per     string     // what the plan's rate counts, as Job.Per
	Each    float64    // s for one of Per by the record; 0 when not known
	Plan    float64    // s for one of Per by the plan
	Records []*farm.Record
}

// Work sums the recorded hours up by job and crop, in the order in which they are first recorded.
func (r *Record) Work() []*WorkRecord {
	r.work.once.Do(func() {
		list := r.newWork()
		r.work.of = &list
	})
	return *r.work.of
}

type workKey struct {
	name, what string
}

func (r *Record) newWork() []*WorkRecord {
	byKey := map[workKey]*WorkRecord{}
	var all []*WorkRecord
	timed := map[*WorkRecord]float64{} // s of the records whose amount is known
	for _, d := range r.facts.Farm.Records {
		list, known := r.of[d]
		if !known || d.Kind == farm.Lost || !d.Took.Given {
			continue
		}
		k := workKey{name: jobName(d.What.Value)}
		crop := onlyCrop(list)
		if crop != nil && (d.Where.Value != "" || d.Planting != nil || d.Crop != nil || d.Row != nil || d.Plot != nil) {
			k.what = crop.Title()
		} else {
			crop = nil
		}
		w := byKey[k]
		if w == nil {
			w = &WorkRecord{Name: k.name, What: k.what, Crop: crop}
			w.planned(r.facts.Labor())
			byKey[k] = w
			all = append(all, w)
		}
		w.Times++
		w.Records = append(w.Records, d)
		w.Hours += seconds(&d.Took) / 3600
		if of := r.workedAt(w, d, list); of > 0 {
			w.Of += of
			timed[w] += seconds(&d.Took)
		}
	}
	for _, w := range all {
		if w.Of > 0 {
			w.Each = timed[w] / w.Of
		}
	}
	return all
}

// onlyCrop is the crop of all of the plantings; nil when there are several, or none.
func onlyCrop(list []*Planting) *farm.Crop {
	if len(list) == 0 {
		return nil
	}
	c := list[0].Decl.Crop
	for _, p := range list[1:] {
		if p.Decl.Crop.Title() != c.Title() {
			return nil
		}
	}
	return c
}

// planned sums the plan's own hours for the work up, and takes the rate of the first such job.
func (w *WorkRecord) planned(l *Labor) {
	for _, j := range l.Jobs {
		if plain(j.Name) != plain(w.Name) || w.What != "" && j.What != w.What && j.What != "" {
			continue
		}
		w.Planned += j.Hours
		if w.Plan == 0 {
			w.Per, w.Plan = j.Per, j.Each
		}
	}
}

// workedAt is how much of what the plan's rate counts a record's hours were for: of picking what was picked, else
// what stands in the place on that day.
func (r *Record) workedAt(w *WorkRecord, d *farm.Record, list []*Planting) float64 {
	switch w.Per {
	case "m", "m2", "plant":
	case "tray", "pot":
		sum := 0.0
		for _, s := range r.facts.Nursery().Starts {
			if slices.Contains(list, s.Planting) {
				vessels := s.Trays
				if w.Per == "pot" {
					vessels = s.Pots
				}
				sum += float64(vessels)
			}
		}
		return sum
	case "kg":
		return d.Mass.Value.SI
	case "":
		if w.Plan > 0 {
			return 1
		}
		return 0
	default:
		return d.Count.Value
	}
	kind, _ := jobCalled(w.Name)
	if d.On.Given && kind >= trellising && kind != clearing {
		if on := slices.DeleteFunc(slices.Clone(list), func(p *Planting) bool { return !p.standsOn(d.On.Value) }); len(on) > 0 {
			list = on
		}
	}
	sum := 0.0
	for _, p := range list {
		sum += p.amount(w.Per)
	}
	return sum
}

// HasWork tells whether the plan has work of that name in the place of a record.
func (r *Record) HasWork(d *farm.Record) bool {
	r.has.once.Do(func() {
		has := map[workKey]bool{}
		for _, j := range r.facts.Labor().Jobs {
			has[workKey{plain(j.Name), ""}] = true
			has[workKey{plain(j.Name), j.What}] = true
			if j.What == "" {
				has[workKey{plain(j.Name), anyCrop}] = true
			}
		}
		for _, t := range r.facts.Farm.Tasks {
			if t != nil {
				has[workKey{plain(t.Name.Value), anyCrop}] = true
			}
		}
		r.has.of = &has
	})
	has, name := *r.has.of, plain(jobName(d.What.Value))
	if has[workKey{name, anyCrop}] {
		return true
	}
	if d.Where.Value == "" && d.Planting == nil && d.Crop == nil && d.Row == nil && d.Plot == nil {
		return has[workKey{name, ""}]
	}
	return slices.ContainsFunc(r.of[d], func(p *Planting) bool { return has[workKey{name, p.Decl.Crop.Title()}] })
}

// anyCrop stands for the crop of work that is on no one crop; no crop is called that.
const anyCrop = "\x00"

// OwnRate is what a farm's own record says of a crop, for the plan of another year.
type OwnRate struct {
	Crop          *farm.Crop
	Plantings     int     // that it is taken from
	Days          int     // from planting day to the first harvest, in the mean; 0 when not known
	PlannedDays   int     // 0 when not known
	Window        int     // days from the first harvest to the last; 0 when not known
	PlannedWindow int     // 0 when not known
	Yield         float64 // kg for each m of line; 0 when not known
	PlannedYield  float64 // 0 when not known
	Picked        float64 // kg
	Length        float64 // m of line that they were picked from
}

// Rates gives the farm's own rates by crop and variety: days from plantings whose planting day and first harvest
// are recorded, yield and window from those whose harvest is over.
func (r *Record) Rates() []*OwnRate {
	r.rates.once.Do(func() {
		list := r.newRates()
		r.rates.of = &list
	})
	return *r.rates.of
}

func (r *Record) newRates() []*OwnRate {
	byCrop := map[string]*OwnRate{}
	var all []*OwnRate
	type sums struct{ days, dayed, plannedDays, window, windowed, plannedWindow, planned, plannedLength float64 }
	of := map[*OwnRate]*sums{}
	h := r.facts.Harvest()
	for _, to := range r.Plantings {
		p := to.Planting
		first, last := to.pickedDays()
		if !first.IsSet() {
			continue
		}
		title := p.Decl.Crop.Title()
		o := byCrop[title]
		if o == nil {
			o = &OwnRate{Crop: p.Decl.Crop}
			byCrop[title], of[o] = o, &sums{}
			all = append(all, o)
		}
		s := of[o]
		o.Plantings++
		if to.Planted != nil {
			s.days += float64(first.DaysSince(p.Plant))
			s.dayed++
			if m := p.maturity(); m.ok {
				s.plannedDays += float64(m.days)
			}
		}
		if !to.IsOver() {
			continue
		}
		if days, ok := p.harvestDays(); last > first {
			s.window += float64(last.DaysSince(first))
			s.windowed++
			if ok {
				s.plannedWindow += float64(days)
			}
		}
		if kg, length := to.mass(), p.lineLength(); kg > 0 && length > 0 {
			o.Picked, o.Length = o.Picked+kg, o.Length+length
		}
		if n := h.Plantings[p.Number-1]; n.Unknown == "" && n.yield.kg > 0 {
			s.planned, s.plannedLength = s.planned+n.yield.kg, s.plannedLength+p.lineLength()
		}
	}
	for _, o := range all {
		s := of[o]
		o.Days, o.PlannedDays = mean(s.days, s.dayed), mean(s.plannedDays, s.dayed)
		o.Window, o.PlannedWindow = mean(s.window, s.windowed), mean(s.plannedWindow, s.windowed)
		if o.Length > 0 {
			o.Yield = o.Picked / o.Length
		}
		if s.plannedLength > 0 {
			o.PlannedYield = s.planned / s.plannedLength
		}
	}
	slices.SortStableFunc(all, func(a, b *OwnRate) int {
		return cmp.Compare(strings.ToLower(a.Crop.Title()), strings.ToLower(b.Crop.Title()))
	})
	return all
}

func mean(sum, n float64) int {
	if n == 0 {
		return 0
	}
	return int(math.Round(sum / n))
}
