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
	required             // an argument that must be given
	possible             // may be the right kind
	made                 // a call that gives the right kind
	unloaded             // fits, but has to be loaded first
	unfit                // the right kind, but full, or out of season
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
	case c.in.Kind == syntax.Number && c.inside:
		if c.offset == c.in.End {
			c.afterNumber(c.offset)
		}
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
	c.names = d.namesAt(c.part, c.offset).before(c.offset)
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

// finish puts the best first, and those that begin with the typed text before those that only hold it,
// and leaves out what the typed text rules out.
func (c *completer) finish() Completions {
	typed := func(i Completion) string {
		start := c.doc.File.Offset(i.Replace.Start)
		return c.doc.File.Text[start:max(start, min(c.offset, c.doc.File.Offset(i.Replace.End)))]
	}
	later := func(i Completion) int {
		if begins(cmp.Or(i.Filter, i.Label), typed(i)) {
			return 0
		}
		return 1
	}
	items := slices.DeleteFunc(c.items, func(i Completion) bool { return !matches(cmp.Or(i.Filter, i.Label), typed(i)) })
	slices.SortStableFunc(items, func(a, b Completion) int {
		return cmp.Or(cmp.Compare(later(a), later(b)), cmp.Compare(a.rank, b.rank), cmp.Compare(a.order, b.order))
	})
	out := Completions{Items: items}
	if len(items) > maxCompletions {
		out.Items, out.More = items[:maxCompletions], true
	}
	return out
}

// begins tells whether a label begins with the typed text, capital or not, quoted or not.
func begins(label, typed string) bool {
	typed = strings.TrimLeft(typed, "\"'`")
	label = strings.TrimLeft(label, "\"'`")
	return len(label) >= len(typed) && strings.EqualFold(label[:len(typed)], typed)
}

// matches tells whether the typed text can be put together from the beginnings of a label's words, in
// their order: "bp" and "bellpep" for bell_pepper, "tom" for cherry_tomato.
func matches(label, typed string) bool {
	typed = strings.ToLower(strings.TrimLeft(typed, "\"'`"))
	if begins(label, typed) {
		return true
	}
	if !wordBegins(label, typed[0]) {
		return false
	}
	words := strings.FieldsFunc(strings.ToLower(label), isBetweenWords)
	return madeOf(words, strings.Join(strings.FieldsFunc(typed, isBetweenWords), ""))
}

// wordBegins tells whether a word of a label may begin with a byte; it saves taking most labels apart.
func wordBegins(label string, first byte) bool {
	if first >= 0x80 || !isNameByte(first) || first == '_' {
		return true
	}
	for i := range len(label) {
		if label[i]|0x20 == first|0x20 || label[i] >= 0x80 {
			if i == 0 || label[i-1] >= 0x80 || !isNameByte(label[i-1]) || label[i-1] == '_' {
				return true
			}
		}
	}
	return false
}

func isBetweenWords(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }

func madeOf(words []string, typed string) bool {
	if typed == "" {
		return true
	}
	for i, word := range words {
		for n := commonPrefix(word, typed); n > 0; n-- {
			if madeOf(words[i+1:], typed[n:]) {
				return true
			}
		}
	}
	return false
}
