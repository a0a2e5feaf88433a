package feature

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Completion is one thing that could stand at the cursor.
type Completion struct {
	Label   string
	Kind    CompletionKind
	Detail  string // behind the label, such as a type
	Note    string // at the right: what it amounts to, such as the room left
	Filter  string // what typed text is held against; the label when empty
	Insert  string // plain text
	Snippet string // the same with places to fill, "${1:name}"; empty when there are none
	Replace source.Span
	Extra   []diag.Edit // elsewhere in the file: the load of a name
	Key     string      // for Document; empty when there is nothing more to say

	rank  rank
	order int
}

// CompletionKind tells what a Completion is.
type CompletionKind uint8

// The kinds of completions.
const (
	CompleteName CompletionKind = iota
	CompleteFunction
	CompleteArgument
	CompleteCrop
	CompleteUnit
	CompleteChoice
	CompleteThing // a plot, row, zone or the like, by its name
	CompleteFile
	CompleteModule
	CompleteKeyword
	CompleteField
	CompleteCode // of a finding
)

// Completions are what could stand at the cursor, best first.
type Completions struct {
	Items []Completion
	More  bool // there are more than were listed: ask again when more is typed
}

// rank orders completions: what fits comes first.
type rank uint8

const (
	fits     rank = iota // the right kind, and there is room, or it is the season
	required             // an argument that must be given, or the right kind but not now
	possible             // the right kind of thing, or may be
	made                 // a call that gives the right kind
	unloaded             // fits, but has to be loaded first
	other                // in scope, of another kind or of none that is known
	last
)

// maxCompletions bounds a list; an editor asks again when more is typed.
const maxCompletions = 200

// Complete gives what could stand at a place.
func (d *Doc) Complete(at source.Point) Completions {
	c := newCompleter(d, at)
	switch {
	case c.in.Kind == syntax.Comment && c.inside:
		c.codes()
	case c.in.Kind == syntax.Text && c.inside:
		c.text()
	case c.in.Kind == syntax.Number && c.inside && c.in.End > c.offset-len(c.typed):
		c.afterNumber(c.in.End)
	case c.before(0) == ".":
		c.fields()
	default:
		c.code()
	}
	return c.finish()
}

// completer gathers completions at one place.
type completer struct {
	doc    *Doc
	part   *Part
	offset int
	tokens []syntax.Token // code that ends before the word being typed
	in     syntax.Token   // the token that the place is in or just behind
	inside bool           // the place is in, or at the end of, in
	typed  string         // the word being typed, up to the place
	span   source.Span    // of typed
	names  *names
	units  bool // the typed word comes just behind a number
	items  []Completion
	seen   map[string]bool
}

func newCompleter(d *Doc, at source.Point) *completer {
	c := &completer{doc: d, part: d.Part(at), offset: d.File.Offset(at), seen: map[string]bool{}}
	for _, t := range c.part.Tokens {
		if t.Start >= c.offset {
			break
		}
		c.in = t
		c.inside = c.offset < t.End || c.offset == t.End && (t.Kind != syntax.Text || !t.Sound)
		if t.Kind != syntax.Comment {
			c.tokens = append(c.tokens, t)
		}
	}
	if c.inside && c.in.Kind == syntax.Word {
		c.typed = d.File.Text[c.in.Start:c.offset]
	}
	if c.inside && len(c.tokens) > 0 && c.in.Kind != syntax.Comment && (c.in.Kind == syntax.Word || c.in.Kind == syntax.Text) {
		c.tokens = c.tokens[:len(c.tokens)-1]
	}
	c.span = d.between(c.offset-len(c.typed), c.offset)
	c.names = d.namesAt(c.part, c.offset)
	return c
}

// before gives the text of a token before the word being typed, 0 for the last one.
func (c *completer) before(n int) string {
	if i := len(c.tokens) - 1 - n; i >= 0 {
		return c.part.text(c.tokens[i])
	}
	return ""
}

// add offers one completion; the first of a label stands.
func (c *completer) add(r rank, item Completion) {
	if c.seen[item.Label] {
		return
	}
	c.seen[item.Label] = true
	if item.Insert == "" {
		item.Insert = item.Label
	}
	if !item.Replace.IsValid() {
		item.Replace = c.span
	}
	item.rank, item.order = r, len(c.items)
	c.items = append(c.items, item)
}

// finish puts the best first and leaves out what the typed text rules out.
func (c *completer) finish() Completions {
	items := slices.DeleteFunc(c.items, func(i Completion) bool {
		typed := i.Replace.Text()
		if cursor := c.doc.File.Offset(i.Replace.Start); cursor+len(typed) > c.offset {
			typed = c.doc.File.Text[cursor:max(cursor, c.offset)]
		}
		return !matches(cmp.Or(i.Filter, i.Label), typed)
	})
	slices.SortStableFunc(items, func(a, b Completion) int {
		return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(a.order, b.order))
	})
	out := Completions{Items: items}
	if len(items) > maxCompletions {
		out.Items, out.More = items[:maxCompletions], true
	}
	return out
}

// matches tells whether the letters of typed stand in a label in their order, the first at the beginning
// of a word.
func matches(label, typed string) bool {
	typed = strings.TrimLeft(typed, `"'`)
	if typed == "" {
		return true
	}
	want := []rune(strings.ToLower(typed))
	previous := ' '
	for i, r := range strings.ToLower(label) {
		begins := !unicode.IsLetter(previous) && !unicode.IsDigit(previous)
		previous = r
		if r == want[0] && begins && follows(strings.ToLower(label)[i:], want) {
			return true
		}
	}
	return false
}

func follows(label string, want []rune) bool {
	for _, r := range label {
		if len(want) > 0 && r == want[0] {
			want = want[1:]
		}
	}
	return len(want) == 0
}
