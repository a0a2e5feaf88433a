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
)

// maxHint is how many characters a hint may have: more would push the plan's own text out of sight.
const maxHint = 40

// Hints gives the hints in the statements that a stretch touches, of the kinds to show, in the order of
// the text.
func (d *Doc) Hints(in source.Span, show func(HintKind) bool) []Hint {
	h := &hinter{doc: d, show: show, past: d.past()}
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
	show  func(HintKind) bool
	past  *past
	hints []Hint
}

// part adds the hints of one statement.
func (h *hinter) part(p *Part) {
	calls := p.Calls()
	if len(calls) == 0 {
		return
	}
	if h.show(HintDates) {
		for _, c := range calls {
			h.days(p, c)
		}
	}
	facts := h.past.of(p, calls)
	for i, c := range calls {
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
	for _, hint := range []Hint{h.counts(things), h.feetLeft(things, facts), h.dates(things)} {
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

// past finds what statements of the text now declared when the plan was last evaluated.
type past struct {
	doc   *Doc
	old   *source.File
	from  int           // where to look in the old text for a statement that was edited around
	pairs map[int]*Part // statements of the old text by the offsets of those now that they have become
	ready bool          // pairs is there
}

func (d *Doc) past() *past { return &past{doc: d, old: d.Plan.File(d.File.Path)} }

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

// of finds a statement in the old text: at its place when nothing was edited there, by its text when it
// stands between edits, and else as the one that it has become.
func (o *past) of(p *Part, calls []*Call) *pastPart {
	f := &pastPart{plan: o.doc.Plan}
	code := p.code()
	if o.old == nil || len(code) == 0 {
		return f
	}
	start, end := code[0].Start, code[len(code)-1].End
	then, fresh := o.doc.Evaluated(p.span(start, end))
	at := -1
	if fresh {
		at = o.old.Offset(then.Start)
	} else if n := o.find(p.File.Text[start:end]); n >= 0 {
		at = n
	}
	if at >= 0 {
		by := at - start
		f.span = o.old.Span(at, end+by)
		for _, c := range calls {
			f.calls = append(f.calls, o.old.Span(p.File.Offset(c.Span.Start)+by, p.File.Offset(c.Span.End)+by))
		}
		return f
	}
	f.stale = true
	was := o.became(p)
	if was == nil {
		return f
	}
	f.span = was.span(was.Start, was.End)
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

// find looks for a statement's text in what was edited of the old text, and gives where it begins, -1 for
// nowhere.
func (o *past) find(text string) int {
	s := o.doc.shift()
	old := o.old.Text
	from := max(beginOfLine(old, min(s.head, len(old))), o.from)
	to := endOfLine(old, len(old)-s.tail)
	for from < to {
		n := strings.Index(old[from:to], text)
		if n < 0 {
			return -1
		}
		at, end := from+n, from+n+len(text)
		if beginOfLine(old, at) == at && (end == len(old) || strings.IndexByte(" \t\r\n#", old[end]) >= 0) {
			o.from = end
			return at
		}
		from = at + 1
	}
	return -1
}

// maxEdited bounds the lines of an edit within which statements are told from each other.
const maxEdited = 200

// became gives the statement of the old text that one now has become: the one at the same number among as
// many that the edits since lie in, if it begins with the same word.
func (o *past) became(p *Part) *Part {
	if !o.ready {
		o.ready, o.pairs = true, map[int]*Part{}
		s := o.doc.shift()
		before, after := editedParts(o.old, s.head, s.tail), editedParts(o.doc.File, s.head, s.tail)
		if len(before) == len(after) {
			for i := range after {
				o.pairs[after[i].Start] = before[i]
			}
		}
	}
	was := o.pairs[p.Start]
	if was == nil || firstWord(was) != firstWord(p) {
		return nil
	}
	return was
}

func editedParts(f *source.File, head, tail int) []*Part {
	first, last := int(f.Point(head).Line), int(f.Point(len(f.Text)-tail).Line)
	if last-first > maxEdited {
		return nil
	}
	return partAt(f, first, last+1).split()
}

func firstWord(p *Part) string {
	for _, t := range p.Tokens {
		if t.Kind != syntax.Comment {
			return p.text(t)
		}
	}
	return ""
}
