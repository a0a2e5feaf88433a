// Package labor is how long work takes and when it can be done. In go the name of a job with its amount, or jobs
// with their hours, windows and order against the hours that a crew has; out come hours and the weeks in which they
// fall. Times are seconds in rates, hours in plans of work.
package labor

import (
	_ "embed"
	"fmt"
	"strings"
	"sync"

	"haulm/stdlib/quantity"
	"haulm/stdlib/table"
)

// Rate is the time that a job takes for one of what it counts.
type Rate struct {
	Job       string  // "weeding"
	Crop      string  // "any", or the one crop that it is for
	Per       string  // what is counted: "m" of row, "m2", "plant", "kg", or a unit of sale such as "bunch"
	Low, High float64 // s for each
	Note      string
	Source    string
	Grade     string // "A" to "C" as in the crop table; "M" from memory, not checked
}

// Mid is the middle of the range, s for each.
func (r *Rate) Mid() float64 { return (r.Low + r.High) / 2 }

//go:embed rates.csv
var ratesCSV string

type rateKey struct{ job, crop, per string }

// rates reads the embedded table once.
var rates = sync.OnceValue(func() map[rateKey]*Rate {
	byKey := map[rateKey]*Rate{}
	for _, r := range readRates(ratesCSV) {
		byKey[rateKey{r.Job, r.Crop, r.Per}] = r
	}
	return byKey
})

// Find gives the rate of a job for a crop, counted in one of the ways asked for: of the crop itself in any of
// them, in their order, before that of any crop. Nil when the table has none.
func Find(job, crop string, pers ...string) *Rate {
	for _, c := range []string{crop, "any"} {
		for _, per := range pers {
			if r := rates()[rateKey{job, c, per}]; r != nil {
				return r
			}
		}
	}
	return nil
}

// readRates reads rates, each with a source and a grade.
func readRates(text string) []*Rate {
	var rates []*Rate
	for _, row := range table.Read("rates.csv", text) {
		r := &Rate{
			Job: row.Text("job"), Crop: row.Text("crop"), Source: row.Text("source"), Note: row.Text("note"), Grade: row.Text("grade"),
		}
		low, high := row.Number("low", 0), row.Number("high", 0)
		if r.Source == "" || r.Grade == "" {
			panic(row.Fault("no source or no grade"))
		}
		if !(low > 0 && low <= high) {
			panic(row.Fault("%g to %g is no range", low, high))
		}
		if err := r.set(low, high, row.Text("unit")); err != nil {
			panic(row.Fault("%v", err))
		}
		rates = append(rates, r)
	}
	return rates
}

// set brings a range in the unit of the table to seconds; work done in an hour gives the longest time for the least.
func (r *Rate) set(low, high float64, unit string) error {
	foot, acre, pound := named("ft"), named("acre"), named("lb")
	switch unit {
	case "min/100 ft":
		r.Per, r.Low, r.High = "m", low*60/(100*foot), high*60/(100*foot)
	case "h/ac":
		r.Per, r.Low, r.High = "m2", low*3600/acre, high*3600/acre
	case "min/plant":
		r.Per, r.Low, r.High = "plant", low*60, high*60
	case "lb/h":
		r.Per, r.Low, r.High = "kg", 3600/(high*pound), 3600/(low*pound)
	default:
		piece, ok := strings.CutSuffix(unit, "/h")
		if one, several := strings.CutSuffix(piece, "s"); several {
			piece = one
		}
		if !ok {
			return fmt.Errorf("no rate is counted in %q", unit)
		}
		r.Per, r.Low, r.High = piece, 3600/high, 3600/low
	}
	return nil
}

func named(unit string) float64 {
	u, _ := quantity.UnitNamed(unit)
	return u.SI
}
