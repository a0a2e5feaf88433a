package eval

import (
	"fmt"
	"path"
	"strconv"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/stdlib/crops"

	"go.starlark.net/resolve"
	"go.starlark.net/starlark"
	star "go.starlark.net/syntax"
)

// loadEdit adds a name to the load of its module, or a load at the head of the file.
func loadEdit(p *prepared, module, name string) (diag.Edit, string) {
	title := fmt.Sprintf("Load %s from %q", name, module)
	for _, s := range p.loads {
		if s.ModuleName() == module {
			return p.addLoaded(s, -1, strconv.Quote(name)), title
		}
	}
	at := source.Point{Line: 1, Col: 1}
	if len(p.stmts) > 0 {
		start, _ := p.stmts[0].Span()
		at = pointOf(start)
	}
	return diag.Edit{Span: source.Span{File: p.file, Start: at, End: at},
		Text: fmt.Sprintf("load(%q, %q)\n", module, name)}, title
}

// addLoaded puts a name behind the last of a load that has no name of its own, or behind all of them if
// but gives one to leave out of account.
func (p *prepared) addLoaded(s *star.LoadStmt, but int, text string) diag.Edit {
	at := p.span(s.Module).End
	for i := range s.From {
		if i == but || but < 0 && isAliased(s, i) {
			continue
		}
		at = p.loadedSpan(s, i).End
	}
	return diag.Edit{Span: source.Span{File: p.file, Start: at, End: at}, Text: ", " + text}
}

// isAliased tells whether a load writes name = "name" for one of its names.
func isAliased(s *star.LoadStmt, i int) bool { return s.To[i].NamePos != s.From[i].NamePos }

// loadedSpan is the whole of what a load says of one name: "beet", or red = "beet".
func (p *prepared) loadedSpan(s *star.LoadStmt, i int) source.Span {
	span := p.span(s.From[i])
	span.Start.Col--
	span.End.Col++
	if isAliased(s, i) {
		span.Start = p.span(s.To[i]).Start
	}
	return span
}

// removeLoaded takes one name out of a load, with the comma that joins it to another, or the whole load
// if there is no other.
func (p *prepared) removeLoaded(s *star.LoadStmt, i int) diag.Edit {
	span := p.loadedSpan(s, i)
	switch {
	case len(s.From) == 1:
		span = p.span(s)
		line := p.file.Line(int(span.End.Line))
		if span.Start.Col == 1 && strings.TrimSpace(string([]rune(line)[span.End.Col-1:])) == "" && int(span.End.Line) < p.file.Lines() {
			span.End = source.Point{Line: span.End.Line + 1, Col: 1}
		}
	case i+1 < len(s.From):
		span.End = p.loadedSpan(s, i+1).Start
	default:
		span.Start = p.loadedSpan(s, i-1).End
	}
	return diag.Edit{Span: span}
}

// moduleMeant gives the module that a load means by a name of none: one nearly called so, or one that
// offers what is to be loaded. It gives "" for none.
func moduleMeant(name string, stmt *star.LoadStmt) string {
	var names []string
	for _, m := range Modules() {
		names = append(names, m.Name)
	}
	if near := Nearest(strings.TrimSuffix(path.Base(name), ".star"), names); near != "" {
		return near
	}
	meant := ""
	for _, from := range stmt.From {
		module, ok := moduleOffering(from.Name)
		if !ok || meant != "" && module != meant {
			return ""
		}
		meant = module
	}
	return meant
}

// noneToLoad reports a name that a module does not offer.
func (ev *evaluator) noneToLoad(p *prepared, stmt *star.LoadStmt, i int, module string, dict starlark.StringDict) *found {
	name := stmt.From[i].Name
	f := finding(unknownName, p.span(stmt.From[i]), "%s has no %s", module, name)
	near, sure := ev.offered(module, name, dict)
	switch {
	case near != "":
		f.help("did you mean %s?", near)
		p.loadInstead(f, stmt, i, near, sure)
	case module == cropModule:
		f.help("`haulm doc crops` lists the crops there are; for another, write your own: crop(%q, family = ...)", name)
	}
	return f
}

// offered finds what a module offers under a name that is nearly its own, or, for sure, one that a crop
// also goes by.
func (ev *evaluator) offered(module, name string, dict starlark.StringDict) (near string, sure bool) {
	if crop, ok := crops.Named(name); ok && module == cropModule {
		return crop.Ident, true
	}
	return ev.nearest(name, dict.Keys()), false
}

// loadInstead offers to load another name in the place of one that is not there, and keeps what the file
// does with that one.
func (p *prepared) loadInstead(f *found, stmt *star.LoadStmt, i int, near string, sure bool) {
	if isAliased(stmt, i) {
		f.fix(sure, "Load "+near, diag.Edit{Span: p.span(stmt.From[i]), Text: near})
		return
	}
	name := stmt.To[i].Name
	uses := p.usesOf(name)
	if p.isLoaded(stmt, i, near) {
		edits := []diag.Edit{p.removeLoaded(stmt, i)}
		for _, at := range uses {
			edits = append(edits, diag.Edit{Span: at, Text: near})
		}
		f.fix(sure, fmt.Sprintf("Take %q out: %s is loaded already", name, near), edits...)
		return
	}
	text := strconv.Quote(near)
	if len(uses) > 0 {
		text = name + " = " + text
	}
	if len(uses) > 0 && i+1 < len(stmt.From) { // names with another of their own come last
		f.fix(sure, "Load "+text, p.removeLoaded(stmt, i), p.addLoaded(stmt, i, text))
		return
	}
	f.fix(sure, "Load "+text, diag.Edit{Span: p.loadedSpan(stmt, i), Text: text})
}

// isLoaded tells whether the module of a load gives the file a name already, or would as soon as the
// names before one of the load are mended.
func (p *prepared) isLoaded(stmt *star.LoadStmt, i int, name string) bool {
	for _, s := range p.loads {
		if s.ModuleName() != stmt.ModuleName() {
			continue
		}
		for j, from := range s.From {
			crop, ok := crops.Named(from.Name)
			if from.Name == name || s == stmt && j < i && ok && crop.Ident == name {
				return true
			}
		}
	}
	return false
}

// usesOf finds where a file uses a name that it binds.
func (p *prepared) usesOf(name string) []source.Span {
	var found []source.Span
	for _, s := range p.stmts {
		star.Walk(s, func(n star.Node) bool {
			if _, ok := n.(*star.LoadStmt); ok {
				return false
			}
			if id, ok := n.(*star.Ident); ok && id.Name == name {
				if b, ok := id.Binding.(*resolve.Binding); ok && b.First != nil {
					found = append(found, p.span(id))
				}
			}
			return true
		})
	}
	return found
}
