package check

import (
	"fmt"
	"strconv"

	"haulm/lang/diag"
	"haulm/lang/eval"
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
test, climate, crew, source, tape, pipe, tray, pot or protectant that nothing refers to does not count in any total. Often
the line that was to use it has been forgotten or names another by mistake.

Ground that lies fallow on purpose is worth an accept with the reason, so that next year's reader knows.
Otherwise use the declaration or take it out.`,
	Example: `farm("Ferry Bank", year = 2027)
plot("Lower bench", length = 52 * ft, width = 40 * ft)
`,
	Source: "common practice",
}

// bearer is a declaration with a name that no other of its kind may bear within a scope.
type bearer struct {
	decl  *farm.Decl
	name  *farm.Text
	kind  string
	scope string // tells scopes apart
	in    string // the scope as people call it
}

// names finds names borne twice and declarations that nothing refers to.
func (p *pass) names() {
	bearers := p.bearers()
	taken := make(map[string]bool, len(bearers))
	for _, b := range bearers {
		taken[b.key(b.name.Value)] = true
	}
	first := make(map[string]source.Span, len(bearers))
	next := map[string]int{} // by name, the number to try first
	for _, b := range bearers {
		key := b.key(b.name.Value)
		at, again := first[key]
		if !again {
			first[key] = b.name.Span
			continue
		}
		p.report(b.decl, "", diag.Diagnostic{
			Rule:    duplicateName,
			Message: fmt.Sprintf("%s has another %s named %q. Give this one a name of its own", b.in, b.kind, b.name.Value),
			Primary: diag.Label{Span: b.name.Span, Text: "named again here"},
			Related: []diag.Label{{Span: at, Text: "first named here"}},
			Fixes:   p.rename(b, taken, next),
		})
	}
	p.unused()
}

func (p *pass) bearers() []bearer {
	var all []bearer
	add := func(b bearer) {
		if b.name.Given && b.name.Value != "" {
			all = append(all, b)
		}
	}
	number := make(map[*farm.Plot]int, len(p.farm.Plots))
	for i, x := range p.farm.Plots {
		number[x] = i
		add(bearer{&x.Decl, &x.Name, "plot", "", "the farm"})
	}
	for _, x := range p.farm.Zones {
		add(bearer{&x.Decl, &x.Name, "zone", "", "the farm"})
	}
	for _, x := range p.farm.Rows {
		if x.Name.Given {
			add(bearer{&x.Decl, &x.Name, "row", strconv.Itoa(number[x.Plot]), plotName(x.Plot)})
		}
	}
	return all
}

func (b bearer) key(name string) string { return b.kind + "\x00" + b.scope + "\x00" + name }

// rename offers the name with the first number that is free.
func (p *pass) rename(b bearer, taken map[string]bool, next map[string]int) []diag.Fix {
	if !p.sole(b.decl) {
		return nil
	}
	key := b.key(b.name.Value)
	n := max(next[key], 2)
	fresh := func() string { return fmt.Sprintf("%s %d", b.name.Value, n) }
	for taken[b.key(fresh())] {
		n++
	}
	taken[b.key(fresh())], next[key] = true, n+1
	return change(p, b.decl, b.name, "name", strconv.Quote(fresh()), fmt.Sprintf("Name this %s %q", b.kind, fresh()))
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
	for _, x := range f.Trays {
		p.useless(&x.Decl, func() (string, string) {
			return "", "nothing is sown in this tray. Pass it to plant(tray = ...) or take it out"
		})
	}
	for _, x := range f.Pots {
		p.useless(&x.Decl, func() (string, string) {
			return "", "nothing is stepped up into this pot. Pass it to plant(pot = ...) or take it out"
		})
	}
	for _, x := range f.Protectants {
		p.useless(&x.Decl, func() (string, string) {
			return x.Name.Value, fmt.Sprintf("%s is never put on. Pass it to protect(...) or take it out", x.Name.Value)
		})
	}
	for _, x := range f.Products {
		p.useless(&x.Decl, func() (string, string) {
			return x.Name.Value, fmt.Sprintf("%s is never fed. Pass it to feed(...) or take it out", x.Name.Value)
		})
	}
	for _, x := range f.Stocks {
		if x.Name.Given && x.Of() == nil {
			p.unknownStock(x)
		}
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

// unknownStock reports a stock by a name that the shopping list does not have.
func (p *pass) unknownStock(x *farm.Stock) {
	wares := p.facts.Shopping().Wares
	names := make([]string, len(wares))
	for i, w := range wares {
		if names[i] = w.Ware.Name; w.Ware.Is(x) {
			return
		}
	}
	message := fmt.Sprintf("nothing that the plan uses is called %s", strconv.Quote(x.Name.Value))
	f := diag.Diagnostic{Rule: UnusedDeclaration, Primary: diag.Label{Span: x.ItemSpan}}
	if near := eval.Nearest(x.Name.Value, names); near != "" {
		message += fmt.Sprintf("; the shopping list has %s", strconv.Quote(near))
		f.Fixes = change(p, &x.Decl, &x.Name, "item", strconv.Quote(near), "Write "+strconv.Quote(near))
	}
	f.Message = message + ". Name it as the shopping list does, or take it out"
	p.report(&x.Decl, x.Name.Value, f)
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
