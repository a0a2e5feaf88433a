package feature

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/lang/syntax"
)

// load offers to load the name at the place, which means nothing yet, from the modules and the plan's own
// files that have it.
func (a *actor) load() {
	offset := a.doc.File.Offset(a.in.Start)
	tok, i, code := a.part.tokenAt(offset)
	if !isName(a.part, tok) || i > 0 && a.part.text(code[i-1]) == "." {
		return
	}
	name := a.part.text(tok)
	names := a.doc.namesAt(a.part, offset)
	if names.named(name) != nil || known(name) || a.isKey(tok) {
		return
	}
	for _, m := range eval.Modules() {
		if slices.Contains(m.Names, name) {
			a.offerLoad(m.Name, name)
		}
	}
	if a.doc.Plan == nil {
		return
	}
	for _, f := range a.doc.Plan.Files {
		b := a.doc.topOf(f.Path).named(name)
		if f.Path == a.doc.File.Path || b == nil || b.kind == loaded || strings.HasPrefix(name, "_") ||
			a.doc.reaches(f.Path, map[string]bool{}) {
			continue
		}
		a.offerLoad(relative(a.doc.File.Path, f.Path), name)
	}
}

// isKey tells whether a word names an argument.
func (a *actor) isKey(tok syntax.Token) bool {
	call := a.part.Call(tok.Start)
	return call != nil && isArgumentName(call, a.doc.File.Point(tok.Start))
}

func (a *actor) offerLoad(module, name string) {
	a.add(Action{
		Title: fmt.Sprintf("Load %s from %q", name, module), Kind: ActionFix,
		Edits: []diag.Edit{a.doc.LoadEdit(module, name)}, Finding: a.unknown(),
	})
}

// unknown gives the finding that a fix at the place is of, nil for none.
func (a *actor) unknown() *diag.Diagnostic {
	if a.doc.Plan == nil {
		return nil
	}
	for i := range a.doc.Plan.Findings {
		f := &a.doc.Plan.Findings[i]
		if f.Code() != "unknown-name" || f.Primary.Span.File.Path != a.doc.File.Path {
			continue
		}
		if now, ok := a.doc.Now(f.Primary.Span); ok && meet(now, a.in) {
			return f
		}
	}
	return nil
}
