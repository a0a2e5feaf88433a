package check

import (
	"fmt"
	"strings"
	"time"

	"haulm/lang/derive"
	"haulm/lang/diag"
)

var weatherHasGaps = &diag.Rule{
	Code: "weather-has-gaps", Severity: diag.Note,
	Summary: "the weather file or the climate leaves out days that plantings stand",
	Explain: `What plantings need is reckoned day by day: from the weather file where it has the day's least and greatest
temperature, else from the climate's normals of the month. A day left out between the file's first and last is
filled with normals, which hides a dry or hot spell. A month without either leaves its days out of the need, and the
weeks in it read too low. A number that the equations cannot take counts as left out.

Fill in the days from a station nearby, and give the climate all twelve months.`,
	Example: `load("crops", "sweet_corn")
farm("Ferry Bank", year = 2027, site = site(
    latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14",
    climate = climate(
        tmin = [degf(v) for v in [24, 27, 35, 45, 54, 63, 67, 65, 58, 46, 36, 28]],
        tmax = [degf(v) for v in [41, 46, 56, 67, 76, 84, 57, 86, 80, 69, 56, 45]],
    ),
))
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
sow(row(bench, at = 4 * ft), sweet_corn, fill = True, on = "2027-05-20")
`,
	Source: "FAO-56 chapter 3 (missing weather data)",
}

// weather tells of the days that the need for water knows nothing of, or only the normals.
func (p *pass) weather() {
	w, site := p.facts.Water, p.farm.Site
	if w == nil || site == nil {
		return
	}
	at := site.Call
	if site.Climate != nil {
		at = site.Climate.Call
	}
	if len(w.Gaps) > 0 && site.Weather != nil {
		days := 0
		for _, g := range w.Gaps {
			days += g.To.DaysSince(g.From) + 1
		}
		file := site.Weather.File
		way := "Normals of the climate stand in; fill them in from a station nearby"
		if site.Climate == nil {
			way = "Fill them in from a station nearby, or give the site a climate to stand in"
		}
		p.report(&site.Weather.Decl, "", diag.Diagnostic{
			Rule:    weatherHasGaps,
			Message: fmt.Sprintf("%s lacks the temperatures of %s: %s. %s", file.Value, count(days, "1 day", "%d days"), p.stretches(w.Gaps), way),
			Primary: diag.Label{Span: file.Span, Text: "lacks " + p.stretches(w.Gaps[:1])},
			Values:  []diag.Value{{Name: "days", Text: fmt.Sprint(days)}},
		})
	}
	left := diag.Diagnostic{Rule: weatherHasGaps, Primary: diag.Label{Span: at, Text: "not all of it can be"}}
	switch {
	case len(w.Missing) > 0:
		left.Message = fmt.Sprintf("nothing tells the weather of days in %s while plantings stand: their need reads too low. Give the climate tmin and tmax, or reference_et, for %s",
			months(w.Missing), count(len(w.Missing), "it", "these %d months"))
		left.Primary.Text = "without " + months(w.Missing)
		left.Values = []diag.Value{{Name: "months", Text: months(w.Missing)}}
		if w.Trouble != "" {
			left.Help = "left out: " + w.Trouble
		}
	case w.Trouble != "":
		left.Message = "a number of the weather cannot be, and its days are left out: " + w.Trouble
	default:
		return
	}
	p.report(&site.Decl, "", left)
}

// stretches lists stretches of days, the first few by name.
func (p *pass) stretches(list []derive.DayGap) string {
	const most = 4 // that are named
	var words []string
	for i, g := range list {
		if i == most && len(list) > most+1 {
			words = append(words, fmt.Sprintf("and %d more stretches", len(list)-most))
			break
		}
		words = append(words, p.stretch(g))
	}
	return strings.Join(words, ", ")
}

func (p *pass) stretch(g derive.DayGap) string {
	year := p.farm.Year.Value
	if g.From == g.To {
		return g.From.Long(year)
	}
	return g.From.Long(year) + " to " + g.To.Long(year)
}

// months lists months as they follow one another: "July", "June to August", "May, July".
func months(list []time.Month) string {
	var words []string
	for i := 0; i < len(list); {
		end := i
		for end+1 < len(list) && list[end+1] == list[end]+1 {
			end++
		}
		switch end - i {
		case 0:
			words = append(words, list[i].String())
		case 1:
			words = append(words, list[i].String(), list[end].String())
		default:
			words = append(words, list[i].String()+" to "+list[end].String())
		}
		i = end + 1
	}
	return some(words)
}
