package feature

import (
	"slices"
	"strings"

	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"
)

// SemanticToken is a stretch of one line with what it is.
type SemanticToken struct {
	Span source.Span
	Type TokenType
	Mods TokenMods
}

// TokenType is an index in TokenTypes.
type TokenType uint8

// The types of tokens.
const (
	TokenKeyword TokenType = iota
	TokenComment
	TokenText
	TokenNumber
	TokenOperator
	TokenVariable
	TokenFunction
	TokenParameter
	TokenProperty
	TokenMethod
	TokenUnit
)

// TokenMods are bits, in the order of TokenModifiers.
type TokenMods uint8

// What may be said of a token beside its type.
const (
	Declares TokenMods = 1 << iota // gives a name its meaning
	BuiltIn                        // the language has it
)

// TokenTypes lists the types by the names that editors know them by.
func TokenTypes() []string {
	return []string{
		"keyword", "comment", "string", "number", "operator", "variable", "function", "parameter", "property", "method",
		"enumMember",
	}
}

// TokenModifiers lists what TokenMods say by the names that editors know.
func TokenModifiers() []string { return []string{"declaration", "defaultLibrary"} }

// SemanticTokens gives the tokens of the whole file, in order.
func (d *Doc) SemanticTokens() []SemanticToken { return d.painted(d.whole().split()) }

// SemanticTokensIn gives the tokens on the lines of a stretch.
func (d *Doc) SemanticTokensIn(in source.Span) []SemanticToken {
	return slices.DeleteFunc(d.painted(d.within(in)), func(t SemanticToken) bool {
		return t.Span.Start.Line < in.Start.Line || in.End.Line < t.Span.Start.Line
	})
}

func (d *Doc) painted(parts []*Part) []SemanticToken {
	var out []SemanticToken
	for _, p := range parts {
		c := newPainter(d, p)
		i := 0
		for _, t := range p.Tokens {
			if t.Kind == syntax.Comment {
				c.lines(t, TokenComment)
				continue
			}
			c.paint(t, i)
			i++
		}
		out = append(out, c.out...)
	}
	return out
}

// painter tells what the tokens of one part are.
type painter struct {
	part  *Part
	code  []syntax.Token
	calls []bool // of the brackets around the token, whether each is a call's
	names *names
	binds map[int]bool // offsets of the names that get their meaning there
	out   []SemanticToken
}

func newPainter(d *Doc, p *Part) *painter {
	c := &painter{part: p, code: p.code(), names: d.namesAt(p, p.End), binds: map[int]bool{}}
	for _, b := range p.bindings() {
		c.binds[b.at] = true
	}
	return c
}

func (c *painter) text(i int) string {
	if i < 0 || i >= len(c.code) {
		return ""
	}
	return c.part.text(c.code[i])
}

func (c *painter) add(t syntax.Token, typ TokenType, mods TokenMods) {
	c.out = append(c.out, SemanticToken{c.part.span(t.Start, t.End), typ, mods})
}

// lines adds a token line by line.
func (c *painter) lines(t syntax.Token, typ TokenType) {
	text := c.part.File.Text
	for from := t.Start; from < t.End; {
		to := min(endOfLine(text, from), t.End)
		if to > from {
			c.out = append(c.out, SemanticToken{c.part.span(from, to), typ, 0})
		}
		for from = to; from < t.End && (text[from] == '\n' || text[from] == '\r'); {
			from++
		}
	}
}

func (c *painter) paint(t syntax.Token, i int) {
	switch t.Kind {
	case syntax.Text:
		c.lines(t, TokenText)
	case syntax.Number:
		c.add(t, TokenNumber, 0)
	case syntax.Word:
		typ, mods := c.word(i)
		c.add(t, typ, mods)
	case syntax.Opener:
		c.calls = append(c.calls, c.text(i) == "(" && i > 0 && isCallee(c.code, i-1, c.part))
	case syntax.Closer:
		c.calls = c.calls[:max(len(c.calls)-1, 0)]
	case syntax.Sign:
		if !strings.Contains(",.:;", c.text(i)) {
			c.add(t, TokenOperator, 0)
		}
	}
}

// word tells what a word is by where it stands, then by what it means.
func (c *painter) word(i int) (TokenType, TokenMods) {
	text, previous, next := c.text(i), c.text(i-1), c.text(i+1)
	switch {
	case syntax.IsKeyword(text):
		return TokenKeyword, 0
	case previous == ".":
		if next == "(" {
			return TokenMethod, 0
		}
		return TokenProperty, 0
	case previous == "def":
		return TokenFunction, Declares
	case next == "=" && !c.binds[c.code[i].Start] && len(c.calls) > 0 && c.calls[len(c.calls)-1]:
		return TokenParameter, 0
	}
	return c.meaning(text, c.code[i].Start)
}

func (c *painter) meaning(text string, at int) (TokenType, TokenMods) {
	b := c.names.named(text)
	if b == nil {
		return outsideToken(text)
	}
	mods := TokenMods(0)
	if c.binds[at] {
		mods = Declares
	}
	switch {
	case b.kind == parameter:
		return TokenParameter, mods
	case b.kind == defined, b.kind == loaded && c.names.meaning(text).kind == kindFunction:
		return TokenFunction, mods
	}
	return TokenVariable, mods
}

// outsideToken tells what a name is that nothing binds.
func outsideToken(text string) (TokenType, TokenMods) {
	switch _, isUnit := quantity.UnitNamed(text); {
	case isUnit:
		return TokenUnit, BuiltIn
	case text == "True" || text == "False" || text == "None":
		return TokenKeyword, 0
	case known(text):
		return TokenFunction, BuiltIn
	}
	return TokenVariable, 0
}

// TokenChange says how a list of numbers became another: at From, Gone of them made way for New.
type TokenChange struct {
	From, Gone int
	New        []uint32
}

// ChangedTokens gives the one change between two encoded lists of tokens; false when they are the same.
func ChangedTokens(before, after []uint32) (TokenChange, bool) {
	head, most := 0, min(len(before), len(after))
	for head < most && before[head] == after[head] {
		head++
	}
	if head == len(before) && head == len(after) {
		return TokenChange{}, false
	}
	tail := 0
	for tail < most-head && before[len(before)-1-tail] == after[len(after)-1-tail] {
		tail++
	}
	return TokenChange{From: head, Gone: len(before) - head - tail, New: after[head : len(after)-tail]}, true
}
