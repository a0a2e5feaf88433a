package eval_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/eval"
	"haulm/stdlib/quantity"
)

// preface binds what the examples of the registry take for granted.
const preface = `load("crops", "bell_pepper", "eggplant", "radish")
here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14")
spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
first = row(bench, at = 4 * ft)
salad = row(bench, at = 8 * ft, lines = 3, line_spacing = 10 * inch)
`

// lastYear is the plan that the example of previous looks back to.
const lastYear = `load("crops", "eggplant")
farm("Ferry Bank", year = 2026)
plant(row(plot("Lower bench", length = 52 * ft, width = 40 * ft), at = 4 * ft), eggplant, fill = True)
`

func TestEveryBuiltinIsDocumentedAndItsExampleRuns(t *testing.T) {
	seen := map[string]bool{}
	for _, b := range eval.Builtins() {
		t.Run(b.Name, func(t *testing.T) {
			require.False(t, seen[b.Name], "declared twice")
			seen[b.Name] = true
			require.NotEmpty(t, b.Summary)
			require.NotEmpty(t, b.Example)
			require.NotEmpty(t, b.Returns)
			require.NotEmpty(t, b.Group)
			require.LessOrEqual(t, b.Free, len(b.Params))
			names := map[string]bool{}
			for _, p := range b.Params {
				require.False(t, names[p.Name], p.Name)
				names[p.Name] = true
				require.NotEmpty(t, p.Doc, p.Name)
				require.False(t, p.Required && p.Default != "", p.Name)
			}
			text := preface
			if b.Name != "farm" {
				text += "farm(\"Ferry Bank\", year = 2027)\n"
			}
			text += b.Example + "\n"
			plan := files("2027/farm.star", text, "2027/weather.csv", "date,tmin_c,tmax_c\n2027-05-01,8,21\n",
				"2027/record.csv", "date,plot,row,crop,what\n2027-05-22,Lower bench,1,,weeding\n", "2026/farm.star", lastYear)
			found := codes(eval.Run(context.Background(), plan, "2027/farm.star").Findings)
			require.Empty(t, slices.DeleteFunc(found, func(code string) bool {
				return strings.HasPrefix(code, "name-given-twice") // the example makes a thing of the preface anew
			}))
		})
	}
}

// Other words that growers try for a function or an argument are not names of their own, and each means
// one thing.
func TestOtherWordsMeanOneThing(t *testing.T) {
	known := map[string]bool{}
	for _, b := range eval.Builtins() {
		known[b.Name] = true
	}
	for _, b := range eval.Builtins() {
		for _, word := range b.Also {
			require.False(t, known[word], "%s for %s", word, b.Name)
			known[word] = true
			_, isUnit := quantity.UnitNamed(word)
			require.False(t, isUnit, word)
		}
		params := map[string]bool{}
		for _, p := range b.Params {
			params[p.Name] = true
		}
		for _, p := range b.Params {
			for _, word := range p.Also {
				require.False(t, params[word], "%s of %s for %s", word, b.Name, p.Name)
				params[word] = true
			}
		}
	}
}

// A call with every argument given wrongly must find each of them, once, and never panic: it reaches
// every parameter by name and kind.
func TestEveryParameterIsChecked(t *testing.T) {
	for _, b := range eval.Builtins() {
		for _, p := range b.Params {
			if b.Name == "variety" {
				continue // a method: the next test
			}
			t.Run(b.Name+"/"+p.Name, func(t *testing.T) {
				r := run(preface + b.Name + "(" + p.Name + " = len)\n")
				found := 0
				for _, d := range r.Findings {
					if d.Rule.Code == "wrong-type" && d.Primary.Span.Text() == "len" {
						found++
						require.True(t, strings.HasPrefix(d.Message, p.Name+" of "+b.Name+" is "), d.Message)
					}
				}
				require.Equal(t, 1, found)
			})
		}
	}
}

func TestDefaultsAreTheirOwnText(t *testing.T) {
	for _, b := range eval.Builtins() {
		for _, p := range b.Params {
			if p.Default == "" {
				continue
			}
			t.Run(b.Name+"/"+p.Name, func(t *testing.T) {
				r := run("farm(\"T\", year = 2027)\nprint(" + p.Default + ")\n")
				require.Empty(t, r.Findings)
				require.Len(t, r.Log, 1)
			})
		}
	}
}

func TestVarietyKeepsWhatItDoesNotChange(t *testing.T) {
	r := run(preface + `farm("T", year = 2027)
sweet = bell_pepper.variety("Lantern Red", days_to_maturity = 72, spacing = (14 * inch, 20 * inch))
plant(first, sweet, count = 3, spacing = 18 * inch)
`)
	require.Empty(t, r.Findings)
	c := r.Farm.Plantings[0].Crop
	require.Equal(t, "bell pepper", c.Name)
	require.Equal(t, "Lantern Red", c.Variety)
	require.Equal(t, "Solanaceae", c.Family)
	require.InDelta(t, 72, c.MaturityTransplant.Low, 0)
	require.InDelta(t, 14*0.0254, c.InRow.Low, 1e-12)
	require.InDelta(t, 20*0.0254, c.InRow.High, 1e-12)
	require.True(t, c.BetweenRows.Known())
	require.EqualValues(t, "plan", c.InRow.Grade)
}

func TestModulesOfferWhatTheySay(t *testing.T) {
	for _, m := range eval.Modules() {
		require.NotEmpty(t, m.Names, m.Name)
		for _, name := range m.Names {
			r := eval.Run(context.Background(), files("farm.star",
				"load(\""+m.Name+"\", \""+name+"\")\nfarm(\"T\", year = 2027)\n"), "farm.star")
			require.Empty(t, codes(r.Findings), name)
		}
	}
}

func TestEveryHandleIsReturnedByABuiltin(t *testing.T) {
	var returned strings.Builder
	for _, b := range eval.Builtins() {
		returned.WriteString(strings.ReplaceAll(b.Returns, " ", "_") + "\n")
	}
	for _, h := range eval.Handles() {
		require.Regexp(t, "(?m)(^|_)"+h.Name+"$", returned.String())
		require.NotEmpty(t, h.Summary)
	}
}

func TestUnitsAreNames(t *testing.T) {
	for _, u := range quantity.Units() {
		r := run("farm(\"T\", year = 2027)\nprint(2 * " + u.Name + " == " + u.Name + " + " + u.Name + ")\n")
		require.Empty(t, codes(r.Findings), u.Name)
		require.Equal(t, "True", r.Log[0].Text, u.Name)
	}
}
