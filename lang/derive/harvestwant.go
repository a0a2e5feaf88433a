package derive

import (
	"haulm/lang/farm"
	"haulm/stdlib/season"
)

// WantHarvest is what is asked of a crop against what it gives.
type WantHarvest struct {
	Decl    *farm.Want
	Unknown string   // why the two cannot be set against each other; "" when all below holds
	Unit    SaleUnit // that amounts count
	Weeks   []WantWeek
	Crops   []*CropHarvest // that serve it
}

// WantWeek is a week of a want.
type WantWeek struct {
	Monday season.Date
	Wanted float64 // that is asked for on the days of this week
	Given  float64 // that is harvested
}

// How far a harvest may miss what is wanted: yields are no surer than that (common practice).
const (
	shortShare = 0.9 // of what is wanted, below which it is too little
	overShare  = 1.5 // above which it is too much
)

// Short tells whether the week gives clearly less than is wanted.
func (w *WantWeek) Short() bool { return w.Given < shortShare*w.Wanted }

// Over tells whether the week gives far more than is wanted.
func (w *WantWeek) Over() bool { return w.Wanted > 0 && w.Given > overShare*w.Wanted }

// addWants sets what is asked for against the harvest: that of all varieties of a crop, or of the one variety that
// is asked for.
func (h *Harvest) addWants(f *farm.Farm) {
	for _, d := range f.Wants {
		if d == nil || d.Crop == nil {
			continue
		}
		w := &WantHarvest{Decl: d}
		h.Wants = append(h.Wants, w)
		w.Unit = saleUnit(d.Crop.SaleUnit, &d.Crop.UnitMass)
		wanted := d.Count.Value
		if d.Mass.Given {
			w.Unit = MassUnit(f.Units)
			wanted = d.Mass.Value.SI / w.Unit.Mass
		}
		served := make([]float64, len(h.Weeks))
		for _, c := range h.Crops {
			if c.Crop.Name != d.Crop.Name || d.Crop.Variety != "" && d.Crop.Variety != c.Crop.Variety || c.Amount == 0 {
				continue
			}
			if len(w.Crops) == 0 && d.Count.Given && !d.Crop.UnitMass.Given {
				w.Unit = c.Unit // what the crop is sold by may not be known in pieces
			}
			ratio, ok := c.Unit.in(w.Unit)
			if !ok {
				w.Unknown = "it is counted by the " + w.Unit.Name + ", the harvest by the " + c.Unit.Name + ", and the mass of one is not known; give it with variety(..., unit_mass = ...)"
				break
			}
			w.Crops = append(w.Crops, c)
			for i, v := range c.Weeks {
				served[i] += v * ratio
			}
		}
		if w.Unknown == "" {
			w.setWeeks(h.Weeks, served, wanted)
		}
	}
}

// setWeeks lays the want over its weeks: from its start to its end; where the plan gives none, from the first
// harvest of the crop to the last.
func (w *WantHarvest) setWeeks(weeks []season.Date, served []float64, wanted float64) {
	from, to := w.Decl.On.Value, w.Decl.Until.Value
	for _, c := range w.Crops {
		first, last := c.Days()
		if !w.Decl.On.Given {
			from = sooner(from, first)
		}
		if !w.Decl.Until.Given {
			to = max(to, last)
		}
	}
	if !from.IsSet() || !to.IsSet() {
		w.Unknown = "nothing of it is harvested, and the want has no first and last day"
		return
	}
	first := 0
	if len(weeks) > 0 {
		first = monday(from).DaysSince(weeks[0]) / 7
	}
	for d := monday(from); d <= to; d += 7 {
		days := min(to, d+6).DaysSince(max(from, d)) + 1
		week := WantWeek{Monday: d, Wanted: wanted * float64(days) / 7}
		if i := first + len(w.Weeks); i >= 0 && i < len(served) {
			week.Given = served[i]
		}
		w.Weeks = append(w.Weeks, week)
	}
}
