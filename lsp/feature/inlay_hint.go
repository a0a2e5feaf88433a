package feature

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"haulm/lang/eval"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Hint is a few words behind a call, or a value, that say what it comes to.
type Hint struct {
	At    source.Point
	Kind  HintKind
	Label string // at most 40 characters
	Tip   string // Markdown: how it was reckoned
	Stale bool   // worked out before the statement was edited; the label says so
}

// HintKind is what a Hint tells, by the name of the setting that switches it.
type HintKind string

// The kinds of hints that there are facts for.
const (
	HintCounts   HintKind = "counts"
	HintFeetLeft HintKind = "feetLeft"
	HintDates    HintKind = "dates"
	HintFlow     HintKind = "flow"
	HintNeed     HintKind = "need"
	HintFood     HintKind = "food"
)

// maxHint is how many characters a hint may have: more would push the plan's own text out of sight.
const maxHint = 40

// Hints gives the hints of the calls that lines of a stretch touch, of the kinds to show, in the order of the
// text.
func (d *Doc) Hints(in source.Span, show func(HintKind) bool) []Hint {
	h := &hinter{doc: d, in: in, show: show}
	for _, p := range d.within(in) {
		h.part(p)
	}
	slices.SortStableFunc(h.hints, func(a, b Hint) int {
		return cmp.Or(cmp.Compare(a.At.Line, b.At.Line), cmp.Compare(a.At.Col, b.At.Col))
	})
	return h.hints
}

type hinter struct {
	doc   *Doc
	in    source.Span
	show  func(HintKind) bool
	hints []Hint
}

// touches tells whether a call stands on lines that hints are asked for.
func (h *hinter) touches(c *Call) bool {
	return c.Span.Start.Line <= h.in.End.Line && h.in.Start.Line <= c.Span.End.Line
}

// part adds the hints of one statement.
func (h *hinter) part(p *Part) {
	calls := p.Calls()
	if len(calls) == 0 {
		return
	}
	if h.show(HintDates) {
		for _, c := range calls {
			if h.touches(c) {
				h.days(p, c)
			}
		}
	}
	facts := h.doc.past(p, calls)
	for i, c := range calls {
		if !h.touches(c) {
			continue
		}
		if things := facts.things(i); len(things) > 0 {
			h.call(c, things, facts)
		}
	}
}

// days says which day an expression for one comes to, such as here.last_frost + 2 * weeks.
func (h *hinter) days(p *Part, c *Call) {
	b := c.Builtin()
	for i, a := range c.Args {
		text := a.Value.Text()
		if !strings.Contains(text, "_frost") {
			if b == nil || text == "" || text[0] == '"' || text[0] == '\'' {
				continue
			}
			if param := c.Param(b, i); param == nil || param.Type.Kind != eval.KindDate {
				continue
			}
		}
		start, end := p.File.Offset(a.Value.Start), p.File.Offset(a.Value.End)
		value, ok := h.doc.namesAt(p, start).before(start).amount(p.File, start, end)
		if ok && value.date.IsSet() {
			h.add(Hint{At: a.Value.End, Kind: HintDates, Label: value.date.Long(h.doc.year()), Tip: h.doc.amountText(value)})
		}
	}
}

// call says what a call comes to, with what a helper it calls declares only when it declares nothing
// itself.
func (h *hinter) call(c *Call, things []Thing, facts *pastPart) {
	if slices.ContainsFunc(things, func(t Thing) bool { return !t.Through }) {
		things = slices.DeleteFunc(slices.Clone(things), func(t Thing) bool { return t.Through })
	}
	for _, hint := range []Hint{h.counts(things), h.feetLeft(things, facts), h.dates(things), h.flow(things), h.need(things), h.gear(things), h.sprayed(things), h.food(things), h.work(things), h.recorded(things)} {
		if hint.Label != "" && h.show(hint.Kind) {
			hint.At, hint.Stale = c.Span.End, facts.stale
			h.add(hint)
		}
	}
}

func (h *hinter) add(hint Hint) {
	if hint.Stale {
		hint.Label = "was " + hint.Label
	}
	if utf8.RuneCountInString(hint.Label) <= maxHint {
		h.hints = append(h.hints, hint)
	}
}

// shortest gives the first of several ways to say a thing that a hint has room for, "" for none.
func shortest(ways ...string) string {
	for _, way := range ways {
		if utf8.RuneCountInString("was "+way) <= maxHint {
			return way
		}
	}
	return ""
}

// pastPart is a statement as it was when the plan was last evaluated.
type pastPart struct {
	plan  *Plan
	calls []source.Span // of the old text, one for each call now; no place for those that were not there
	span  source.Span   // of the whole statement in the old text
	stale bool          // it was edited since
}

func (f *pastPart) things(call int) []Thing {
	if call >= len(f.calls) {
		return nil
	}
	return f.plan.Things(f.calls[call])
}

// past finds a statement in the text last evaluated: as it is, or as the one that it has been made of, if
// that begins with the same word. Calls of one name are then taken for each other in their order.
func (d *Doc) past(p *Part, calls []*Call) *pastPart {
	f := &pastPart{plan: d.Plan}
	old, code := d.Plan.File(d.File.Path), p.code()
	if old == nil || len(code) == 0 {
		return f
	}
	start, end := code[0].Start, code[len(code)-1].End
	then, fresh := d.Evaluated(p.span(start, end))
	f.span, f.stale = then, !fresh
	if fresh {
		by := old.Offset(then.Start) - start
		for _, c := range calls {
			f.calls = append(f.calls, old.Span(p.File.Offset(c.Span.Start)+by, p.File.Offset(c.Span.End)+by))
		}
		return f
	}
	if !then.IsValid() {
		return f
	}
	was := partAt(old, int(then.Start.Line), int(then.Start.Line)+1)
	if firstWord(was) != firstWord(p) {
		return f
	}
	seen := map[string]int{}
	before := was.Calls()
	for _, c := range calls {
		f.calls = append(f.calls, nth(before, c.Name, seen[c.Name]))
		seen[c.Name]++
	}
	return f
}

// nth gives the place of the n-th call of a name, from 0.
func nth(calls []*Call, name string, n int) source.Span {
	for _, c := range calls {
		if c.Name != name {
			continue
		}
		if n == 0 {
			return c.Span
		}
		n--
	}
	return source.Span{}
}

func firstWord(p *Part) string {
	for _, t := range p.Tokens {
		if t.Kind != syntax.Comment {
			return p.text(t)
		}
	}
	return ""
}
