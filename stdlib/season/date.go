// Package season is the farm's calendar: civil dates without clock or time zone, monthly normals and
// series of daily weather. In go ISO dates, names of months, twelve values of a year and weather files;
// out come dates, days between them and the value to expect, or measured, on a day.
package season

import (
	"fmt"
	"time"
)

// Date is a day of the proleptic Gregorian calendar, counted from 1970-01-01; it knows no time zone.
type Date int32

// None is the date that was not given. It prints as nothing and stays None however many days are added;
// its year, month and day mean nothing.
const None Date = -1 << 31

// On gives the date of a year, month and day; days past a month's end run into the next month.
func On(year int, month time.Month, day int) Date {
	return Date(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// Parse reads ISO 8601 "2027-04-24" and nothing else. The error says what is wrong with the text, or which
// day its month does not have.
func Parse(text string) (Date, error) {
	year, month, day, ok := fields(text)
	switch {
	case !ok:
		return None, fmt.Errorf("%q is not a date: write year-month-day, such as \"2027-04-24\"", text)
	case month < time.January || month > time.December:
		return None, fmt.Errorf("%q is not a date: a year has months 01 to 12", text)
	}
	if last := On(year, month+1, 0).Day(); day < 1 || day > last {
		return None, fmt.Errorf("%q is not a date: %s %d has days 01 to %d", text, month, year, last)
	}
	return On(year, month, day), nil
}

// fields cuts "2027-04-24" into its three numbers.
func fields(text string) (year int, month time.Month, day int, ok bool) {
	if len(text) != len(time.DateOnly) || text[4] != '-' || text[7] != '-' {
		return 0, 0, 0, false
	}
	var numbers [3]int
	for i, part := range []string{text[:4], text[5:7], text[8:]} {
		for _, c := range []byte(part) {
			if c < '0' || c > '9' {
				return 0, 0, 0, false
			}
			numbers[i] = numbers[i]*10 + int(c-'0')
		}
	}
	return numbers[0], time.Month(numbers[1]), numbers[2], true
}

func (d Date) time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// IsSet tells whether the date was given.
func (d Date) IsSet() bool { return d != None }

// Year of the date.
func (d Date) Year() int { return d.time().Year() }

// Month of the date.
func (d Date) Month() time.Month { return d.time().Month() }

// Day of the month.
func (d Date) Day() int { return d.time().Day() }

// YearDay is 1 on the first of January.
func (d Date) YearDay() int { return d.time().YearDay() }

// Weekday of the date.
func (d Date) Weekday() time.Weekday { return d.time().Weekday() }

// Monday gives the Monday of the date's week; None stays None.
func (d Date) Monday() Date { return d.Add(-((int(d.Weekday()) + 6) % 7)) }

// Add gives the date so many days later; None stays None.
func (d Date) Add(days int) Date {
	if !d.IsSet() {
		return None
	}
	return d + Date(days)
}

// DaysSince gives the days from e to d.
func (d Date) DaysSince(e Date) int { return int(d - e) }

// String gives ISO 8601.
func (d Date) String() string {
	if !d.IsSet() {
		return ""
	}
	return d.time().Format(time.DateOnly)
}

// Long gives "Sat Apr 24", with the year when it is not the one expected.
func (d Date) Long(year int) string {
	if !d.IsSet() {
		return ""
	}
	if d.Year() == year {
		return d.time().Format("Mon Jan 2")
	}
	return d.time().Format("Mon Jan 2, 2006")
}
