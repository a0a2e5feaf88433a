//go:build e2e

package report_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// readCalendar reads the file named first with a library that nobody here wrote, and prints what it says.
const readCalendar = `
import json, sys
from icalendar import Calendar
cal = Calendar.from_ical(open(sys.argv[1], "rb").read())
print(json.dumps([
    {"uid": str(e["UID"]), "stamp": e["DTSTAMP"].dt.isoformat(), "start": e["DTSTART"].dt.isoformat(), "end": e["DTEND"].dt.isoformat(),
     "summary": str(e["SUMMARY"]), "location": str(e.get("LOCATION", "")), "note": str(e.get("DESCRIPTION", ""))}
    for e in cal.walk("VEVENT")]))
`

// Debian's python3-icalendar reads every event as it was written.
func TestCalendarReadByPython(t *testing.T) {
	facts := inSeason(t)
	file := filepath.Join(t.TempDir(), "calendar.ics")
	require.NoError(t, os.WriteFile(file, []byte(icsOf(t, facts)), 0o600))
	out, err := exec.Command("/usr/bin/python3", "-c", readCalendar, file).Output()
	require.NoError(t, err)
	var events []struct{ UID, Stamp, Start, End, Summary, Location, Note string }
	require.NoError(t, json.Unmarshal(out, &events))
	occasions := facts.Calendar()
	require.Len(t, events, len(occasions))
	for i, e := range events {
		o := occasions[i]
		require.NotEmpty(t, e.UID)
		require.Equal(t, "2027-01-01T00:00:00+00:00", e.Stamp)
		require.Equal(t, o.On.String(), e.Start)
		last := o.On
		if o.Until > o.On {
			last = o.Until
		}
		require.Equal(t, last.Add(1).String(), e.End)
		require.Contains(t, strings.ToLower(e.Summary), strings.ToLower(o.Do))
		require.Contains(t, e.Summary, o.What)
		require.Equal(t, o.Note, e.Note)
	}
}
