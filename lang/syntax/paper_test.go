package syntax_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

const (
	quotedDate  = "a date stands in quotes, its year first"
	quotedNames = "texts and the names of things stand in quotes: "
	plainNumber = "degrees are plain numbers; south and west are negative"
)

// papers are statements written as on paper.
var papers = []breakage{
	{"feet in full without times", "x = row(bench, at = ⟦4 feet⟧)\n", "a * is missing between 4 and feet", 0, []string{"x"}, "x = row(bench, at = 4 * ft)\n"},
	{"unit of two words", "x = ⟦40 sq ft⟧\n", "a * is missing between 40 and sq ft", 0, []string{"x"}, "x = 40 * sqft\n"},
	{"in", "x = row(bench, at = ⟦24 in⟧)\n", "inches are written inch: 24 * inch", 0, []string{"x"}, "x = row(bench, at = 24 * inch)\n"},
	{"in, joined", "x = row(bench, at = ⟦24in⟧, start = 6in)\n", "inches are written inch: 24 * inch", 0, []string{"x"}, "x = row(bench, at = 24 * inch, start = 6 * inch)\n"},
	{"times in", "x = row(bench, at = ⟦24 * in⟧)\n", "inches are written inch: 24 * inch", 0, []string{"x"}, "x = row(bench, at = 24 * inch)\n"},
	{"in at the end", "x = ⟦24 in⟧\n", "inches are written inch: 24 * inch", 0, []string{"x"}, "x = 24 * inch\n"},
	{"in within a sum", "x = y + ⟦24 in⟧\n", "inches are written inch: 24 * inch", 0, []string{"x"}, "x = y + 24 * inch\n"},
	{"inch mark", "x = row(bench, at = ⟦24\"⟧)\n", "inches are written inch: 24 * inch", 0, []string{"x"}, "x = row(bench, at = 24 * inch)\n"},
	{"two inch marks", "x = row(bench, at = ⟦24\"⟧, start = 6\")\n", "inches are written inch: 24 * inch", 0, []string{"x"}, "x = row(bench, at = 24 * inch, start = 6 * inch)\n"},
	{"foot mark", "x = row(bench, at = ⟦4'⟧, name = \"head\")\n", "feet are written ft: 4 * ft", 0, []string{"x"}, "x = row(bench, at = 4 * ft, name = \"head\")\n"},
	{"feet and inches by marks", "x = row(bench, at = ⟦4'6\"⟧)\n", "feet are written ft and inches inch: 4 * ft + 6 * inch", 0, []string{"x"}, "x = row(bench, at = 4 * ft + 6 * inch)\n"},
	{"feet and inches by marks, with a dash", "x = ⟦4'-6\"⟧\n", "feet are written ft and inches inch: 4 * ft + 6 * inch", 0, []string{"x"}, "x = 4 * ft + 6 * inch\n"},
	{"feet and inches by marks in a product", "x = 2 * ⟦4' 6\"⟧\n", "feet are written ft and inches inch: 4 * ft + 6 * inch", 0, []string{"x"}, "x = 2 * (4 * ft + 6 * inch)\n"},
	{"inch mark on a line of its own", "x = row(bench,\n    at = ⟦24\"⟧,\n    start = 3)\n", "inches are written inch: 24 * inch", 0, []string{"x"}, "x = row(bench,\n    at = 24 * inch,\n    start = 3)\n"},
	{"feet and inches by words", "x = ⟦4 ft 6 in⟧\n", "a measure of several parts is a sum: 4 * ft + 6 * inch", 0, []string{"x"}, "x = 4 * ft + 6 * inch\n"},
	{"missing plus", "x = row(bench, at = ⟦4 * ft 6 * inch⟧)\n", "a + is missing between 4 * ft and 6 * inch", 0, []string{"x"}, "x = row(bench, at = 4 * ft + 6 * inch)\n"},
	{"missing comma between lengths", "x = [4 * ft ⟦6⟧ * ft]\n", "a comma is missing before `6`", 0, []string{"x"}, "x = [4 * ft, 6 * ft]\n"},
	{"mixed fraction", "x = row(bench, at = ⟦4 1/2 * ft⟧)\n", "a fraction is written with a decimal point: 4.5 * ft", 0, []string{"x"}, "x = row(bench, at = 4.5 * ft)\n"},
	{"mixed fraction of a mark", "x = ⟦4 3/8\"⟧\n", "a fraction is written with a decimal point: 4.375 * inch", 0, []string{"x"}, "x = 4.375 * inch\n"},
	{"mixed fraction without end", "x = ⟦4 1/3 ft⟧\n", "a fraction is written with a decimal point: (4 + 1/3) * ft", 0, []string{"x"}, "x = (4 + 1/3) * ft\n"},
	{"mixed fraction without unit", "x = row(bench, count = ⟦4 1/2⟧)\n", "a fraction is written with a decimal point: 4.5", 0, []string{"x"}, "x = row(bench, count = 4.5)\n"},
	{"fraction of one character", "x = ⟦4½ ft⟧\n", "a fraction is written with a decimal point: 4.5 * ft", 0, []string{"x"}, "x = 4.5 * ft\n"},
	{"x for times", "x = row(bench, at = ⟦24 x inch⟧)\n", "plans write * for times, not x", 0, []string{"x"}, "x = row(bench, at = 24 * inch)\n"},
	{"x between measures", "x = row(bench, at = ⟦24 x 36⟧ * inch)\n", "plans write * for times, not x; two measures are two arguments", 0, []string{"x"}, ""},
	{"percent sign", "x = plot(\"A\", slope = ⟦3%⟧)\n", "% is written percent: 3 * percent", 0, []string{"x"}, "x = plot(\"A\", slope = 3 * percent)\n"},
	{"thousands comma", "x = row(bench, at = ⟦1,050⟧ * ft)\n", "a number has no comma between its thousands: 1050", 0, []string{"x"}, "x = row(bench, at = 1050 * ft)\n"},
	{"latitude north", "x = site(latitude = ⟦42.6 N⟧, longitude = 72.1 W)\n", plainNumber, 0, []string{"x"}, "x = site(latitude = 42.6, longitude = -72.1)\n"},
	{"latitude with a degree sign", "x = site(latitude = ⟦42.6°⟧)\n", plainNumber, 0, []string{"x"}, "x = site(latitude = 42.6)\n"},
	{"degrees Fahrenheit", "x = ⟦28°F⟧\n", "a temperature is written degf(28)", 0, []string{"x"}, "x = degf(28)\n"},
	{"date", "x = sow(bench, on = ⟦2027-05-24⟧)\n", quotedDate + ": \"2027-05-24\"", 0, []string{"x"}, "x = sow(bench, on = \"2027-05-24\")\n"},
	{"date with a time added", "x = ⟦2027-05-24⟧ + 2 * weeks\n", quotedDate + ": \"2027-05-24\"", 0, []string{"x"}, "x = \"2027-05-24\" + 2 * weeks\n"},
	{"date by slashes", "x = ⟦05/24/2027⟧\n", quotedDate + ": \"2027-05-24\"", 0, []string{"x"}, "x = \"2027-05-24\"\n"},
	{"date by a slash, of no year", "x = ⟦05/24⟧\n", quotedDate, 0, []string{"x"}, ""},
	{"date in words", "x = sow(bench, on = ⟦May 24, 2027⟧)\n", quotedDate + ": \"2027-05-24\"", 0, []string{"x"}, "x = sow(bench, on = \"2027-05-24\")\n"},
	{"date in words, of no year", "x = sow(bench, on = ⟦May 24⟧, count = 3)\n", quotedDate, 0, []string{"x"}, ""},
	{"date in words, day first", "x = sow(bench, on = ⟦24 Apr 2027⟧)\n", quotedDate + ": \"2027-04-24\"", 0, []string{"x"}, "x = sow(bench, on = \"2027-04-24\")\n"},
	{"no date", "x = 2027-⟦02⟧-031\n", "a number cannot begin with 0; write 2", 0, []string{"x"}, ""},
	{"crop of two words", "x = plant(bench, ⟦cherry tomato⟧, count = 3)\n", "the crop cherry tomato is written cherry_tomato", 0, []string{"x"}, "x = plant(bench, cherry_tomato, count = 3)\n"},
	{"crop by another name", "x = plant(bench, ⟦Swiss chard⟧)\n", "the crop Swiss chard is written swiss_chard", 0, []string{"x"}, "x = plant(bench, swiss_chard)\n"},
	{"name without quotes", "x = plot(⟦Lower Bench⟧, length = 5 * ft)\n", quotedNames + "\"Lower Bench\"", 0, []string{"x"}, "x = plot(\"Lower Bench\", length = 5 * ft)\n"},
	{"name without quotes, in small letters", "x = plot(⟦lower bench⟧, length = 5 * ft)\n", quotedNames + "\"lower bench\"", 0, []string{"x"}, "x = plot(\"lower bench\", length = 5 * ft)\n"},
	{"text without quotes", "x = soil(texture = ⟦sandy loam⟧)\n", quotedNames + "\"sandy loam\"", 0, []string{"x"}, "x = soil(texture = \"sandy loam\")\n"},
	{"missing comma between names", "x = plant(first ⟦leek⟧, count = 3)\n", "a comma is missing before `leek`", 0, []string{"x"}, "x = plant(first, leek, count = 3)\n"},
	{"spaces in a name", "⟦west end row⟧ = row(bench)\n", "a name has no spaces: write west_end_row", 0, []string{"west_end_row"}, "west_end_row = row(bench)\n"},
}

