package feature

import (
	"fmt"
	"slices"

	"haulm/lang/diag"
	"haulm/lang/plan"
	"haulm/lang/source"
)

// Action is a change of the text that is offered at a place.
type Action struct {
	Title     string
	Kind      ActionKind
	Edits     []diag.Edit      // of this file's text now, and of other files' texts as last evaluated
	Finding   *diag.Diagnostic // that it is about, as the evaluation gave it; nil for none
	Preferred bool             // what to do when nobody chooses
}

// ActionKind is what an Action is for, by the word that editors know.
type ActionKind string

// The kinds of actions.
const (
	ActionFix     ActionKind = "quickfix"
	ActionRewrite ActionKind = "refactor.rewrite"
	ActionExtract ActionKind = "refactor.extract"
	ActionFixAll  ActionKind = "source.fixAll"
)

// Actions gives what can be done where a stretch is: what mends or accepts each finding there, then values
// worked out for the planting, other units, loads and loops.
func (d *Doc) Actions(in source.Span) []Action {
	a := &actor{doc: d, in: in, part: d.Part(in.Start)}
	a.findings()
	a.load()
	a.solved()
	a.units()
	a.loop()
	return a.actions
}

// actor gathers the actions at one place.
type actor struct {
	doc     *Doc
	in      source.Span
	part    *Part
	actions []Action
}

// add offers an action, unless one offered before makes the same change.
func (a *actor) add(action Action) {
	if !slices.ContainsFunc(a.actions, func(b Action) bool {
		return b.Title == action.Title || slices.EqualFunc(b.Edits, action.Edits, func(x, y diag.Edit) bool {
			return x.Text == y.Text && x.Span.Compare(y.Span) == 0
		})
	}) {
		a.actions = append(a.actions, action)
	}
}

// findings offers the fixes of the findings at the place, the safe ones first, then to accept them.
func (a *actor) findings() {
	if a.doc.Plan == nil {
		return
	}
	var found []*diag.Diagnostic
	for i := range a.doc.Plan.Findings {
		f := &a.doc.Plan.Findings[i]
		if f.Primary.Span.File == nil || f.Primary.Span.File.Path != a.doc.File.Path {
			continue
		}
		if now, ok := a.doc.Now(f.Primary.Span); ok && meet(now, a.in) {
			found = append(found, f)
		}
	}
	for _, safe := range []bool{true, false} {
		for _, f := range found {
			for i, fix := range f.Fixes {
				if edits, ok := a.doc.editsNow(fix.Edits); ok && fix.Safe == safe {
					a.add(Action{Title: fix.Title, Kind: ActionFix, Edits: edits, Finding: f, Preferred: fix.Safe && i == 0})
				}
			}
		}
	}
	for _, f := range found {
		if plan.Acceptable(f.Rule) {
			a.accept(f)
		}
	}
}

// meet tells whether two stretches touch.
func meet(a, b source.Span) bool { return !a.End.Before(b.Start) && !b.End.Before(a.Start) }

// editsNow puts edits where their places are now; false when one of them has been edited since. Those of
// other files stay as they are.
func (d *Doc) editsNow(edits []diag.Edit) ([]diag.Edit, bool) {
	out := make([]diag.Edit, 0, len(edits))
	for _, e := range edits {
		if e.Span.File != nil && e.Span.File.Path == d.File.Path {
			now, ok := d.Now(e.Span)
			if !ok {
				return nil, false
			}
			e.Span = now
		}
		out = append(out, e)
	}
	return out, len(out) > 0
}

// FixAll makes every safe change in the file at once; false when there is none to make.
func (d *Doc) FixAll() (Action, bool) {
	if d.Plan == nil {
		return Action{}, false
	}
	var here []diag.Diagnostic
	for _, f := range d.Plan.Findings {
		f.Fixes = slices.DeleteFunc(slices.Clone(f.Fixes), func(fix diag.Fix) bool { return !d.mendsHere(fix) })
		if len(f.Fixes) > 0 {
			here = append(here, f)
		}
	}
	_, applied := diag.ApplySafe(here)
	action := Action{Kind: ActionFixAll, Title: "Make the safe change"}
	for _, one := range applied {
		edits, _ := d.editsNow(one.Fix.Edits)
		for _, e := range edits {
			if !slices.Contains(action.Edits, e) {
				action.Edits = append(action.Edits, e)
			}
		}
	}
	if len(applied) > 1 {
		action.Title = fmt.Sprintf("Make all %d safe changes", len(applied))
	}
	return action, len(applied) > 0
}

// mendsHere tells whether a fix changes this file only, and only what was not edited since.
func (d *Doc) mendsHere(fix diag.Fix) bool {
	if slices.ContainsFunc(fix.Edits, func(e diag.Edit) bool { return e.Span.File == nil || e.Span.File.Path != d.File.Path }) {
		return false
	}
	_, ok := d.editsNow(fix.Edits)
	return ok && fix.Safe
}
