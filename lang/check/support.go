package check

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/solve"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
	"haulm/stdlib/support"
)

// heldGround begins the examples: tomatoes in a row.
const heldGround = `load("crops", "indeterminate_tomato")
here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14")
farm("Ferry Bank", year = 2027, site = here)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
first = row(bench, at = 20 * ft)
plant(first, indeterminate_tomato, fill = True, spacing = 2 * ft, on = "2027-05-08")
`

var trellisTooLate = &diag.Rule{
	Code: "trellis-too-late", Severity: diag.Warning,
	Summary: "posts are set after the plants need them",
	Explain: `The day that the plan gives for setting the posts is held against the day on which the plants are a foot high and
need their first string, clip or cage, and against planting day where their height is not known. Later, stems lie on
the ground and break when they are lifted, and posts driven beside a grown plant cut its roots.

Growth is a rule of thumb: even, from a week after planting until the first harvest. Set the posts by the day named, at
best right after planting.`,
	Example: heldGround + `trellis(first, style = "stake and weave", height = 5 * ft, on = "2027-06-20")
`,
	Source: "University of Illinois Extension (rockrivertimes.com, 2015-06-03): first string at 12 in; posts within two weeks of planting: Washington State University Extension (Tri-City Herald, 2014-02-14); even growth: common practice",
}

var trellisTooShort = &diag.Rule{
	Code: "trellis-too-short", Severity: diag.Warning,
	Summary: "a trellis is lower than its plants grow, or its posts are too short for it",
	Explain: `A crop may outgrow its trellis by a foot: its tip holds itself. Reported is a trellis lower than that below the least
height that the crop grows to, unless stems are lowered (` + "`reserve`" + `), and a post that does not reach the height once its
foot stands in the ground.

Build it higher, set longer posts, or name the height of your variety: tomato.variety("...", height = 4 * ft).
A higher trellis carries more weight and more wind: follow the maker's or your adviser's figures.`,
	Example: heldGround + `trellis(first, style = "stake and weave", height = 3 * ft)
`,
	Source: "the crop's own height, by the source that `haulm doc` names for it; one foot: common practice",
}

var sunScald = &diag.Rule{
	Code: "sun-scald-likely", Severity: diag.Note,
	Summary: "plants pruned to a single stem bear fruit in a hot month",
	Explain: `A plant pruned to one stem has few leaves to shade its fruit. Where the mean daily maximum of a month of its harvest is
30 °C (86 °F) or more, fruit that faces the afternoon sun can be scalded: pale, papery, then rotten. Reported for tomatoes,
peppers and eggplants on a trellis with ` + "`stems = 1`" + `, and on a drop line, where one stem is the rule.

Prune less from early summer on, leave two stems, or hang shade cloth over the hottest weeks.`,
	Example: `load("crops", "tomato")
here = site(latitude = 30, last_frost = "2027-03-01", first_frost = "2027-11-20",
    climate = climate(tmax = [degf(v) for v in [60, 64, 71, 78, 85, 91, 93, 93, 89, 80, 71, 63]]))
farm("Ferry Bank", year = 2027, site = here)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
first = row(bench, at = 20 * ft)
plant(first, tomato, fill = True, spacing = 2 * ft, on = "2027-04-10")
trellis(first, style = "drop line", height = 7 * ft, stems = 1)
`,
	Source: "common practice",
}

// tipAbove is how much of a plant stands above its trellis without harm, m; scaldFrom the mean daily maximum from
// which fruit without shade is scalded, °C; both common practice.
const (
	tipAbove  = 0.3048
	scaldFrom = 30
)

// supports holds the trellises against their plants.
func (p *pass) supports() {
	if len(p.farm.Trellises) == 0 {
		return
	}
	for _, t := range p.facts.Support().Trellises {
		if t.Main == nil {
			continue
		}
		p.late(t)
		p.low(t)
		p.scald(t)
	}
}

// late finds posts set after the plants need them.
func (p *pass) late(t *derive.Trellis) {
	on := t.Decl.On
	if !on.Given || !t.Main.Plant.IsSet() {
		return
	}
	high, _ := support.Usual(t.Decl.Style.Value, "plant height")
	by, why := t.Reach, "its plants are "+p.short(high.Low)+" high"
	if !by.IsSet() {
		by, why = t.Main.Plant.Add(14), "two weeks after planting"
	}
	if on.Value <= by {
		return
	}
	p.report(&t.Decl.Decl, rowName(t.Rows[0]), diag.Diagnostic{
		Rule: trellisTooLate,
		Message: fmt.Sprintf("the trellis of %s is set on %s; %s needs it by about %s, when %s. Set it by then", rowName(t.Rows[0]),
			p.day(on.Value), cropName(t.Main), p.day(by), why),
		Primary: diag.Label{Span: on.Span, Text: days(on.Value.DaysSince(by)) + " too late"},
		Related: labels(diag.Label{Span: t.Main.Decl.On.Span, Text: "planted"}, on.Span),
		Values:  []diag.Value{{Name: "on", Text: on.Value.String()}, {Name: "needed", Text: by.String()}},
		Fixes:   change(p, &t.Decl.Decl, &on, "on", dateText(by), "Set it on "+p.day(by)),
	})
}

