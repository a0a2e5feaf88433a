package derive

import (
	"math"
	"sort"

	"haulm/lang/farm"
	"haulm/stdlib/season"
	"haulm/stdlib/water"
)

// givesWeather tells whether the site says enough to need water by.
func givesWeather(site *farm.Site) bool {
	if site == nil {
		return false
	}
	if site.Weather != nil && len(site.Weather.Days) > 0 {
		return true
	}
	c := site.Climate
	return c != nil && (len(c.ReferenceET.Value) == 12 || len(c.TMin.Value) == 12 && len(c.TMax.Value) == 12)
}

// noWeather tells what the plan would have to give for that.
func noWeather(site *farm.Site) string {
	switch {
	case site == nil:
		return "the farm has no site, and so neither climate nor weather"
	case site.Climate == nil:
		return "the site has neither climate nor weather"
	}
	return "the climate gives neither tmin and tmax nor reference_et"
}

// thirst is the weather of the season day by day, from a Monday on.
type thirst struct {
	first   season.Date
	days    []thirstDay
	gaps    []DayGap
	trouble string
	usual   *usual
}

// thirstDay is a day's weather; NaN stands for what is not known.
type thirstDay struct {
	et       float64 // reference evapotranspiration, mm
	rain     float64 // all that falls, mm; 0 when nobody told
	counts   float64 // what of normal rain counts, mm
	wind, rh float64 // at 2 m, m/s; least relative humidity, percent
	method   string
	measured bool // et is of the weather file
	fell     bool // rain is of the weather file
}

// newThirst gives the days from a Monday to the day before another: measured ones up to today.
func newThirst(site *farm.Site, from, to season.Date, today farm.DateArg) *thirst {
	u := newUsual(site)
	t := &thirst{first: from, days: make([]thirstDay, to-from), trouble: u.trouble, usual: u}
	for i := range t.days {
		d := from.Add(i)
		m := int(d.Month()) - 1
		t.days[i] = thirstDay{
			et: u.on(d), rain: u.rain[m], counts: u.counts[m], wind: u.wind[m], rh: u.rh[m], method: u.method[m],
		}
	}
	t.measure(place(site), happened(site, today), to)
	return t
}

// happened is the weather that the site has measured up to today: what a file says of days to come is a forecast at
// best.
func happened(site *farm.Site, today farm.DateArg) season.Weather {
	if site.Weather == nil {
		return nil
	}
	file := site.Weather.Days
	if today.Given {
		file = file[:sort.Search(len(file), func(i int) bool { return file[i].Date > today.Value })]
	}
	return file
}

// measure puts measured days in the place of the usual ones, and finds the gaps between them.
func (t *thirst) measure(at water.Place, file season.Weather, to season.Date) {
	file = file[sort.Search(len(file), func(i int) bool { return file[i].Date >= t.first }):]
	file = file[:sort.Search(len(file), func(i int) bool { return file[i].Date >= to })]
	last := season.None
	for _, w := range file {
		out := &t.days[w.Date-t.first]
		if w.Rain >= 0 {
			out.rain, out.fell = w.Rain, true
		}
		if math.IsNaN(w.TMin) || math.IsNaN(w.TMax) {
			continue
		}
		day := water.Unmeasured(w.TMin, w.TMax)
		day.RHMiddle, day.Wind, day.Sunshine, day.Radiation = w.Humidity, w.Wind, w.Sunshine, w.Radiation
		r, err := water.ReferenceET(at, w.Date.YearDay(), day)
		if err != nil {
			if t.trouble == "" {
				t.trouble = w.Date.String() + ": " + reason(err)
			}
			continue
		}
		out.et, out.wind, out.rh, out.measured = r.ET, r.Wind, r.RHLeast, true
		out.method = r.Method + ", days of the weather file"
		if last.IsSet() && w.Date > last+1 {
			t.gaps = append(t.gaps, DayGap{last + 1, w.Date - 1})
		}
		last = w.Date
	}
}

// weeks sums the days up.
func (t *thirst) weeks() []ClimateWeek {
	out := make([]ClimateWeek, len(t.days)/7)
	for i := range out {
		week, days := &out[i], t.days[7*i:7*i+7]
		for j := range days {
			week.Reference += days[j].et
			week.Rain += days[j].rain
			if days[j].measured {
				week.Measured++
			}
		}
		week.Method = usualMethod(days)
	}
	return out
}

// usualMethod is that of most of the days, the first of several.
func usualMethod(days []thirstDay) string {
	best, most := "", 0
	for i := range days {
		n := 0
		for j := range days {
			if days[i].method == days[j].method {
				n++
			}
		}
		if n > most {
			best, most = days[i].method, n
		}
	}
	return best
}
