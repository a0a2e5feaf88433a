package feature

import (
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/crops"
)

// text offers what belongs inside a text.
func (c *completer) text() {
	start, end := quotes(c.part.text(c.in))
	content := c.doc.between(c.in.Start+start, c.in.Start+end)
	if c.offset < c.in.Start+start || !c.in.Sound && c.offset > c.in.End {
		return
	}
	w := c.names.wanted(c.part, c.offset, c.in.Start)
	switch {
	case w.call == nil || w.call.Name == "":
	case w.call.Name == "load" && w.call.Arg == 0:
		c.paths(content)
	case w.call.Name == "load":
		c.offered(w.call, content)
	case w.param != nil:
		c.textValues(w, content)
	}
}

// textValues offers the texts that belong to a parameter.
func (c *completer) textValues(w want, content source.Span) {
	p := w.param
	choices := func(kind CompletionKind, note string, list ...string) {
		for _, text := range list {
			c.add(fits, Completion{Label: text, Kind: kind, Note: note, Replace: content})
		}
	}
	switch {
	case p.Type.Kind == eval.KindChoice:
		choices(CompleteChoice, p.Doc, p.Type.Choices...)
	case p.Type.Kind == eval.KindMonths:
		choices(CompleteChoice, "", "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
	case p.Type.Kind == eval.KindCrops:
		c.cropNames(content)
	case p.Type.Kind == eval.KindDate:
		c.dateTexts(content)
	case p.Type.Kind == eval.KindHandle:
		c.thingNames(w)
		if p.Type.Named {
			c.wareNames(content)
		}
	case p.Name == "lab" && w.builtin.Name == "soil_test":
		c.labs(w, content)
	case p.Name == "name" && (w.builtin.Name == "fertilizer" || w.builtin.Name == "amendment"):
		c.materials(content)
	case isShared(p):
		choices(CompleteThing, p.Name, c.sharedWords(p.Name)...)
	case p.Name == "name" && w.builtin.Name == "row":
		choices(CompleteThing, "row of another plot", c.rowNames(w)...)
	}
}

// cropNames offers the crops of the table and their families by name.
func (c *completer) cropNames(content source.Span) {
	var families []string
	for _, crop := range crops.All() {
		c.add(fits, Completion{Label: crop.Name, Kind: CompleteCrop, Note: cropLine(crop, c.doc.units()), Replace: content, Key: keyCrop + crop.Ident})
		families = append(families, crop.Family)
	}
	slices.Sort(families)
	for _, f := range slices.Compact(families) {
		c.add(possible, Completion{Label: f, Kind: CompleteChoice, Note: "family", Replace: content})
	}
}

// dateTexts offers the site's frosts written out.
func (c *completer) dateTexts(content source.Span) {
	site := c.site()
	if site == nil {
		return
	}
	if site.LastFrost.Given {
		c.add(fits, Completion{Label: site.LastFrost.Value.String(), Kind: CompleteChoice, Note: "last frost", Replace: content})
	}
	if site.FirstFrost.Given {
		c.add(fits, Completion{Label: site.FirstFrost.Value.String(), Kind: CompleteChoice, Note: "first frost", Replace: content})
	}
}

// thingNames offers things by the names they go by on the farm where their handles belong: a text in
// quotes is replaced by the name that the plan has for the thing.
func (c *completer) thingNames(w want) {
	kind := kindOf(w.param.Type)
	whole := c.doc.between(c.in.Start, c.in.End)
	on := c.plantingDay(w)
	c.eachName(kind, func(b *binding, m meaning) {
		if m.kind != kind || m.list || m.from == nil {
			return
		}
		item := Completion{Kind: CompleteThing, Insert: b.name, Replace: whole, Key: c.nameKey(b)}
		r := c.judge(b, m, w, on, &item)
		things := c.names.thingsOf(m.from, kind)
		if len(things) != 1 || things[0].name() == "" {
			return
		}
		item.Label = things[0].name()
		item.Filter = strconv.Quote(item.Label)
		item.Detail = b.name
		c.add(r, item)
	})
	if kind == kindCrop {
		c.cropsByName(w, whole)
	}
}

// cropsByName offers the crops of the table by the names that people have for them, loaded by the name
// that plans have.
func (c *completer) cropsByName(w want, whole source.Span) {
	on := c.plantingDay(w)
	for _, crop := range crops.All() {
		item := Completion{
			Label: crop.Name, Kind: CompleteCrop, Detail: crop.Ident, Filter: strconv.Quote(crop.Name),
			Insert: crop.Ident, Replace: whole, Key: keyCrop + crop.Ident,
		}
		r := unloaded
		if c.judgeCrop(crop, w, on, &item) != fits {
			r = unfit
		}
		if c.names.named(crop.Ident) == nil {
			item.Extra = []diag.Edit{c.doc.LoadEdit(cropModule, crop.Ident)}
		}
		c.add(r, item)
	}
}

// name is what people call the thing, "" when it has none.
func (t Thing) name() string {
	switch {
	case t.Plot != nil:
		return t.Plot.Decl.Name.Value
	case t.Row != nil:
		return derive.Item{Row: t.Row}.Title()
	case t.Planting != nil:
		return derive.Item{Planting: t.Planting}.Title()
	}
	return t.declaredName()
}

// isShared tells whether a parameter takes a word that several declarations share.
func isShared(p *eval.Param) bool { return p.Name == "succession" || p.Name == "together" }

// sharedWords gives the words that the plan's declarations share by a parameter, sorted.
func (c *completer) sharedWords(param string) []string {
	var list []string
	if c.doc.Plan == nil || c.doc.Plan.Farm == nil {
		return nil
	}
	add := func(t *farm.Text) {
		if t.Given {
			list = append(list, t.Value)
		}
	}
	if param == "succession" {
		for _, p := range c.doc.Plan.Farm.Plantings {
			add(&p.Succession)
		}
	} else {
		for _, z := range c.doc.Plan.Farm.Zones {
			add(&z.Together)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// rowNames gives the names of rows in other plots that the plot of the call does not have.
func (c *completer) rowNames(w want) []string {
	if c.doc.Plan == nil || c.doc.Plan.Farm == nil || len(w.call.Args) == 0 {
		return nil
	}
	var own any
	for _, t := range c.names.things(w.call.Args[0].Value.Text()) {
		own = t.Of
	}
	taken := map[string]bool{}
	var list []string
	for _, r := range c.doc.Plan.Farm.Rows {
		if any(r.Plot) == own {
			taken[r.Name.Value] = true
		}
	}
	for _, r := range c.doc.Plan.Farm.Rows {
		if r.Name.Value != "" && !taken[r.Name.Value] {
			list = append(list, r.Name.Value)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// codes offers the codes of findings in an accept comment, first those found in the lines near by.
func (c *completer) codes() {
	comment := c.doc.File.Text[c.in.Start:c.offset]
	list, ok := strings.CutPrefix(strings.TrimLeft(comment, "# \t"), "accept:")
	if !ok || strings.ContainsAny(list, "—–:") || strings.Contains(list, " - ") {
		return
	}
	typed := list[strings.LastIndexAny(list, ", \t")+1:]
	c.span = c.doc.between(c.offset-len(typed), c.offset)
	line := c.doc.File.Point(c.offset).Line
	if c.doc.Plan != nil {
		for _, f := range c.doc.Plan.Findings {
			at := c.doc.Place(f.Primary.Span)
			if plan.Acceptable(f.Rule) && at.File == c.doc.File && at.Start.Line >= line && at.Start.Line <= line+1 {
				c.add(fits, Completion{Label: f.Rule.Code, Kind: CompleteCode, Note: "found here", Key: keyCode + f.Rule.Code})
			}
		}
	}
	for _, r := range plan.Rules() {
		if !plan.Acceptable(r) {
			continue
		}
		c.add(possible, Completion{Label: r.Code, Kind: CompleteCode, Note: r.Summary, Key: keyCode + r.Code})
	}
}

// fields offers what can be read of the value before the dot.
func (c *completer) fields() {
	n := len(c.tokens)
	if n < 2 {
		return
	}
	m := c.receiver(n - 2)
	for _, h := range eval.Handles() {
		if h.Name != m.kind || m.list {
			continue
		}
		for _, a := range h.Attrs {
			item := Completion{Label: a.Name, Kind: CompleteField, Detail: a.Type, Note: a.Doc, Key: keyAttr + h.Name + "." + a.Name}
			if a.Name == "variety" {
				item.Kind, item.Snippet = CompleteFunction, `variety("${1:name}", days_to_maturity = ${2:60})`
			}
			if of := c.part.text(c.tokens[n-2]); h.Name == "site" {
				if v, ok := c.names.frost(of, a.Name); ok {
					item.Note = v.date.Long(c.doc.year())
				}
			}
			c.add(fits, item)
		}
	}
	if m.kind == kindDate && !m.list {
		for _, a := range []string{"year", "month", "day"} {
			c.add(fits, Completion{Label: a, Kind: CompleteField, Detail: "a whole number"})
		}
	}
}

// receiver tells what the value that ends with a token is.
func (c *completer) receiver(i int) meaning {
	t := c.tokens[i]
	switch {
	case t.Kind == syntax.Closer:
		open := opening(c.tokens, i)
		if open == 0 || !isName(c.part, c.tokens[open-1]) {
			return meaning{}
		}
		from := c.part.receiver(c.tokens, open-1)
		return c.names.result(c.doc.File.Text[c.tokens[from].Start:c.tokens[open-1].End], maxHops)
	case i >= 2 && c.part.text(c.tokens[i-1]) == ".":
		return c.names.chain(c.part.text(c.tokens[i-2])+"."+c.part.text(t), maxHops)
	case isName(c.part, t):
		return c.names.meaning(c.part.text(t))
	}
	return meaning{}
}
