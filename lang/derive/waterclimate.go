package derive

import (
	"errors"
	"math"
	"time"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
	"haulm/stdlib/water"
)

// usual is what the months' normals tell, January first; NaN where they do not.
type usual struct {
	et       season.Normals // reference evapotranspiration, mm a day
	wind, rh [12]float64    // at 2 m, m/s; least relative humidity, percent
	rain     [12]float64    // all that falls, mm a day; 0 where not told
	counts   [12]float64    // what of it counts
	method   [12]string
	assumed  [12][]string
	trouble  string
}

func newUsual(site *farm.Site) *usual {
	u := &usual{}
	c := site.Climate
	if c == nil {
		c = &farm.Climate{}
	}
	u.reference(site, c)
	for i := range 12 {
		days := daysOf(time.Month(i + 1))
		if rain := month(&c.Rain, i) * 1000; rain > 0 {
			u.rain[i] = rain / days
			counts, err := water.EffectiveRain(water.DependableFAO, water.Month{Rain: rain})
			if err != nil && u.trouble == "" {
				u.trouble = reason(err)
			}
			u.counts[i] = counts / days
		}
		if et := month(&c.ReferenceET, i) * 1000 * 86400; et >= 0 && et <= mostReference {
			u.et[i], u.method[i], u.assumed[i] = et, "reference_et of the climate", nil
		}
	}
	return u
}

// mostReference bounds what is believed of a place in mm a day; deserts in wind have some 15.
const mostReference = 30

// month reads one month of normals, NaN where there is none.
func month(m *farm.Months, i int) float64 {
	if len(m.Value) != 12 || math.IsInf(m.Value[i].SI, 0) {
		return math.NaN()
	}
	return m.Value[i].SI
}

// daysOf a month in a common year.
func daysOf(m time.Month) float64 {
	return float64(season.On(2023, m+1, 1).DaysSince(season.On(2023, m, 1)))
}

func place(site *farm.Site) water.Place {
	p := water.Place{Latitude: math.NaN(), Coast: site.Coast.Value, Arid: site.Arid.Value}
	if site.Latitude.Given {
		p.Latitude = site.Latitude.Value
	}
	if e := site.Elevation; e.Given && e.Value.Dim == quantity.Length {
		p.Elevation = e.Value.SI
	}
	return p
}

// reference fills in what the equations make of the months' weather. A month that they cannot take is left
// out and named.
func (u *usual) reference(site *farm.Site, c *farm.Climate) {
	var year water.Year
	for i := range year {
		day := water.Unmeasured(celsius(month(&c.TMin, i)), celsius(month(&c.TMax, i)))
		day.RHMiddle = month(&c.Humidity, i) * 100
		day.Wind = month(&c.Wind, i)
		day.Sunshine = month(&c.Sunshine, i) / 3600
		year[i] = day
		u.et[i], u.wind[i], u.rh[i] = math.NaN(), math.NaN(), math.NaN()
	}
	for range year {
		refs, err := year.References(place(site))
		var missing *water.Missing
		if err == nil || errors.As(err, &missing) {
			for i, r := range refs {
				if r.Method != "" {
					u.et[i], u.wind[i], u.rh[i], u.assumed[i] = r.ET, r.Wind, r.RHLeast, r.Assumed
					u.method[i] = r.Method + ", months of the climate"
				}
			}
			return
		}
		if u.trouble == "" {
			u.trouble = err.Error()
		}
		for i := range year {
			if known := !math.IsNaN(year[i].Least) && !math.IsNaN(year[i].Greatest); known && refs[i].Method == "" {
				year[i].Least = math.NaN() // the first that was not worked out is the one refused
				break
			}
		}
	}
}

func celsius(kelvin float64) float64 { return quantity.Of(kelvin, quantity.Temperature).Celsius() }

// on gives a day's reference evapotranspiration; the month's own where a neighbor is missing.
func (u *usual) on(d season.Date) float64 {
	if v := u.et.On(d); !math.IsNaN(v) {
		return v
	}
	return u.et[d.Month()-1]
}
