package derive

import (
	"cmp"
	"slices"

	"haulm/lang/farm"
	"haulm/stdlib/season"
)

// trayArea and potArea are the ground that one takes on the bench, m2.
func trayArea(t *farm.Tray) float64 { return t.Length.Value.SI * t.Width.Value.SI }
func potArea(p *farm.Pot) float64   { return p.Width.Value.SI * p.Width.Value.SI }

// indoors calls each for every stay of the batch on the bench: in trays, then in pots.
func (b *Batch) indoors(each func(from, to season.Date, bench float64)) {
	s := b.Starts[0]
	p := s.Planting
	trays := float64(b.Trays) * trayArea(p.Decl.Tray)
	if s.StepUp.IsSet() {
		each(p.Sow, s.StepUp, trays)
		each(s.StepUp, s.Harden, float64(b.Pots)*potArea(p.Decl.Pot))
		return
	}
	each(p.Sow, s.Harden, trays)
}

// matDays is how long a tray stays on the mat where the days to emerge are not known (common practice).
const matDays = 10

// onMat gives the days that the start's trays take places on the mat.
func (s *Start) onMat() (from, to season.Date) {
	from, to = s.Planting.Sow, s.Emerge
	if !to.IsSet() {
		to = from.Add(matDays)
	}
	return from, min(to, s.Harden)
}

// mostWeeks bounds what is believed of a season of raising plants.
const mostWeeks = 200

// addWeeks sums up what stands on the bench, day by day, and gives each week its fullest day.
func (n *Nursery) addWeeks() {
	first, last := season.None, season.None
	for _, s := range n.Starts {
		if s.Unknown == "" {
			first = sooner(first, s.Planting.Sow)
			last = max(last, s.Planting.Plant)
		}
	}
	if !first.IsSet() || last.DaysSince(first) > 7*mostWeeks {
		return
	}
	begin := monday(first)
	days := last.DaysSince(begin) + 1
	bench, mats := make([]float64, days+1), make([]int, days+1)
	for week := begin; week <= last; week += 7 {
		n.Weeks = append(n.Weeks, &NurseryWeek{Monday: week})
	}
	for _, b := range n.Batches {
		s := b.Starts[0]
		if s.Unknown != "" {
			continue
		}
		b.indoors(func(from, to season.Date, area float64) {
			if to > from {
				bench[from.DaysSince(begin)] += area
				bench[to.DaysSince(begin)] -= area
			}
		})
		if from, to := s.onMat(); s.OnMat && to > from {
			mats[from.DaysSince(begin)] += b.Trays
			mats[to.DaysSince(begin)] -= b.Trays
		}
		for i := s.Planting.Sow.DaysSince(begin) / 7; i <= (s.Planting.Plant.DaysSince(begin)-1)/7; i++ {
			n.Weeks[i].Batches = append(n.Weeks[i].Batches, b)
		}
	}
	area, places := 0.0, 0
	for i := range days {
		area, places = area+bench[i], places+mats[i]
		w := n.Weeks[i/7]
		w.Bench, w.Mats = max(w.Bench, area), max(w.Mats, places)
	}
	for i, w := range n.Weeks {
		if w.Bench > 1e-9 && (n.Peak < 0 || w.Bench > n.Weeks[n.Peak].Bench+1e-9) {
			n.Peak = i
		}
	}
}

// addVessels counts the trays and pots in use at once.
func (n *Nursery) addVessels(f *farm.Farm) {
	for _, t := range f.Trays {
		v := n.vessel(func(b *Batch) (season.Date, season.Date, int) {
			s := b.Starts[0]
			if s.Planting.Decl.Tray != t {
				return 0, 0, 0
			}
			if s.StepUp.IsSet() {
				return s.Planting.Sow, s.StepUp, b.Trays
			}
			return s.Planting.Sow, s.Planting.Plant, b.Trays
		})
		if v.Tray = t; v.Filled > 0 {
			n.Trays = append(n.Trays, v)
		}
	}
	for _, t := range f.Pots {
		v := n.vessel(func(b *Batch) (season.Date, season.Date, int) {
			s := b.Starts[0]
			if s.Planting.Decl.Pot != t || !s.StepUp.IsSet() {
				return 0, 0, 0
			}
			return s.StepUp, s.Planting.Plant, b.Pots
		})
		if v.Pot = t; v.Filled > 0 {
			n.Pots = append(n.Pots, v)
		}
	}
}

// vessel finds the most in use on one day; what is emptied on a day is washed and can be filled on the next.
func (n *Nursery) vessel(use func(*Batch) (from, to season.Date, count int)) *VesselNeed {
	type change struct {
		on season.Date
		by int
	}
	var changes []change
	v := &VesselNeed{First: season.None}
	for _, b := range n.Batches {
		if b.Starts[0].Unknown != "" {
			continue
		}
		if from, to, count := use(b); count > 0 {
			changes = append(changes, change{from, count}, change{to.Add(1), -count})
			v.Filled += count
			v.First = sooner(v.First, from)
		}
	}
	slices.SortStableFunc(changes, func(a, b change) int {
		return cmp.Or(cmp.Compare(a.on, b.on), cmp.Compare(a.by, b.by))
	})
	now := 0
	for _, c := range changes {
		now += c.by
		v.Need = max(v.Need, now)
	}
	return v
}
