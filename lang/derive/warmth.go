package derive

import (
	"math"
	"time"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/season"
)

// warmth is the warmth of a site, by which crops with degree days are dated: what was measured on a day, else the
// normals of its month. It is read when the first such planting is dated, and never changes after the last one is.
type warmth struct {
	site     *farm.Site           // nil when the farm has none
	today    farm.DateArg         // up to which days are measured
	read     bool                 // what follows
	measured season.Temperatures  // nil without a weather file
	normal   season.Temperatures  // nil without a climate
	days     map[int][][2]float64 // lowest and highest, °C, for planting days of a year
	sums     map[warmYears]*season.Warmth
}

// warmYears are the degree days of a scale from a year on.
type warmYears struct {
	scale season.DegreeDays
	year  int
}

// known reads the site, and tells whether anything says how warm its days are.
func (w *warmth) known() bool {
	if w.read || w.site == nil {
		return w.measured != nil || w.normal != nil
	}
	w.read, w.days, w.sums = true, map[int][][2]float64{}, map[warmYears]*season.Warmth{}
	if days := happened(w.site, w.today); len(days) > 0 {
		w.measured = days.Temperatures()
	}
	if c := w.site.Climate; c != nil && len(c.TMin.Value) == 12 && len(c.TMax.Value) == 12 {
		var low, high season.Normals
		for i := range 12 {
			low[i], high[i] = celsius(month(&c.TMin, i)), celsius(month(&c.TMax, i))
		}
		w.normal = season.NormalTemperatures(&low, &high)
	}
	return w.known()
}

// on gives the lowest and the highest temperature of a day, °C; NaN where nothing tells.
func (w *warmth) on(d season.Date) (low, high float64) {
	if w.was(d) {
		return w.measured(d)
	}
	if w.normal == nil {
		return math.NaN(), math.NaN()
	}
	return w.normal(d)
}

// was tells whether the day's temperatures were measured.
func (w *warmth) was(d season.Date) bool {
	if w.measured == nil {
		return false
	}
	low, high := w.measured(d)
	return !math.IsNaN(low) && !math.IsNaN(high)
}

// The years before and after that of a planting day that are summed: what is not ripe by then never is.
const (
	yearsBack = 1
	yearsOn   = 2
)

// over gives the sums of a scale from the year of a day on, worked out once for all plantings.
func (w *warmth) over(s season.DegreeDays, day season.Date) *season.Warmth {
	key := warmYears{s, day.Year()}
	sums := w.sums[key]
	if sums == nil {
		first, last := season.On(key.year-yearsBack, time.January, 1), season.On(key.year+yearsOn, time.January, 1)
		days := w.days[key.year]
		if days == nil {
			days = make([][2]float64, last.DaysSince(first))
			for i := range days {
				days[i][0], days[i][1] = w.on(first.Add(i))
			}
			w.days[key.year] = days
		}
		sums = s.Over(func(d season.Date) (low, high float64) {
			of := &days[d.DaysSince(first)]
			return of[0], of[1]
		}, first, last)
		w.sums[key] = sums
	}
	return sums
}

// ripen dates the first harvest by the degree days of the crop, and tells whether it could: not where the crop has none
// to go by, or where nothing tells how warm the days on the way are.
func (p *Planting) ripen(w *warmth) bool {
	c := p.Decl.Crop
	if p.Decl.Maturity.Given || !p.Plant.IsSet() || !p.hasDegrees() || !w.known() {
		return false
	}
	scale := c.DegreeScale()
	if scale.Valid() != nil {
		return false
	}
	sums := w.over(scale, p.Plant)
	day, ok := sums.Reach(p.Plant, c.DegreeDays.Mid()/secondsOfDay)
	if ok {
		p.FirstHarvest, p.warm = day, sums
	}
	return ok
}

// Latest gives the last day on which it could go into the row to be ready on another; None when there is none.
func (p *Planting) Latest(ready season.Date) season.Date {
	switch {
	case p.warm != nil:
		day, _ := p.warm.Latest(ready, p.Decl.Crop.DegreeDays.Mid()/secondsOfDay)
		return day
	case !p.Plant.IsSet() || !p.FirstHarvest.IsSet():
		return season.None
	}
	return ready.Add(-p.FirstHarvest.DaysSince(p.Plant))
}

// secondsOfDay turns K s of degree days into K days.
const secondsOfDay = 86400

// hasDegrees tells whether the crop has degree days that hold for how the planting begins: those of the crop table
// count from seed in the row, those of a plan from planting day however it begins.
func (p *Planting) hasDegrees() bool {
	d := &p.Decl.Crop.DegreeDays
	return d.Known() && d.Mid() > 0 && (p.direct() || d.Grade == crops.GradePlan)
}
