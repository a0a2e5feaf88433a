package syntax

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"haulm/stdlib/season"
)

// Written is a date as people write it.
type Written struct {
	Year  int // 0 when it is left out
	Month time.Month
	Day   int
	Sure  bool // day and month cannot be taken for each other, and the century is there
}

// ISO gives the date as plans write it, "2027-05-24", taking the given year where it has none; "" if the
// calendar has no such day, or the year is 0.
func (w Written) ISO(year int) string {
	if w.Year != 0 {
		year = w.Year
	}
	text := fmt.Sprintf("%04d-%02d-%02d", year, w.Month, w.Day)
	if _, err := season.Parse(text); err != nil || year == 0 {
		return ""
	}
	return text
}

var (
	yearFirst  = regexp.MustCompile(`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$`)
	together   = regexp.MustCompile(`^((?:19|2[01])\d\d)(\d\d)(\d\d)$`)
	yearLast   = regexp.MustCompile(`^(\d{1,2})[-/.](\d{1,2})(?:[-/.](\d{4}|\d\d))?$`)
	monthFirst = regexp.MustCompile(`^([A-Za-z]{3,9})\.? *(\d{1,2})(?:st|nd|rd|th)?(?:,? *(\d{4}))?$`)
	dayFirst   = regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th|\.)? *([A-Za-z]{3,9})\.?(?:,? *(\d{4}))?$`)
)

// ReadDate reads a date in one of the forms that people write beside year-month-day: "4/24/2027",
// "2027-4-24", "20270424", "24.4.2027", "April 24", "24 Apr 2027". Between points the day comes first;
// dayBefore tells which does elsewhere, when both could be the month.
func ReadDate(text string, dayBefore bool) (Written, bool) {
	text = strings.TrimSpace(text)
	n := func(s string) int { v, _ := strconv.Atoi(s); return v }
	if m := yearFirst.FindStringSubmatch(text); m != nil {
		return dated(n(m[1]), n(m[2]), n(m[3]), true)
	}
	if m := together.FindStringSubmatch(text); m != nil {
		return dated(n(m[1]), n(m[2]), n(m[3]), true)
	}
	if m := yearLast.FindStringSubmatch(text); m != nil {
		month, day, year := n(m[1]), n(m[2]), n(m[3])
		points := strings.Count(text, ".") == 2
		sure := len(m[3]) != 2 && (month > 12 || day > 12 || month == day || points)
		if month > 12 || day <= 12 && (dayBefore || points) {
			month, day = day, month
		}
		if len(m[3]) == 2 {
			year += 2000
		}
		return dated(year, month, day, sure)
	}
	if m := monthFirst.FindStringSubmatch(text); m != nil {
		if month, err := season.ParseMonth(m[1]); err == nil {
			return dated(n(m[3]), int(month), n(m[2]), true)
		}
	}
	if m := dayFirst.FindStringSubmatch(text); m != nil {
		if month, err := season.ParseMonth(m[2]); err == nil {
			return dated(n(m[3]), int(month), n(m[1]), true)
		}
	}
	return Written{}, false
}

func dated(year, month, day int, sure bool) (Written, bool) {
	return Written{year, time.Month(month), day, sure}, 1 <= month && month <= 12 && 1 <= day && day <= 31
}

// date reads a date without its quotes: 2027-05-24, 05/24, May 24.
func (p *paper) date(i int) (reading, bool) {
	last, ok := p.dateInNumbers(i)
	if !ok {
		last, ok = p.dateInWords(i)
	}
	if !ok || !p.ends(last+1) && p.kindAt(last+1) != sign {
		return reading{}, false
	}
	year, metric := p.farmSays()
	w, ok := ReadDate(p.between(i, last), metric)
	if !ok {
		return reading{}, false
	}
	r := reading{first: i, last: last, safe: w.Sure && w.Year != 0, message: "a date stands in quotes, its year first"}
	if iso := w.ISO(year); iso != "" {
		r.text = `"` + iso + `"`
		r.message += ": " + r.text
	}
	return r, true
}

// dateInNumbers finds the last token of three numbers, or two around a slash, of which Starlark refuses one.
func (p *paper) dateInNumbers(i int) (last int, ok bool) {
	s := p.textAt(i + 1)
	if !p.isWhole(i) || s != "-" && s != "/" || p.touches(i) && p.kindAt(i-1) == number {
		return 0, false
	}
	refused := p.textAt(i)[0] == '0'
	for last = i; p.textAt(last+1) == s && p.touches(last+1) && p.isWhole(last+2) && p.touches(last+2); {
		last += 2
		refused = refused || p.textAt(last)[0] == '0'
	}
	parts := (last - i) / 2
	return last, refused && (parts == 2 || parts == 1 && s == "/")
}

// dateInWords finds the last token of a month and a day, with or without a year.
func (p *paper) dateInWords(i int) (last int, ok bool) {
	isMonth := func(i int) bool {
		_, err := season.ParseMonth(p.textAt(i))
		return p.kindAt(i) == word && err == nil
	}
	if !(isMonth(i) && p.isWhole(i+1) || p.isWhole(i) && isMonth(i+1)) || !p.goesOn(i+1) {
		return 0, false
	}
	last = i + 1
	for _, next := range [...]int{last + 2, last + 1} {
		comma := next == last+1 || p.textAt(next-1) == ","
		if comma && p.isWhole(next) && p.goesOn(next) && len(p.textAt(next)) == 4 {
			return next, true
		}
	}
	return last, true
}

// farmSays gives the year and whether the units are metric, as the file's own farm(...) says them.
func (r *reader) farmSays() (year int, metric bool) {
	if r.farm == nil {
		r.farm = &farmWords{}
		for i := range r.tokens {
			if !r.is(i, "farm") || !r.is(i+1, "(") {
				continue
			}
			for j := i + 2; j+2 < len(r.tokens) && !r.tokens[j].startsOver(r.text); j++ {
				if r.is(j, "year") && r.is(j+1, "=") && len(r.textOf(j+2)) == 4 {
					r.farm.year, _ = strconv.Atoi(r.textOf(j + 2))
				}
				if r.is(j, "units") && r.is(j+1, "=") {
					r.farm.metric = strings.Trim(r.textOf(j+2), `"'`) == "metric"
				}
			}
			break
		}
	}
	return r.farm.year, r.farm.metric
}

// farmWords is what a file's farm(...) says, by its tokens.
type farmWords struct {
	year   int
	metric bool
}

// startsOver tells whether a token begins a line at the margin.
func (t token) startsOver(text string) bool {
	return t.first && lineStart(text, int(t.start)) == int(t.start)
}
