package check

import (
	"fmt"
	"strconv"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
)

var duplicateName = &diag.Rule{
	Code:     "duplicate-name",
	Severity: diag.Error,
	Summary:  "two plots, two zones or two rows of one plot bear the same name",
	Explain: `Tables, maps and row cards call plots, zones and rows by their names. When two of a kind bear the
same one nobody in the field can tell which is meant, and a harvest may be written down against the
wrong ground.

Names are compared as they are written, capitals and all. Two rows may bear the same name when they lie
in different plots; a row without a name goes by its number and never collides.

Give the later one a name of its own.`,
	Example: `farm("Ferry Bank", year = 2027)
plot("Lower bench", length = 52 * ft, width = 40 * ft)
plot("Lower bench", length = 30 * ft, width = 20 * ft)
`,
	Source: "common practice",
}

// UnusedDeclaration is the rule whose findings mean something only in a plan that was read whole.
var UnusedDeclaration = &diag.Rule{
	Code:     "unused-declaration",
	Severity: diag.Note,
	Summary:  "something is declared and nothing in the plan uses it",
	Explain: `A plot without rows, a row without plantings, a crop or variety that is never planted, or a soil, soil
test, climate, crew, source, tape or pipe that nothing refers to does not count in any total. Often
the line that was to use it has been forgotten or names another by mistake.

Ground that lies fallow on purpose is worth an accept with the reason, so that next year's reader knows.
Otherwise use the declaration or take it out.`,
	Example: `farm("Ferry Bank", year = 2027)
plot("Lower bench", length = 52 * ft, width = 40 * ft)
`,
	Source: "common practice",
}

// names finds names borne twice and declarations that nothing refers to.
func (p *pass) names() {
	seen := map[string]*farm.Decl{}
	places := map[string]source.Span{}
	clash := func(kind string, key string, d *farm.Decl, name *farm.Text, in string) {
		if !name.Given || name.Value == "" {
			return
		}
		key = kind + "\x00" + key + "\x00" + name.Value
		first := seen[key]
		if first == nil {
			seen[key], places[key] = d, name.Span
			return
		}
		p.report(d, "", diag.Diagnostic{
			Rule:    duplicateName,
			Message: fmt.Sprintf("%s has another %s named %q. Give this one a name of its own", in, kind, name.Value),
			Primary: diag.Label{Span: name.Span, Text: "named again here"},
			Related: []diag.Label{{Span: places[key], Text: "first named here"}},
			Fixes:   p.rename(d, name, seen, kind, key),
		})
	}
	for _, x := range p.farm.Plots {
		clash("plot", "", &x.Decl, &x.Name, "the farm")
	}
	for _, x := range p.farm.Zones {
		clash("zone", "", &x.Decl, &x.Name, "the farm")
	}
	number := make(map[*farm.Plot]int, len(p.farm.Plots))
	for i, x := range p.farm.Plots {
		number[x] = i
	}
	for _, x := range p.farm.Rows {
		if x.Name.Given {
			clash("row", strconv.Itoa(number[x.Plot]), &x.Decl, &x.Name, plotName(x.Plot))
		}
	}
	p.unused()
}

// rename offers the name with the first number that is free.
func (p *pass) rename(d *farm.Decl, name *farm.Text, seen map[string]*farm.Decl, kind, key string) []diag.Fix {
	if !p.sole(d) {
		return nil
	}
	n := 2
	for seen[fmt.Sprintf("%s %d", key, n)] != nil {
		n++
	}
	fresh := fmt.Sprintf("%s %d", name.Value, n)
	seen[fmt.Sprintf("%s %d", key, n)] = d
	return change(p, d, name, "name", strconv.Quote(fresh), fmt.Sprintf("Name this %s %q", kind, fresh))
}

// unused finds declarations that evaluation saw no use of.
func (p *pass) unused() {
	f := p.farm
	for _, x := range f.Sites {
		p.useless(&x.Decl, func() (string, string) {
			return "", "no farm lies on this site. Pass it to farm(site = ...) or take it out"
		})
	}
	for _, x := range f.Climates {
		p.useless(&x.Decl, func() (string, string) {
			return "", "no site has this climate. Pass it to site(climate = ...) or take it out"
		})
	}
	for _, x := range f.Crews {
		p.useless(&x.Decl, func() (string, string) {
			return "", "no farm has this crew. Pass it to farm(crew = ...) or take it out"
		})
	}
	for _, x := range f.Sources {
		p.useless(&x.Decl, func() (string, string) {
			return x.Name.Value, fmt.Sprintf("no zone draws water from %s. Pass it to zone(source = ...) or take it out",
				named(x.Name.Value, "this source"))
		})
	}
	for _, x := range f.Tapes {
		p.useless(&x.Decl, func() (string, string) {
			return "", "no zone is laid with this drip tape. Pass it to zone(tape = ...) or take it out"
		})
	}
	for _, x := range f.Pipes {
		p.useless(&x.Decl, func() (string, string) {
			return "", "no zone is supplied through this pipe. Pass it to zone(supply = ...) or take it out"
		})
	}
	for _, x := range f.SoilTests {
		p.useless(&x.Decl, func() (string, string) {
			return "", "no soil has this test. Pass it to soil(test = ...) or take it out"
		})
	}
	for _, x := range f.Soils {
		p.useless(&x.Decl, func() (string, string) {
			return "", "no plot has this soil. Pass it to plot(soil = ...) or take it out"
		})
	}
	for _, x := range f.Plots {
		p.useless(&x.Decl, func() (string, string) {
			return plotName(x), fmt.Sprintf("%s has no rows. Lay rows out in it, or accept this with the reason when it lies fallow",
				plotName(x))
		})
	}
	for _, x := range f.Crops {
		p.useless(&x.Decl, func() (string, string) {
			return x.Title(), fmt.Sprintf("%s is made and never planted. Plant it or take it out", x.Title())
		})
	}
	for _, r := range p.facts.Rows {
		p.useless(&r.Decl.Decl, func() (string, string) {
			return rowName(r), fmt.Sprintf("nothing is planted in %s, %s long. Plant it or take it out", rowName(r), p.long(r.Length))
		})
	}
}

// useless reports a declaration that nothing refers to; words gives its subject and the message.
func (p *pass) useless(d *farm.Decl, words func() (subject, message string)) {
	if d.Used || !d.Call.IsValid() {
		return
	}
	subject, message := words()
	p.report(d, subject, diag.Diagnostic{
		Rule:    UnusedDeclaration,
		Message: message,
		Primary: diag.Label{Span: d.Call},
	})
}

// named gives a name in quotes, or other words for a thing without one.
func named(name, otherwise string) string {
	if name == "" {
		return otherwise
	}
	return strconv.Quote(name)
}
