package check_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/diag"
	"haulm/lang/plan"
)

// planText writes a random small farm, one call to a line, with a good chance of faults.
func planText(t *rapid.T) string {
	var b strings.Builder
	pick := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
	whole := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(t, name) }
	maybe := func(text string) string { return pick(text, "", text) }
	b.WriteString(`here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14")` + "\n")
	fmt.Fprintf(&b, "farm(\"Ferry Bank\", year = 2027, site = here, units = %s, access = %d * inch%s)\n",
		pick("units", `"us"`, `"metric"`), whole("access", 0, 40), maybe(", turning = 6 * ft"))
	b.WriteString(`tall = crop("tall", family = "A", spacing = (18 * inch, 24 * inch), row_spacing = 4 * ft, height = 6 * ft, spread = 3 * ft, frost = "tender", days_to_maturity = 70, harvest_window = 20)` + "\n")
	b.WriteString(`low = crop("low", family = "B", spacing = (4 * inch, 12 * inch), row_spacing = (15 * inch, 2 * ft), height = 1 * ft, frost = "half-hardy", days_to_maturity = 40, tray_time = 4 * weeks, harvest_window = 14)` + "\n")
	fmt.Fprintf(&b, "p = plot(\"Lower bench\", length = %d * ft, width = %d * ft, headland = %d * ft)\n",
		whole("plot length", 20, 60), whole("plot width", 8, 40), whole("headland", 0, 9))
	for i := range whole("rows", 1, 5) {
		fmt.Fprintf(&b, "r%d = row(p, at = %d * inch%s%s)\n", i, whole("at", 0, 300),
			pick("bed", "", "", ", bed_width = 3 * ft", ", lines = 3, line_spacing = 15 * inch", ", lines = 2, line_spacing = 1 * ft, staggered = True"),
			pick("row length", "", "", ", length = 40 * ft", ", start = 1 * ft"))
		for range whole("plantings", 0, 3) {
			fmt.Fprintf(&b, "plant(r%d, %s, %s%s%s%s%s%s)\n", i, pick("crop", "tall", "low"),
				pick("amount", "fill = True", "count = 5", "count = 30", "length = 12 * ft", "length = 50 * ft"),
				maybe(", spacing = 10 * inch"), maybe(", start = 8 * ft"),
				pick("on", "", `, on = "2027-04-01"`, `, on = "2027-05-10"`, `, on = "2027-09-20"`),
				maybe(`, until = "2027-09-30"`), maybe(`, sown_on = "2027-05-20"`))
		}
	}
	return b.String()
}

func findings(text string) []diag.Diagnostic {
	return plan.Check(context.Background(), fstest.MapFS{entry: {Data: []byte(text)}}, entry).Findings
}

// identity names a finding by its code and the lines it points at; no fix adds a line.
func identity(d *diag.Diagnostic) string {
	text := fmt.Sprintf("%s %d", d.Code(), d.Primary.Span.Start.Line)
	if d.Code() == "row-outside-plot" { // a row may lie outside both ways
		text += " " + d.Primary.Text
	}
	for _, r := range d.Related {
		text += fmt.Sprintf(" %d", r.Span.Start.Line)
	}
	return text
}

// TestFixesMend holds that each fix, put into the text alone, takes its finding away and leaves a plan
// that still evaluates.
func TestFixesMend(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := planText(t)
		before := findings(text)
		for i := range before {
			d := &before[i]
			require.False(t, d.Rule.Severity == diag.Error && evaluation[d.Code()], "the plan is wrong: %s", d.Message)
			for _, fix := range d.Fixes {
				texts, err := diag.Apply(fix)
				require.NoError(t, err)
				for _, after := range texts {
					left := findings(after)
					for j := range left {
						require.NotEqual(t, identity(d), identity(&left[j]), "%q is still found after %q:\n%s\n%s", d.Message, fix.Title, left[j].Message, after)
						require.False(t, evaluation[left[j].Code()], "%q breaks the plan: %s\n%s", fix.Title, left[j].Message, after)
					}
				}
			}
		}
	})
}

// evaluation has the codes of findings about the text itself.
var evaluation = map[string]bool{
	"syntax": true, "bare-number": true, "wrong-dimension": true, "wrong-type": true, "out-of-range": true, "bad-date": true,
	"unknown-argument": true, "missing-argument": true, "duplicate-argument": true, "unknown-name": true, "cannot-evaluate": true,
}
