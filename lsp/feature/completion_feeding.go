package feature

import (
	"slices"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/stdlib/feeding"
)

// labs offers the laboratories whose tables rate a soil test, first those that use the extractant of the call.
func (c *completer) labs(w want, content source.Span) {
	method := ""
	for _, a := range w.call.Args {
		if a.Name == "method" {
			method = unquoted(a.Value.Text())
		}
	}
	for _, r := range [...]rank{fits, unfit} {
		for _, lab := range feeding.Labs() {
			main := slices.Contains(lab.Nutrients, feeding.P) || slices.Contains(lab.Nutrients, feeding.K)
			if main && (r == fits) == (method == "" || lab.Method == method) {
				c.add(r, Completion{Label: lab.Name, Kind: CompleteChoice, Detail: lab.Method, Note: lab.Title, Replace: content})
			}
		}
	}
}

// materials offers the generic products whose figures a table has.
func (c *completer) materials(content source.Span) {
	for _, m := range feeding.Materials() {
		item := Completion{Label: m.Name, Kind: CompleteChoice, Replace: content}
		if m.AnalysisSource.Title != "" {
			item.Note = derive.Analysis(&farm.Product{Analysis: farm.Field[feeding.Nutrients]{Value: m.Analysis}})
		}
		c.add(fits, item)
	}
}

// wareNames offers what the plan's shopping list has, by the names that it goes by there.
func (c *completer) wareNames(content source.Span) {
	if c.doc.Plan == nil || c.doc.Plan.Facts == nil {
		return
	}
	var names []string
	for _, p := range c.doc.Plan.Facts.Shopping().Wares {
		names = append(names, p.Ware.Name)
	}
	slices.Sort(names)
	for _, name := range slices.Compact(names) {
		c.add(possible, Completion{Label: name, Kind: CompleteThing, Note: "on the shopping list", Replace: content})
	}
}
