package check

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/season"
)

var plantedBeforeLastFrost = &diag.Rule{
	Code:     "planted-before-last-frost",
	Severity: diag.Warning,
	Summary:  "a crop goes out before it can stand the spring's frosts",
	Explain: `The planting day is set against the site's ` + "`last_frost`" + ` by how the crop stands frost:

| crop | may go out |
| --- | --- |
| hardy | 4 weeks before the last frost, sown in the row 6 weeks before |
| half-hardy | 2 weeks before |
| tender | on the last frost |
| very tender | 1 week after it, when the nights have warmed |

A crop that has days of its own counted from the last frost goes by those. A day in the autumn or early
winter belongs to the season before: garlic set in October waits for no spring. Only the date is judged,
an average over years; cover or a mild slope may be reason enough to accept the finding.`,
	Example: `here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14")
farm("Ferry Bank", year = 2027, site = here)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
tomato = crop("tomato", family = "Solanaceae", spacing = 2 * ft, row_spacing = 4 * ft, frost = "tender")
plant(row(bench, at = 4 * ft), tomato, fill = True, on = "2027-04-10")
`,
	Source: "hardy seed: an extension column (greensboro.com, 2021-04-11); hardy plants: common practice; the others: memory of general extension practice",
}

var maturesAfterFirstFrost = &diag.Rule{
	Code:     "matures-after-first-frost",
	Severity: diag.Warning,
	Summary:  "a crop that frost kills would be ready only after the autumn's first frost",
	Explain: `For tender and very tender crops the first harvest (planting day plus days to maturity) is set against the
site's ` + "`first_frost`" + ` of the same growing season. What frost kills before its first harvest gives nothing.

Plant earlier, at the latest so that the first harvest falls on the first frost (and better some weeks
before, to pick more than once), or choose a quicker variety.`,
	Example: `here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14")
farm("Ferry Bank", year = 2027, site = here)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
tomato = crop("tomato", family = "Solanaceae", spacing = 2 * ft, row_spacing = 4 * ft, frost = "tender", days_to_maturity = 75)
plant(row(bench, at = 4 * ft), tomato, fill = True, on = "2027-08-15")
`,
	Source: "the order of days; that a light frost kills tender crops: Oklahoma State University HLA-6004",
}

// frosts sets planting days and first harvests against the site's frosts.
func (p *pass) frosts() {
	if !p.facts.Seasons.Known() {
		return
	}
	for _, pl := range p.facts.Plantings {
		if pl.Decl == nil || pl.Decl.Crop == nil || !pl.Plant.IsSet() || !pl.Decl.On.Given {
			continue
		}
		f := p.facts.Seasons.Of(pl.Plant)
		early, ok := earliest(pl, f)
		if ok && pl.Plant < early {
			p.tooEarly(pl, f, early)
		}
		if pl.Decl.Crop.Frost.Kills() && f.FirstFrost.IsSet() && pl.FirstHarvest.IsSet() && pl.FirstHarvest > f.FirstFrost {
			p.tooLate(pl, f, early)
		}
	}
}

// earliest gives the first day that the planting may go out; false where the crop or site does not say.
func earliest(pl *derive.Planting, f derive.Season) (season.Date, bool) {
	if !f.LastFrost.IsSet() {
		return season.None, false
	}
	offset, source := pl.Decl.Crop.FrostOffset(pl.Decl.Direct)
	return f.LastFrost.Add(offset), source != ""
}

func (p *pass) tooEarly(pl *derive.Planting, f derive.Season, early season.Date) {
	d := pl.Decl
	who := cropName(pl)
	if d.Crop.Frost != crops.FrostUnknown {
		who = fmt.Sprintf("%s (%s)", who, d.Crop.Frost)
	}
	if pl.Row != nil {
		who += " in " + rowName(pl.Row)
	}
	verb := "goes out"
	if d.Direct {
		verb = "is sown"
	}
	from := "the last frost"
	switch n := early.DaysSince(f.LastFrost); {
	case n > 0:
		from = fmt.Sprintf("%s after the last frost of %s", days(n), p.day(f.LastFrost))
	case n < 0:
		from = fmt.Sprintf("%s before the last frost of %s", days(-n), p.day(f.LastFrost))
	}
	p.report(&d.Decl, where(pl), diag.Diagnostic{
		Rule:    plantedBeforeLastFrost,
		Message: fmt.Sprintf("%s %s on %s. Wait until %s, %s", who, verb, p.day(pl.Plant), p.day(early), from),
		Primary: diag.Label{Span: d.On.Span, Text: days(early.DaysSince(pl.Plant)) + " too early"},
		Related: labels(diag.Label{Span: p.farm.Site.LastFrost.Span, Text: "last frost"}, d.On.Span),
		Values:  []diag.Value{{Name: "on", Text: pl.Plant.String()}, {Name: "earliest", Text: early.String()}},
		Help:    outingSource(d),
		Fixes:   change(p, &d.Decl, &d.On, "on", dateText(early), "Wait until "+p.day(early)),
	})
}

// outingSource says who lets the crop out on that day; classSource who puts it into its frost class.
func outingSource(d *farm.Planting) string {
	_, source := d.Crop.FrostOffset(d.Direct)
	if class := classSource(d.Crop); class != "" && !d.Crop.OffsetLastFrost.Known() {
		return fmt.Sprintf("%s. When it may go out: %s", class, source)
	}
	return fmt.Sprintf("when %s may go out: %s", d.Crop.Title(), source)
}

func classSource(c *farm.Crop) string {
	s := &c.FrostSource
	switch {
	case c.Frost == crops.FrostUnknown || s.Source == "":
		return ""
	case s.Grade == crops.GradePlan:
		return fmt.Sprintf("%s is %s by this plan", c.Title(), c.Frost)
	}
	return fmt.Sprintf("%s is %s (%s, grade %s)", c.Title(), c.Frost, s.Source, s.Grade)
}

func (p *pass) tooLate(pl *derive.Planting, f derive.Season, early season.Date) {
	d := pl.Decl
	over := pl.FirstHarvest.DaysSince(f.FirstFrost)
	latest := pl.Latest(f.FirstFrost)
	finding := diag.Diagnostic{
		Rule: maturesAfterFirstFrost,
		Message: fmt.Sprintf("%s is ready on %s, %s after the first frost of %s, which kills it",
			where(pl), p.day(pl.FirstHarvest), days(over), p.day(f.FirstFrost)),
		Primary: diag.Label{Span: d.On.Span, Text: fmt.Sprintf("ready %s later", days(pl.FirstHarvest.DaysSince(pl.Plant)))},
		Related: labels(diag.Label{Span: p.farm.Site.FirstFrost.Span, Text: "first frost"}, d.On.Span),
		Values:  []diag.Value{{Name: "first harvest", Text: pl.FirstHarvest.String()}, {Name: "first frost", Text: f.FirstFrost.String()}},
		Help:    classSource(d.Crop),
	}
	switch {
	case !latest.IsSet():
		finding.Message += ". It wants more warmth than this site has between the frosts"
	case early.IsSet() && latest < early:
		finding.Message += fmt.Sprintf(". It takes %s, more than this site has between the frosts",
			days(pl.FirstHarvest.DaysSince(pl.Plant)))
	default:
		finding.Message += fmt.Sprintf(". %s it by %s", putIn(pl), p.day(latest))
		finding.Fixes = change(p, &d.Decl, &d.On, "on", dateText(latest), putIn(pl)+" it on "+p.day(latest))
	}
	p.report(&d.Decl, where(pl), finding)
}
