// Package next begins the plan of a year from the plan of the year before. In go the earlier plan and the place of
// the new one; out comes the new plan's text, checked.
//
// The earlier plan is evaluated, and its calls, with their values as they were understood, are written again as flat
// text: no helper functions, no files of its own but what it looks back to. On the way the year and the dates move
// on, what happened is left out, and families move to other ground.
//
// draft.go takes a plan apart and says what becomes of each call; write.go, ground.go, names.go and value.go write
// the text; layout.go says where things go, and rotate.go finds the layout that the checks like best.
package next

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/lang/format"
	"haulm/lang/plan"
	"haulm/lang/source"
)

// Options of a new plan.
type Options struct {
	Year  int    // that it is for; the one after the earlier plan's when 0
	At    string // path of its first file from the root
	Apart bool   // it has no root in common with the earlier plan, and says by history what grew

	// Over gives the root's files with a text laid over one of them, or beside them.
	Over func(name, text string) fs.FS
}

// Plan is a new plan.
type Plan struct {
	Text     string
	From     int            // year of the plan that it is begun from
	Snapshot *plan.Snapshot // of Text
}

// Begin writes the plan that follows the plan at entry. It fails when that cannot be read or has errors, when the
// year wanted is not a later one, and when the new text would have errors or cannot be laid out.
func Begin(ctx context.Context, fsys fs.FS, entry string, o Options) (*Plan, error) {
	old := plan.Check(ctx, fsys, entry)
	if old.Trouble != nil {
		return nil, old.Trouble
	}
	if n := errorsIn(old.Findings); n > 0 {
		return nil, fmt.Errorf("it has %s; `haulm check` shows them, and the next plan can begin when the errors are mended", diag.Tally(old.Findings))
	}
	result, calls := eval.Trace(ctx, fsys, entry)
	from := result.Farm.Year.Value
	if o.Year == 0 {
		o.Year = from + 1
	}
	if o.Year <= from {
		return nil, fmt.Errorf("it is the plan of %d, and the new one would be for %d; name a later year with --year", from, o.Year)
	}
	facts := derive.Derive(result.Farm)
	d := newDraft(facts, calls, o.Year-from)
	d.at = o.At
	d.setHeader()
	if o.Apart {
		d.tellHistory(facts)
	} else {
		d.previous = d.folder(entry)
	}
	s := &search{draft: d, ctx: ctx, o: o}
	best := s.find()
	d.accept(old)
	d.acceptStaying()
	s.tell(best)
	text, err := s.settled(best)
	if err != nil {
		return nil, err
	}
	p := &Plan{Text: text, From: from, Snapshot: plan.Check(ctx, o.Over(o.At, text), o.At)}
	if ctx.Err() != nil {
		return nil, errors.New("stopped before the new plan was whole")
	}
	if n := errorsIn(p.Snapshot.Findings); n > 0 {
		return nil, fmt.Errorf("what it says does not hold for %d: %s", o.Year, diag.Sort(p.Snapshot.Findings)[0].Message)
	}
	return p, nil
}

func errorsIn(findings []diag.Diagnostic) int {
	n := 0
	for _, f := range findings {
		if f.Rule.Severity == diag.Error {
			n++
		}
	}
	return n
}

// accept takes along the comments that accept findings: to every call in whose text the finding was.
func (d *draft) accept(old *plan.Snapshot) {
	said := map[*eval.Call]map[string]bool{}
	for _, a := range old.Accepted {
		var at source.Span
		var calls []*eval.Call
		for _, c := range d.calls {
			if !holds(c.At, a.Finding.Primary.Span) || d.isOut(c) {
				continue
			}
			if len(calls) > 0 && !same(c.At, at) {
				if holds(c.At, at) {
					continue // a wider call around it
				}
				calls = nil
			}
			at = c.At
			calls = append(calls, c)
		}
		for _, c := range calls {
			for d.inlined(c) {
				c = d.user(c)
			}
			if said[c] == nil {
				said[c] = map[string]bool{}
			}
			if code := a.Finding.Rule.Code; !said[c][code] {
				said[c][code] = true
				d.accepts[c] = append(d.accepts[c], accept{code, a.Accept.Reason})
			}
		}
	}
}

// user is the call that speaks of what an inlined one gave.
func (d *draft) user(c *eval.Call) *eval.Call {
	return d.calls[slices.IndexFunc(d.calls, func(u *eval.Call) bool {
		return slices.ContainsFunc(u.Args, func(a eval.Arg) bool { return slices.Contains(a.Things, c.Gave[0]) })
	})]
}

// acceptStaying accepts that crops that stand for years stand on the ground of their own family.
func (d *draft) acceptStaying() {
	for _, c := range d.calls {
		if p, ok := onlyGave[*farm.Planting](c); ok && stays(p) &&
			!slices.ContainsFunc(d.accepts[c], func(a accept) bool { return a.code == tooSoon }) {
			d.accepts[c] = append(d.accepts[c], accept{tooSoon, "the same plants stand on"})
		}
	}
}

// holds tells whether one span, of the same file as read another time, lies within another.
func holds(outer, inner source.Span) bool {
	return outer.IsValid() && inner.IsValid() && outer.File.Path == inner.File.Path &&
		!inner.Start.Before(outer.Start) && !outer.End.Before(inner.End)
}

func same(a, b source.Span) bool { return holds(a, b) && holds(b, a) }

// settled lays the text of a layout out, without the accept comments that nothing needs.
func (s *search) settled(l *layout) (string, error) {
	t := s.write(l)
	if len(t.notes) > 0 {
		stale := map[int]bool{}
		for _, f := range s.check(t).Findings {
			if f.Rule.Code == "stale-accept" {
				stale[int(f.Primary.Span.Start.Line)-1] = true
			}
		}
		needed := map[*eval.Call]map[string]bool{}
		for _, n := range t.notes {
			if needed[n.call] == nil {
				needed[n.call] = map[string]bool{}
			}
			needed[n.call][n.code] = needed[n.call][n.code] || !stale[n.line]
		}
		for c, list := range s.accepts {
			var kept []accept
			for _, a := range list {
				if needed[c][a.code] {
					kept = append(kept, a)
				}
			}
			s.accepts[c] = kept
		}
		t = s.write(l)
	}
	return format.Format(source.New(s.o.At, tidy(t.string)))
}

// tidy leaves one empty line where there are more.
func tidy(text string) string {
	for strings.Contains(text, "\n\n\n") {
		text = strings.ReplaceAll(text, "\n\n\n", "\n\n")
	}
	return strings.TrimSpace(text) + "\n"
}
