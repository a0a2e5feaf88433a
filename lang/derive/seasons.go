package derive

import (
	"math"

	"haulm/lang/farm"
	"haulm/stdlib/season"
)

// winterDays is how long before a last frost, or after a first one, the middle of the winter is taken
// to lie when the site gives only one of the two. From then on a planting belongs to the new season.
const winterDays = 120

// Seasons gives the frosts of any growing season: the site's own, moved by whole years.
type Seasons struct {
	last, first season.Date // None when the site does not say
	near        [2*nearYears + 1]Season
}

// nearYears to each side of the site's own are worked out once: most days of a plan belong to them.
const nearYears = 3

// Season is one growing season. It begins in the middle of the winter before; a frost that the site does
// not tell of is None.
type Season struct{ Begin, LastFrost, FirstFrost season.Date }

// newSeasons reads a site, which may be nil.
func newSeasons(s *farm.Site) *Seasons {
	w := &Seasons{last: season.None, first: season.None}
	if s != nil && s.LastFrost.Given {
		w.last = s.LastFrost.Value
	}
	if s != nil && s.FirstFrost.Given {
		w.first = s.FirstFrost.Value
	}
	// The first frost is the one that follows the last, whichever year it was written with.
	for w.last.IsSet() && w.first.IsSet() && w.first < w.last {
		w.first = moved(w.first, 1)
	}
	for w.last.IsSet() && w.first.IsSet() && w.first > moved(w.last, 1) {
		w.first = moved(w.first, -1)
	}
	if w.Known() {
		for i := range w.near {
			w.near[i] = w.workOut(i - nearYears)
		}
	}
	return w
}

// Known tells whether the site says when any frost falls.
func (w *Seasons) Known() bool { return w.last.IsSet() || w.first.IsSet() }

// moved gives the same day so many years later.
func moved(d season.Date, years int) season.Date {
	if !d.IsSet() || years == 0 {
		return d
	}
	return season.On(d.Year()+years, d.Month(), d.Day())
}

// year gives the season so many years after the site's own.
func (w *Seasons) year(k int) Season {
	if k >= -nearYears && k <= nearYears {
		return w.near[k+nearYears]
	}
	return w.workOut(k)
}

func (w *Seasons) workOut(k int) Season {
	f := Season{LastFrost: moved(w.last, k), FirstFrost: moved(w.first, k)}
	before := moved(w.first, k-1)
	switch {
	case f.LastFrost.IsSet() && before.IsSet():
		f.Begin = before + (f.LastFrost-before)/2
	case f.LastFrost.IsSet():
		f.Begin = f.LastFrost - winterDays
	default:
		f.Begin = before + winterDays
	}
	return f
}

// Of gives the season that a day belongs to. Some frost must be known.
func (w *Seasons) Of(d season.Date) Season {
	base := w.last
	if !base.IsSet() {
		base = w.first
	}
	k := int(math.Floor(float64(d.DaysSince(base)) / 365.2425))
	for w.year(k+1).Begin <= d {
		k++
	}
	for w.year(k).Begin > d {
		k--
	}
	return w.year(k)
}
