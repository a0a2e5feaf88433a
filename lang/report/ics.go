package report

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"haulm/lang/derive"
	"haulm/stdlib/season"
)

// CalendarICS writes the dated events as RFC 5545 has it: whole days, texts escaped, lines folded. An event keeps its
// UID as long as the same is done to the same at the same places, also when its day moves, so that a calendar which
// reads the file again moves it instead of adding another. DTSTAMP is the first of January of the plan's year: the
// same plan gives the same bytes.
func CalendarICS(facts *derive.Facts, w io.Writer) error {
	cal := ics.NewCalendar()
	cal.SetProductId("-//Haulm//Season plan//EN")
	cal.SetCalscale("GREGORIAN")
	farm := facts.Farm
	name := printable(farm.Name.Value)
	if farm.Year.Value != 0 {
		name = strings.TrimSpace(name + " " + strconv.Itoa(farm.Year.Value))
	}
	cal.SetXWRCalName(name)
	stamp := time.Date(max(farm.Year.Value, 1), time.January, 1, 0, 0, 0, 0, time.UTC)
	seen := map[string]int{}
	for _, o := range facts.Calendar() {
		where := Places(o.Places)
		same := strings.Join([]string{farm.Name.Value, strconv.Itoa(farm.Year.Value), o.Do, o.What, where}, "\x00")
		seen[same]++
		e := cal.AddEvent(uid(same, seen[same]))
		e.SetDtStampTime(stamp)
		last := o.On
		if o.Until > o.On {
			last = o.Until
		}
		e.SetProperty(ics.ComponentPropertyDtStart, basic(o.On), ics.WithValue("DATE"))
		e.SetProperty(ics.ComponentPropertyDtEnd, basic(last.Add(1)), ics.WithValue("DATE")) // the first day after it
		e.SetSummary(printable(capital(summary(o))))
		if where != "" {
			e.SetLocation(where)
		}
		if o.Note != "" {
			e.SetDescription(printable(o.Note))
		}
		e.SetProperty(ics.ComponentPropertyTransp, "TRANSPARENT") // the day stays free for other things
	}
	return cal.SerializeTo(w, ics.WithNewLine("\r\n"))
}

// uid names an event by what is done, to what and where, and the n-th of those alike.
func uid(same string, n int) string {
	sum := sha256.Sum256([]byte(same + "\x00" + strconv.Itoa(n)))
	return hex.EncodeToString(sum[:16]) + "@haulm"
}

// basic is a date as iCalendar writes it: 20270424.
func basic(d season.Date) string {
	return fmt.Sprintf("%04d%02d%02d", d.Year(), int(d.Month()), d.Day())
}

// summary says what is done to what, and how many: "set out bell pepper, 34 plants".
func summary(o *derive.Occasion) string {
	text := o.Do
	if o.What != "" {
		text += ": " + o.What
	}
	if n := o.Counted(); n != "" {
		text += ", " + n
	}
	return text
}

func capital(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}