// low finds trellises lower than their plants, and posts too short for their trellis.
func (p *pass) low(t *derive.Trellis) {
	d := t.Decl
	grown := &t.Main.Decl.Crop.Height
	if d.Height.Given && grown.Known() && !(d.Reserve.Given && d.Reserve.Value.SI > 0) && d.Height.Value.SI+tipAbove < grown.Low-slack {
		need, grows := solve.Up(grown.Low-tipAbove, p.units), p.long(grown.Told(p.units).Low)
		p.report(&d.Decl, rowName(t.Rows[0]), diag.Diagnostic{
			Rule: trellisTooShort,
			Message: fmt.Sprintf("the trellis of %s is %s high; %s grows to %s or more, of which the last %s need no hold. Make it %s or higher", rowName(t.Rows[0]),
				p.long(d.Height.Value.SI), cropName(t.Main), grows, p.short(tipAbove), p.long(need)),
			Primary: diag.Label{Span: d.Height.Span, Text: "lower than the crop"},
			Related: labels(diag.Label{Span: t.Main.Decl.CropSpan, Text: grows + " or more"}, d.Height.Span),
			Values:  []diag.Value{{Name: "height", Text: p.long(d.Height.Value.SI)}, {Name: "crop", Text: grows}},
			Help:    fmt.Sprintf("height of %s: %s; a lower variety says so with variety(..., height = ...)", t.Main.Decl.Crop.Title(), credit(grown)),
			Fixes:   change(p, &d.Decl, &d.Height, "height", p.expr(need), "Make it "+p.long(need)+" high"),
		})
	}
	if above := d.Post.Value.SI - t.Depth; d.Post.Given && d.Height.Given && t.Unknown == "" && above < d.Height.Value.SI-slack {
		need := solve.Up(d.Height.Value.SI+t.Depth, p.units)
		p.report(&d.Decl, rowName(t.Rows[0]), diag.Diagnostic{
			Rule: trellisTooShort,
			Message: fmt.Sprintf("posts of %s, %s in the ground, leave %s for the trellis of %s, which is %s high. Take posts of %s or longer",
				p.long(d.Post.Value.SI), p.short(t.Depth), p.long(above), rowName(t.Rows[0]), p.long(d.Height.Value.SI), p.long(need)),
			Primary: diag.Label{Span: d.Post.Span, Text: "short by " + p.short(d.Height.Value.SI-above)},
			Related: labels(diag.Label{Span: d.Height.Span, Text: "to be reached"}, d.Post.Span),
			Fixes:   change(p, &d.Decl, &d.Post, "post_length", p.expr(need), "Take posts of "+p.long(need)),
		})
	}
}

// scald finds fruit on single stems in a hot month.
func (p *pass) scald(t *derive.Trellis) {
	single := t.Decl.Stems.Value == 1 && t.Decl.Stems.Given || !t.Decl.Stems.Given && t.Decl.Style.Value == "drop line"
	site := p.farm.Site
	if !single || site == nil || site.Climate == nil || len(site.Climate.TMax.Value) != 12 {
		return
	}
	for _, pl := range t.Held {
		if pl.Decl.Crop.Family != "Solanaceae" || !pl.FirstHarvest.IsSet() || !pl.LastHarvest.IsSet() {
			continue
		}
		hottest, at := -1.0, season.None
		for d := pl.FirstHarvest; d <= pl.LastHarvest; d = d.Add(7) {
			if c := site.Climate.TMax.Value[d.Month()-1].Celsius(); c >= scaldFrom && c > hottest {
				hottest, at = c, d
			}
		}
		if !at.IsSet() {
			continue
		}
		primary := t.Decl.Style.Span
		if t.Decl.Stems.Given {
			primary = t.Decl.Stems.Span
		}
		temp := p.units.Short(quantity.Celsius(hottest))
		p.report(&t.Decl.Decl, rowName(t.Rows[0]), diag.Diagnostic{
			Rule: sunScald,
			Message: fmt.Sprintf("%s, on single stems, bears fruit in %s, when days reach %s: leave leaves or a second stem to shade it, or hang shade cloth",
				where(pl), at.Month(), temp),
			Primary: diag.Label{Span: primary, Text: "one stem"},
			Related: labels(diag.Label{Span: site.Climate.TMax.Span, Text: "mean daily maximum by month"}, primary),
			Values:  []diag.Value{{Name: "mean daily maximum", Text: temp}},
		})
		return
	}
}
