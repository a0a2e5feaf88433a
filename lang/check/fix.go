package check

import (
	"strings"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/solve"
	"haulm/lang/source"
	"haulm/stdlib/season"
)

// Fixes of this package are offers, never Safe: each changes what the grower will see in the ground.
// They rewrite one argument of the declaration to blame. A call that made several declarations (in a
// loop, or in a function called twice) is left alone: one text cannot be right for one and all.

// change makes an argument say text, or gives no fix where that cannot be done.
func change[T any](p *pass, d *farm.Decl, f *farm.Field[T], name, text, title string) []diag.Fix {
	edits := edit(p, d, f, name, text)
	if edits == nil {
		return nil
	}
	return []diag.Fix{{Title: title, Edits: edits}}
}

// edit gives the edits that make an argument say text; nil where that cannot be done.
func edit[T any](p *pass, d *farm.Decl, f *farm.Field[T], name, text string) []diag.Edit {
	if !p.sole(d) {
		return nil
	}
	if f.Given {
		return rewrite(d.Call, f.Span, text)
	}
	return insert(d.Call, name+" = "+text)
}

// without gives a fix that takes an argument out, or none.
func without[T any](p *pass, d *farm.Decl, f *farm.Field[T], title string) []diag.Fix {
	if !f.Given || !p.sole(d) {
		return nil
	}
	edits := remove(d.Call, f.Span)
	if edits == nil {
		return nil
	}
	return []diag.Fix{{Title: title, Edits: edits}}
}

// dateText is a date as a plan writes it.
func dateText(d season.Date) string { return `"` + d.String() + `"` }

// roundUp and roundDown bring a length to one a grower would write, no shorter or no longer than it.
func (p *pass) roundUp(m float64) float64 { return solve.Up(m, p.units) }

func (p *pass) roundDown(m float64) float64 {
	if v, ok := solve.Down(m, p.units); ok {
		return v
	}
	return m
}

// sole tells whether the declaration's call made no other declaration.
func (p *pass) sole(d *farm.Decl) bool {
	if !d.Call.IsValid() {
		return false
	}
	if p.calls == nil {
		p.calls = make(map[place]int, len(p.farm.Rows)+len(p.farm.Plantings))
		eachDecl(p.farm, func(d *farm.Decl) { p.calls[placeOf(d.Call)]++ })
	}
	return p.calls[placeOf(d.Call)] == 1
}

// eachDecl visits every declaration that has a place in the text, in a fixed order of kinds.
func eachDecl(f *farm.Farm, visit func(*farm.Decl)) {
	for _, x := range f.Sites {
		visit(&x.Decl)
	}
	for _, x := range f.Climates {
		visit(&x.Decl)
	}
	for _, x := range f.Crews {
		visit(&x.Decl)
	}
	for _, x := range f.Sources {
		visit(&x.Decl)
	}
	for _, x := range f.Tapes {
		visit(&x.Decl)
	}
	for _, x := range f.Pipes {
		visit(&x.Decl)
	}
	for _, x := range f.Zones {
		visit(&x.Decl)
	}
	for _, x := range f.SoilTests {
		visit(&x.Decl)
	}
	for _, x := range f.Soils {
		visit(&x.Decl)
	}
	for _, x := range f.Plots {
		visit(&x.Decl)
	}
	for _, x := range f.Histories {
		visit(&x.Decl)
	}
	for _, x := range f.Crops {
		if x.Call.IsValid() {
			visit(&x.Decl)
		}
	}
	for _, x := range f.Rows {
		visit(&x.Decl)
	}
	for _, x := range f.Trellises {
		visit(&x.Decl)
	}
	for _, x := range f.Plantings {
		visit(&x.Decl)
	}
	for _, x := range f.Trays {
		visit(&x.Decl)
	}
	for _, x := range f.Pots {
		visit(&x.Decl)
	}
	if x := f.Nursery; x != nil {
		visit(&x.Decl)
	}
	for _, x := range f.Protectants {
		visit(&x.Decl)
	}
	for _, x := range f.Protects {
		visit(&x.Decl)
	}
	for _, x := range f.Products {
		visit(&x.Decl)
	}
	for _, x := range f.Feeds {
		visit(&x.Decl)
	}
	for _, x := range f.Stocks {
		visit(&x.Decl)
	}
}

// rewrite replaces the text of an argument that stands in the call. An argument spread from a
// dictionary or list (**options) is not the declaration's own, and stays.
func rewrite(call, arg source.Span, text string) []diag.Edit {
	if !within(call, arg) || strings.HasPrefix(arg.Text(), "*") {
		return nil
	}
	return []diag.Edit{{Span: arg, Text: text}}
}

// insert adds a named argument after the call's last: on a line of its own where the last has one.
func insert(call source.Span, text string) []diag.Edit {
	list, ok := argumentsOf(call)
	if !ok || list.spread {
		return nil
	}
	if len(list.args) == 0 {
		return []diag.Edit{list.edit(list.open, list.open, text)}
	}
	last := list.args[len(list.args)-1]
	end := max(last.end, list.comma) // after the comma that trails, if one does
	indent, own := list.indent(last)
	eol := strings.IndexByte(list.text[end:], '\n')
	if !own || eol < 0 {
		if list.comma > 0 {
			return []diag.Edit{list.edit(end, end, " "+text+",")}
		}
		return []diag.Edit{list.edit(end, end, ", "+text)}
	}
	eol += end
	newline := "\n"
	if eol > 0 && list.text[eol-1] == '\r' {
		eol, newline = eol-1, "\r\n"
	}
	line := newline + indent + text + ","
	switch {
	case list.comma > 0:
		return []diag.Edit{list.edit(eol, eol, line)}
	case eol == end:
		return []diag.Edit{list.edit(end, end, ","+line)}
	}
	// A comment stands between the last argument and its line's end.
	return []diag.Edit{list.edit(end, end, ","), list.edit(eol, eol, line)}
}

// remove takes a named argument out of the call, with its comma.
func remove(call, arg source.Span) []diag.Edit {
	list, ok := argumentsOf(call)
	if !ok || !within(call, arg) {
		return nil
	}
	at := call.File.Offset(arg.Start) - list.base
	for i, a := range list.args {
		if at < a.start || at >= a.end || a.name == "" {
			continue
		}
		from, to := a.start, a.end
		switch {
		case i+1 < len(list.args):
			to = list.args[i+1].start
		case i > 0 && !strings.Contains(list.text[list.args[i-1].end:a.start], "#"):
			from = list.args[i-1].end
		default:
			to = max(to, list.comma)
		}
		return []diag.Edit{list.edit(from, to, "")}
	}
	return nil
}

func within(outer, inner source.Span) bool {
	return inner.IsValid() && inner.File == outer.File &&
		!inner.Start.Before(outer.Start) && !outer.End.Before(inner.End)
}