// A name that some line gives a meaning is known where its underscore is missing; a date takes its year from the farm.
func TestPaperTakesTheRestOfTheFile(t *testing.T) {
	for _, c := range []struct{ name, text, fixed string }{
		{"name", "west_row = row(bench)\nplant(west row, beet)\n", "west_row = row(bench)\nplant(west_row, beet)\n"},
		{"year", "farm(\"A\", year = 2028)\nx = May 24\n", "farm(\"A\", year = 2028)\nx = \"2028-05-24\"\n"},
		{"month first", "farm(\"A\", year = 2028)\nx = 05/04\n", "farm(\"A\", year = 2028)\nx = \"2028-05-04\"\n"},
		{"day first", "farm(\"A\", year = 2028, units = \"metric\")\nx = 05/04\n", "farm(\"A\", year = 2028, units = \"metric\")\nx = \"2028-04-05\"\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := source.New("farm.star", c.text)
			tree := syntax.Parse(f)
			require.Len(t, tree.Findings, 1)
			require.Len(t, tree.Findings[0].Fixes, 1)
			require.False(t, tree.Findings[0].Fixes[0].Safe)
			require.Equal(t, c.fixed, apply(f, tree.Findings[0].Fixes[0]))
		})
	}
}

func TestReadDate(t *testing.T) {
	for _, c := range []struct {
		text      string
		dayBefore bool
		iso       string // with the year 2030 where there is none
		sure      bool
	}{
		{"4/24/2027", false, "2027-04-24", true},
		{"4/5/2027", false, "2027-04-05", false},
		{"4/5/2027", true, "2027-05-04", false},
		{"24/4/2027", false, "2027-04-24", true},
		{"4/24", false, "2030-04-24", true},
		{"4-24-27", false, "2027-04-24", false},
		{"24.4.2027", true, "2027-04-24", true},
		{"02.10.2027", false, "2027-10-02", true},
		{"4.24.2027", false, "2027-04-24", true},
		{"4.5.27", false, "2027-05-04", false},
		{"20270424", false, "2027-04-24", true},
		{"2027-4-5", false, "2027-04-05", true},
		{"2027/04/05", true, "2027-04-05", true},
		{"May 24", false, "2030-05-24", true},
		{"sept. 3rd, 2027", false, "2027-09-03", true},
		{"24 April 2027", false, "2027-04-24", true},
		{"24. Apr", true, "2030-04-24", true},
		{"Feb 30", false, "", true},
	} {
		t.Run(c.text, func(t *testing.T) {
			w, ok := syntax.ReadDate(c.text, c.dayBefore)
			require.True(t, ok)
			require.Equal(t, c.iso, w.ISO(2030))
			require.Equal(t, c.sure, w.Sure)
		})
	}
	for _, text := range []string{"", "soon", "13/13/2027", "40 May", "Mayor 3", "3.5 May", "2027", "20271324", "12345678"} {
		_, ok := syntax.ReadDate(text, false)
		require.False(t, ok, text)
	}
}

// What is read as on paper never makes a finding outside the text, or a fix that cannot be read.
func TestPaperHoldsForAnyWords(t *testing.T) {
	word := rapid.SampledFrom([]string{"4", "'", "\"", "in", "ft", " ", "1/2", "x", "½", "°", "N", "May", "24", ",", "050", "-", "/", "(", ")", "=", "Lower", "*", "\n", "#"})
	rapid.Check(t, func(t *rapid.T) {
		text := "x = "
		for _, w := range rapid.SliceOfN(word, 0, 12).Draw(t, "words") {
			text += w
		}
		f := source.New("farm.star", text)
		for _, d := range syntax.Parse(f).Findings {
			require.LessOrEqual(t, f.Offset(d.Primary.Span.End), len(text))
			for _, fix := range d.Fixes {
				require.NotEqual(t, text, apply(f, fix))
			}
		}
	})
}
