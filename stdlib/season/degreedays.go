package season

import (
	"fmt"
	"math"
	"sort"
)

// DegreeMethod is a way to turn a day's lowest and highest temperature into degree days. Sources mean different
// ones by the same name, so a figure holds only with its method, base and upper temperature.
type DegreeMethod uint8

const (
	// SimpleDegrees takes the mean of low and high less the base, and nothing on days below it.
	SimpleDegrees DegreeMethod = iota
	// FlooredDegrees lifts a low or a high below the base to the base before it takes the mean.
	FlooredDegrees
	// CappedDegrees does as FlooredDegrees and lowers what is above the upper temperature to it; with 50 °F and
	// 86 °F it is the 86/50 method of corn.
	CappedDegrees
	// PenalizedDegrees does as CappedDegrees, but a high above the upper temperature counts as far below it as it
	// is above: the crop loses by great heat.
	PenalizedDegrees
)

var degreeMethods = [...]string{"simple", "floored", "capped", "heat penalty"}

func (m DegreeMethod) String() string { return degreeMethods[m] }

// DegreeDays is a scale on which the warmth of days is summed, temperatures in °C. Upper counts only for
// CappedDegrees and PenalizedDegrees.
type DegreeDays struct {
	Method      DegreeMethod
	Base, Upper float64
}

// highestBase is 65 °F, the highest base that any crop of the sources has (pepper, Peet 1996). A public page that
// prints 23.4 and 32.4 °C as bases is in error.
const highestBase = 65.0/1.8 - 32/1.8

// Valid gives an error that says what is wrong with a scale whose base no crop has, or whose upper temperature is
// not above the base.
func (s DegreeDays) Valid() error {
	switch {
	case !(s.Base <= highestBase+1e-9):
		return fmt.Errorf("a base of %.4g °C is above that of any crop, %.1f °C (65 °F); is it written in °F?", s.Base, highestBase)
	case s.Method >= CappedDegrees && !(s.Upper > s.Base):
		return fmt.Errorf("the upper temperature, %.4g °C, is not above the base, %.4g °C", s.Upper, s.Base)
	}
	return nil
}

// Of gives the degree days of one day in °C·days (times 1.8 for °F·days), from its lowest and highest temperature
// in °C; NaN when either is not known. Never below 0.
//
// Formula: max(0, (high + low)/2 − base), after low and high are brought within bounds as the method says. Sources:
// the methods of Table 3 in Heliyon 6 (2020) e05114; University of Maryland for 86/50.
func (s DegreeDays) Of(low, high float64) float64 {
	if s.Method >= CappedDegrees {
		if s.Method == PenalizedDegrees && high > s.Upper {
			high = s.Upper - (high - s.Upper)
		}
		low, high = math.Min(low, s.Upper), math.Min(high, s.Upper)
	}
	if s.Method >= FlooredDegrees {
		low, high = math.Max(low, s.Base), math.Max(high, s.Base)
	}
	return math.Max(0, (low+high)/2-s.Base)
}

// Temperatures gives the lowest and the highest temperature of a day, °C; NaN when not known.
type Temperatures func(Date) (low, high float64)

// Temperatures gives those that were measured.
func (w Weather) Temperatures() Temperatures {
	byDay := make(map[Date]*WeatherDay, len(w))
	for i := range w {
		byDay[w[i].Date] = &w[i]
	}
	return func(d Date) (low, high float64) {
		if day := byDay[d]; day != nil {
			return day.TMin, day.TMax
		}
		return math.NaN(), math.NaN()
	}
}

// NormalTemperatures gives those to expect by monthly means of the daily low and high. Degree days of means are
// fewer than the mean of degree days near the base, where single warm days count and cold ones take nothing away. Beside
// a month that is not known, every day of a month has the month's own.
func NormalTemperatures(low, high *Normals) Temperatures {
	return func(d Date) (float64, float64) {
		if l, h := low.On(d), high.On(d); !math.IsNaN(l) && !math.IsNaN(h) || !d.IsSet() {
			return l, h
		}
		m := d.Month() - 1
		return low[m], high[m]
	}
}

// Warmth is the degree days of a stretch of days summed up once, so that any number of plantings can be dated by them.
type Warmth struct {
	first Date
	sums  []float64 // before each day, and after the last; days that are not known add nothing
	blank []int     // how many of the days before are not known
}

// Over sums the days from one up to and without another.
func (s DegreeDays) Over(t Temperatures, from, to Date) *Warmth {
	n := max(0, to.DaysSince(from))
	w := &Warmth{first: from, sums: make([]float64, n+1), blank: make([]int, n+1)}
	for i := range n {
		w.sums[i+1], w.blank[i+1] = w.sums[i], w.blank[i]
		if of := s.Of(t(from.Add(i))); math.IsNaN(of) {
			w.blank[i+1]++
		} else {
			w.sums[i+1] += of
		}
	}
	return w
}

// Sum gives the degree days of the days from one up to and without another, and how many of these days count nothing
// because their temperatures are not known, as those outside the stretch are not.
func (w *Warmth) Sum(from, to Date) (sum float64, unknown int) {
	if to <= from {
		return 0, 0
	}
	last := w.first.Add(len(w.sums) - 1)
	a, b := min(max(from, w.first), last), max(min(to, last), w.first)
	outside := to.DaysSince(from) - max(0, b.DaysSince(a))
	if b <= a {
		return 0, outside
	}
	i, k := a.DaysSince(w.first), b.DaysSince(w.first)
	return w.sums[k] - w.sums[i], w.blank[k] - w.blank[i] + outside
}

// Latest gives the last day from which on the degree days come to what is needed by the end of another; false when there
// is none or when a day on the way is not known.
func (w *Warmth) Latest(by Date, need float64) (Date, bool) {
	const hair = 1e-9
	end := by.DaysSince(w.first) + 1
	if !by.IsSet() || end < 1 || end >= len(w.sums) {
		return None, false
	}
	i := sort.Search(end+1, func(i int) bool { return w.sums[end]-w.sums[i] < need-hair }) - 1
	if i < 0 || w.blank[end] > w.blank[i] {
		return None, false
	}
	return w.first.Add(i), true
}

// Reach gives the day by whose end the degree days from a day on, that day counted, come to what is needed. It is
// false when a day on the way is not known or when the stretch does not bring so many.
func (w *Warmth) Reach(from Date, need float64) (Date, bool) {
	const hair = 1e-9
	i := from.DaysSince(w.first)
	if !from.IsSet() || i < 0 || i+1 >= len(w.sums) {
		return None, false
	}
	after := w.sums[i+1:]
	k := sort.SearchFloat64s(after, w.sums[i]+need-hair)
	if k == len(after) || w.blank[i+1+k] > w.blank[i] {
		return None, false
	}
	return from.Add(k), true
}
