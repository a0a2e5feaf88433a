// Package labor is how long work takes and when it can be done. In go the name of a job with its amount, or jobs
// with their hours, windows and order against the hours that a crew has; out come hours and the weeks in which they
// fall. Times are seconds in rates, hours in plans of work.
package labor

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"haulm/stdlib/quantity"
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

// table reads the embedded file once; that it reads is tested, so failing here cannot happen.
var table = sync.OnceValue(func() map[rateKey]*Rate {
	rates, err := readRates(ratesCSV)
	if err != nil {
		panic(err)
	}
	byKey := make(map[rateKey]*Rate, len(rates))
	for i := range rates {
		r := &rates[i]
		byKey[rateKey{r.Job, r.Crop, r.Per}] = r
	}
	return byKey
})

// Find gives the rate of a job for a crop, counted in one of the ways asked for: of the crop itself in any of
// them, in their order, before that of any crop. Nil when the table has none.
func Find(job, crop string, pers ...string) *Rate {
	for _, c := range []string{crop, "any"} {
		for _, per := range pers {
			if r := table()[rateKey{job, c, per}]; r != nil {
				return r
			}
		}
	}
	return nil
}

// readRates reads rows of job,crop,low,high,unit,source,how,note,grade.
func readRates(text string) ([]Rate, error) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	var rates []Rate
	for i, row := range rows[1:] {
		r := Rate{Job: row[0], Crop: row[1], Source: row[5], Note: row[7], Grade: row[8]}
		if r.Source == "" || r.Grade == "" {
			return nil, fmt.Errorf("rates.csv: row %d: no source or no grade", i+2)
		}
		low, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			return nil, fmt.Errorf("rates.csv: row %d: %w", i+2, err)
		}
		high, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			return nil, fmt.Errorf("rates.csv: row %d: %w", i+2, err)
		}
		if !(low > 0 && low <= high) {
			return nil, fmt.Errorf("rates.csv: row %d: %g to %g is no range", i+2, low, high)
		}
		if err := r.set(low, high, row[4]); err != nil {
			return nil, fmt.Errorf("rates.csv: row %d: %w", i+2, err)
		}
		rates = append(rates, r)
	}
	return rates, nil
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
