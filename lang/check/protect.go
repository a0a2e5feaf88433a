package check

import (
	"fmt"
	"math"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// sprayedGround begins the examples: peppers in a row, and a protectant.
const sprayedGround = `load("crops", "bell_pepper")
farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
first = row(bench, at = 20 * ft)
plant(first, bell_pepper, fill = True, spacing = 18 * inch, on = "2027-05-15", days_to_maturity = 70, harvest_window = 56)
`

// labelLaw ends the help of every finding about a label's intervals.
const labelLaw = "the label is the law; where local rules ask for a licensed applicator, that person decides"

var harvestInside = &diag.Rule{
	Code: "harvest-inside-interval", Severity: diag.Error,
	Summary: "a crop would be picked before the label lets it be, after a spraying",
	Explain: `After a protectant is put on, the crop may not be picked until the pre-harvest interval of its label has run
out, counted in days from the spraying. Reported is a first harvest that falls inside it, and, once picking has begun,
an interval that leaves more than three days without picking: what ripens in a row meanwhile is lost.

Spray earlier, end the sprayings in time, or choose a product with a shorter interval. The plan's first harvest is an
estimate: in the field the day of spraying and the label decide. The label is the law; follow local rules, and leave
to a licensed applicator what they leave to one.`,
	Example: sprayedGround + `copper = protectant("copper", reentry = 24 * hours, preharvest = 14)
protect(first, copper, on = "2027-07-15")
`,
	Source: "the product's own label, as the plan copies it (in the United States 40 CFR 156; memory); three days between pickings: common practice",
}

var entryInside = &diag.Rule{
	Code: "entry-inside-interval", Severity: diag.Error,
	Summary: "work is planned where nobody may go in yet after a spraying",
	Explain: `From spraying until the label's re-entry interval has run out nobody goes in without the protective wear that
the label asks for. Spraying is taken to end at six in the evening and work to begin at six in the morning: 12 hours
are over the next morning, 24 hours the morning after that. Reported are the day on which something is planted or sown
into the same row, the day on which its trellis is set, and a first harvest.

Move the work or the spraying. The label is the law; workers are told of a closed field before they come near it.`,
	Example: sprayedGround + `trellis(first, style = "stake and weave", height = 4 * ft, on = "2027-05-26")
copper = protectant("copper", reentry = 48 * hours, preharvest = 0)
protect(first, copper, on = "2027-05-25")
`,
	Source: "the product's own label, as the plan copies it (in the United States 40 CFR 170, the Worker Protection Standard; memory); evening spraying: common practice",
}

var sameGroup = &diag.Rule{
	Code: "same-action-group-again", Severity: diag.Warning,
	Summary: "the same mode of action is sprayed twice running",
	Explain: `Pests and diseases that live through one mode of action breed others that do. Two sprayings of a row that follow
each other should not share a group; the number stands on the label. Multi-site groups (M and a number) and biologicals
(BM and a number) do not count, for what works in many places is not easily got round. A letter behind the number is a
part of the group: 4A and 4C are both 4.

Take another group in between, or a multi-site product.`,
	Example: sprayedGround + `strip = protectant("leaf spot product", reentry = 4 * hours, preharvest = 0, group = "11")
protect(first, strip, on = "2027-06-01", every = 10, until = "2027-06-20")
`,
	Source: "memory of the resistance committees' group lists and rules (FRAC, IRAC)",
}

var overLabel = &diag.Rule{
	Code: "over-label-limit", Severity: diag.Error,
	Summary: "a product is put on more often, or sooner again, than its label allows",
	Explain: `A label can limit how many times a product is put on in a season and how many days lie between two of them.
Both are copied into ` + "`protectant(most = ..., again_after = ...)`" + ` and counted here for every row, over all that is put on it.

Space the sprayings out, leave some out, or change to another product. The label is the law.`,
	Example: sprayedGround + `copper = protectant("copper", reentry = 24 * hours, preharvest = 0, again_after = 7)
protect(first, copper, on = "2027-06-01", every = 5, until = "2027-06-20")
`,
	Source: "the product's own label, as the plan copies it",
}

var nothingToProtect = &diag.Rule{
	Code: "nothing-to-protect", Severity: diag.Note,
	Summary: "a protectant is put where nothing stands at the time",
	Explain: `On none of the days that a ` + "`protect(...)`" + ` names does anything stand in its rows: it is planted later, or cleared
already, or the plan gives no day on which it goes in. Nothing is put on then, and nothing is bought for it.

Move the first day to one on which the row is planted, or take the line out.`,
	Example: sprayedGround + `copper = protectant("copper", reentry = 24 * hours, preharvest = 0)
protect(first, copper, on = "2027-04-01")
`,
	Source: "the order of days",
}

// pickedApart is the most days without picking that a crop which is picked again and again bears.
const pickedApart = 3

// protections holds the spray calendar against harvests, work, groups and labels.
func (p *pass) protections() {
	if len(p.farm.Protects) == 0 {
		return
	}
	pr := p.facts.Protection()
	for _, d := range pr.Idle {
		p.report(&d.Decl, d.Protectant.Name.Value, diag.Diagnostic{
			Rule: nothingToProtect,
			Message: fmt.Sprintf("%s is put on from %s, when nothing stands there. Choose a day on which something does",
				d.Protectant.Name.Value, p.day(d.On.Value)),
			Primary: diag.Label{Span: d.On.Span},
		})
	}
	told := map[*farm.Protect]bool{}
	for _, a := range pr.Applications {
		for _, pl := range a.Plantings {
			p.pickedInside(a, pl, told)
		}
		for _, r := range a.Rows {
			p.enteredInside(a, r)
		}
	}
	for _, r := range p.facts.Rows {
		if list := pr.On(r); len(list) > 1 {
			p.groups(r, list)
			p.limits(r, list)
		}
	}
}

// pickedInside finds a planting picked inside an application's interval.
func (p *pass) pickedInside(a *derive.Application, pl *derive.Planting, told map[*farm.Protect]bool) {
	d, product := a.Decl, a.Decl.Protectant
	open := a.Day.Add(product.Preharvest.Value)
	finding := diag.Diagnostic{
		Rule:    harvestInside,
		Primary: diag.Label{Span: product.Preharvest.Span, Text: days(product.Preharvest.Value) + " before harvest"},
		Related: labels(diag.Label{Span: d.Call, Text: "put on here"}, product.Preharvest.Span),
		Help:    labelLaw,
	}
	if d.Call.File == product.Call.File {
		finding.Primary = diag.Label{Span: d.On.Span, Text: "sprayed " + p.day(a.Day)}
		finding.Related = labels(diag.Label{Span: product.Preharvest.Span, Text: days(product.Preharvest.Value) + " before harvest"}, d.On.Span)
	}
	switch {
	case !pl.FirstHarvest.IsSet():
		return
	case pl.FirstHarvest > a.Day && pl.FirstHarvest < open:
		by := pl.FirstHarvest.Add(-product.Preharvest.Value)
		finding.Message = fmt.Sprintf("%s is ready on %s; after %s on %s it may not be picked before %s. Spray it by %s",
			where(pl), p.day(pl.FirstHarvest), product.Name.Value, p.day(a.Day), p.day(open), p.day(by))
		finding.Values = []diag.Value{{Name: "first harvest", Text: pl.FirstHarvest.String()}, {Name: "may be picked", Text: open.String()}}
		if pl.Plant <= by {
			if d.Every.Value == 0 {
				finding.Fixes = change(p, &d.Decl, &d.On, "on", dateText(by), "Spray on "+p.day(by))
			} else if d.On.Value <= by {
				finding.Fixes = change(p, &d.Decl, &d.Until, "until", dateText(by), "Spray until "+p.day(by))
			}
		}
	case pl.FirstHarvest <= a.Day && pl.LastHarvest > a.Day && open.DaysSince(a.Day)-1 > pickedApart:
		if told[d] {
			return
		}
		told[d] = true
		finding.Message = fmt.Sprintf("%s is picked until %s; after %s on %s picking stops until %s, and what ripens in those %d days is lost",
			where(pl), p.day(pl.LastHarvest), product.Name.Value, p.day(a.Day), p.day(open), open.DaysSince(a.Day)-1)
		finding.Values = []diag.Value{{Name: "sprayed", Text: a.Day.String()}, {Name: "may be picked", Text: open.String()}}
		by := pl.FirstHarvest.Add(-product.Preharvest.Value)
		if d.Every.Value > 0 && d.On.Value <= by {
			finding.Message += ". End the sprayings by " + p.day(by)
			finding.Fixes = change(p, &d.Decl, &d.Until, "until", dateText(by), "Spray until "+p.day(by))
		} else {
			finding.Message += ". Choose a product with a shorter interval"
		}
	default:
		return
	}
	p.report(&d.Decl, where(pl), finding)
}

// enteredInside finds work in a row that is closed after an application.
func (p *pass) enteredInside(a *derive.Application, r *derive.Row) {
	if a.Enter.DaysSince(a.Day) <= 1 {
		return
	}
	product := a.Decl.Protectant
	closed := func(what, subject string, work diag.Label) {
		p.report(&a.Decl.Decl, subject, diag.Diagnostic{
			Rule: entryInside,
			Message: fmt.Sprintf("%s; after %s on %s nobody goes in there before %s (%s by the label). Move the work or the spraying",
				what, product.Name.Value, p.day(a.Day), p.day(a.Enter), p.hours(product.Reentry.Value)),
			Primary: work,
			Related: labels(diag.Label{Span: a.Decl.On.Span, Text: "closed until " + p.day(a.Enter)}, work.Span),
			Values:  []diag.Value{{Name: "sprayed", Text: a.Day.String()}, {Name: "open again", Text: a.Enter.String()}},
			Help:    labelLaw,
		})
	}
	for _, pl := range r.Plantings {
		if pl.Plant > a.Day && pl.Plant < a.Enter {
			verb := "is planted"
			if pl.Decl.Direct {
				verb = "is sown"
			}
			closed(fmt.Sprintf("%s %s on %s", where(pl), verb, p.day(pl.Plant)), where(pl), diag.Label{Span: pl.Decl.On.Span, Text: "while it is closed"})
		}
		stood := pl.Plant <= a.Day && pl.FirstHarvest.IsSet() && (!pl.Clear.IsSet() || a.Day < pl.Clear)
		if open := a.Day.Add(product.Preharvest.Value); stood && pl.FirstHarvest > a.Day && pl.FirstHarvest >= open && pl.FirstHarvest < a.Enter {
			closed(fmt.Sprintf("%s is first picked on %s", where(pl), p.day(pl.FirstHarvest)), where(pl), diag.Label{Span: pl.Decl.CropSpan, Text: "picked while it is closed"})
		}
	}
	if t := r.Decl.Trellis; t != nil && t.On.Given && t.On.Value > a.Day && t.On.Value < a.Enter {
		closed(fmt.Sprintf("the trellis of %s is set on %s", rowName(r), p.day(t.On.Value)), rowName(r), diag.Label{Span: t.On.Span, Text: "while it is closed"})
	}
}

// hours prints a re-entry interval as labels do.
func (p *pass) hours(q quantity.Quantity) string {
	if h := q.SI / 3600; h < 96 {
		return count(int(math.Round(h)), "1 hour", "%d hours")
	}
	return days(int(math.Round(q.SI / 86400)))
}

// groups finds two sprayings of a row running that share a mode of action.
func (p *pass) groups(r *derive.Row, list []*derive.Application) {
	type pair struct{ before, after *farm.Protect }
	told := map[pair]bool{}
	for i, a := range list[1:] {
		before := list[i]
		group := sharedGroup(before.Decl.Protectant.Group.Value, a.Decl.Protectant.Group.Value)
		key := pair{before.Decl, a.Decl}
		if group == "" || told[key] || before.Day == a.Day {
			continue
		}
		told[key] = true
		if said := a.Decl.Protectant.Group.Value; said == before.Decl.Protectant.Group.Value && !strings.Contains(said, " ") {
			group = said // as both labels print it
		}
		names := before.Decl.Protectant.Name.Value + " and " + a.Decl.Protectant.Name.Value
		if before.Decl.Protectant == a.Decl.Protectant {
			names = a.Decl.Protectant.Name.Value + " twice"
		}
		primary := a.Decl.On.Span
		if before.Decl == a.Decl && a.Decl.Every.Given {
			primary = a.Decl.Every.Span
		}
		p.report(&a.Decl.Decl, rowName(r), diag.Diagnostic{
			Rule: sameGroup,
			Message: fmt.Sprintf("%s gets %s running, on %s and %s; both are of group %s. Put another group between them",
				rowName(r), names, p.day(before.Day), p.day(a.Day), group),
			Primary: diag.Label{Span: primary, Text: "group " + group + " again"},
			Related: labels(diag.Label{Span: a.Decl.Protectant.Group.Span, Text: "group " + group}, primary),
			Values:  []diag.Value{{Name: "group", Text: group}},
		})
	}
}

// sharedGroup gives the single-site group that two labels have in common, "" for none.
func sharedGroup(a, b string) string {
	for _, x := range actionGroups(a) {
		for _, y := range actionGroups(b) {
			switch {
			case x == y, strings.HasSuffix(x, " "+y): // one label names the list, the other does not
				return x
			case strings.HasSuffix(y, " "+x):
				return y
			}
		}
	}
	return ""
}

// actionGroups reads the groups of a label, "7 + 11" or "FRAC 4A", without those that do not count.
func actionGroups(text string) []string {
	var groups []string
	list := ""
	for _, word := range strings.FieldsFunc(strings.ToUpper(text), func(r rune) bool { return strings.ContainsRune(" ,+/&;:", r) }) {
		switch {
		case word == "FRAC" || word == "IRAC" || word == "HRAC":
			list = word + " "
			continue
		case word == "GROUP" || word == "AND" || word == "CODE":
			continue
		case word[0] == 'M' && len(word) > 1 && isDigit(word[1]), strings.HasPrefix(word, "BM"), strings.HasPrefix(word, "UN"), strings.HasPrefix(word, "NC"):
			continue
		}
		if isDigit(word[0]) {
			word = strings.TrimRightFunc(word, func(r rune) bool { return r >= 'A' && r <= 'Z' })
		}
		groups = append(groups, list+word)
	}
	return groups
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// limits counts every product put on a row against its label.
func (p *pass) limits(r *derive.Row, list []*derive.Application) {
	last := map[*farm.Protectant]*derive.Application{}
	times := map[*farm.Protectant]int{}
	soon := map[*farm.Protectant]bool{}
	for _, a := range list {
		product := a.Decl.Protectant
		before := last[product]
		last[product] = a
		times[product]++
		if apart := product.Again.Value; before != nil && a.Day.DaysSince(before.Day) < apart && !soon[product] {
			soon[product] = true
			f := diag.Diagnostic{
				Rule: overLabel,
				Message: fmt.Sprintf("%s gets %s on %s, %s after %s; its label asks for %s between", rowName(r), product.Name.Value,
					p.day(a.Day), days(a.Day.DaysSince(before.Day)), p.day(before.Day), days(apart)),
				Primary: diag.Label{Span: a.Decl.On.Span, Text: "too soon"},
				Related: labels(diag.Label{Span: product.Again.Span, Text: "by the label"}, a.Decl.On.Span),
				Help:    labelLaw,
			}
			if before.Decl == a.Decl && a.Decl.Every.Given {
				every := count(apart, "every day", "every %d days")
				f.Message += ". Put it on " + every
				f.Primary.Span = a.Decl.Every.Span
				f.Fixes = change(p, &a.Decl.Decl, &a.Decl.Every, "every", fmt.Sprint(apart), "Put it on "+every)
			}
			p.report(&a.Decl.Decl, rowName(r), f)
		}
		if most := product.Most.Value; product.Most.Given && times[product] == most+1 {
			all := 0
			for _, b := range list {
				if b.Decl.Protectant == product {
					all++
				}
			}
			p.report(&a.Decl.Decl, rowName(r), diag.Diagnostic{
				Rule: overLabel,
				Message: fmt.Sprintf("%s gets %s %d times; its label allows %s in a season. The first too many is on %s", rowName(r),
					product.Name.Value, all, count(most, "1 application", "%d applications"), p.day(a.Day)),
				Primary: diag.Label{Span: a.Decl.On.Span, Text: count(all, "1 time", "%d times")},
				Related: labels(diag.Label{Span: product.Most.Span, Text: "by the label"}, a.Decl.On.Span),
				Values:  []diag.Value{{Name: "times", Text: fmt.Sprint(all)}, {Name: "allowed", Text: fmt.Sprint(most)}},
				Help:    labelLaw,
			})
		}
	}
}
