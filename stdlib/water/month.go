package water

import (
	"fmt"
	"strings"
	"time"
)

// Year is a year's twelve mean days, January first. A month whose least or greatest temperature is NaN is
// missing.
type Year [12]Day

// Missing is the error of a year that lacks months.
type Missing struct{ Months []time.Month }

// Error names the months.
func (e *Missing) Error() string {
	names := make([]string, len(e.Months))
	for i, m := range e.Months {
		names[i] = m.String()
	}
	return fmt.Sprintf("the climate gives no least and greatest temperature for %s: give them for every month with a planting in it",
		strings.Join(names, ", "))
}

// References gives the reference evapotranspiration of each month's mean day in mm a day, by Penman-Monteith
// or, where a month has temperatures only, by Hargreaves-Samani. A month stands on the day INT(30.4 M - 15)
// (FAO-56 Annex 2). The heat G in MJ/m2 a day that goes into the ground follows the mean temperature T of
// its neighbors in °C: 0.07 (T next - T before) (FAO-56 Eq. 43), or 0.14 (T - T before) where the next month
// is missing (Eq. 44), or none where the month before is missing as well; December stands before January.
//
// The error is *Missing when months are missing; the other months hold then, and theirs is the zero
// Reference. Any other error names the month it comes from.
func (y Year) References(place Place) ([12]Reference, error) {
	var out [12]Reference
	missing := &Missing{}
	for i, day := range y {
		month := time.Month(i + 1)
		if !y.has(i) {
			missing.Months = append(missing.Months, month)
			continue
		}
		var err error
		if out[i], err = reference(place, midMonth(month), day, y.ground(i)); err != nil {
			return out, fmt.Errorf("%s: %w", month, err)
		}
	}
	if len(missing.Months) > 0 {
		return out, missing
	}
	return out, nil
}

func (y Year) has(i int) bool { return known(y[i].Least) && known(y[i].Greatest) }

func (y Year) ground(i int) float64 {
	before, next := (i+11)%12, (i+1)%12
	switch {
	case y.has(before) && y.has(next):
		return 0.07 * (y[next].mean() - y[before].mean())
	case y.has(before):
		return groundHeat(y[i].mean(), y[before].mean())
	}
	return 0
}

// groundHeat is the heat into the ground over a month from the month's mean temperature and that of the
// month before, MJ/m2 a day (FAO-56 Eq. 44).
func groundHeat(mean, before float64) float64 { return 0.14 * (mean - before) }
