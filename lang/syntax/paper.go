package syntax

import (
	"fmt"
	"strings"

	"haulm/lang/diag"
)

// paper reads a broken statement as a grower might have written it on paper: 4'6", 24 in, May 24,
// cherry tomato. It has the statement's tokens, but for quotes right behind a number, which are signs there.
type paper struct {
	*broken
	toks []token
}

// reading is a stretch of a statement that is written as on paper, and what a plan writes for it.
type reading struct {
	first, last int    // tokens of the paper
	start, end  int    // their bytes
	text        string // "" where it cannot be told
	title       string // of the fix; "Write " and the text when empty
	message     string
	help        string
	safe        bool
}

// maxPaper bounds the tokens of a statement that is read as on paper: none is longer.
const maxPaper = 2000

// onPaper recognises what is written as on paper where the parser stopped. Everything else in the
// statement that is written so is mended with it.
func (b *broken) onPaper() (diag.Diagnostic, bool) {
	if b.to-b.from > maxPaper {
		return diag.Diagnostic{}, false
	}
	stop := b.firstFault()
	if stop < 0 {
		if b.err.Msg == "" {
			return diag.Diagnostic{}, false
		}
		stop = b.token()
	}
	p := b.paper()
	at := int(b.tokens[stop].start)
	all := p.readings()
	for i, r := range all {
		if r.start <= at && (r.last+1 == len(p.toks) || at <= int(p.toks[r.last+1].start)) {
			return p.explain(all, i), true
		}
	}
	return diag.Diagnostic{}, false
}

// readings finds all that is written as on paper.
func (p *paper) readings() []reading {
	var all []reading
	for i := 0; i < len(p.toks); {
		r, ok := p.reading(i)
		if !ok {
			i++
			continue
		}
		r.start, r.end = int(p.toks[r.first].start), int(p.toks[r.last].end)
		all = append(all, r)
		i = r.last + 1
	}
	return all
}

// explain makes the finding of one reading, with a fix of all that can be told.
func (p *paper) explain(all []reading, found int) diag.Diagnostic {
	r := all[found]
	d := diag.Diagnostic{Rule: ruleSyntax, Message: r.message, Help: r.help}
	d.Primary.Span = p.span(r.start, r.end)
	if r.text == "" {
		return d
	}
	var edits []edit
	safe := true
	for _, x := range all {
		if x.text != "" {
			edits = append(edits, edit{x.start, x.end, x.text})
			safe = safe && x.safe
		}
	}
	title := r.title
	if title == "" {
		title = "Write " + r.text
	}
	if n := len(edits) - 1; n > 0 {
		title += fmt.Sprintf(", and mend %d more here", n)
	}
	p.offer(&d, safe, title, edits...)
	return d
}

func (p *paper) reading(i int) (reading, bool) {
	for _, read := range [...]func(int) (reading, bool){p.date, p.degrees, p.thousands, p.amount, p.name} {
		if r, ok := read(i); ok {
			return r, true
		}
	}
	return reading{}, false
}

// paper cuts the statement into tokens again.
func (b *broken) paper() *paper {
	end := int(b.tokens[b.to-1].end)
	c := cutter{s: b.text[:end], at: int(b.tokens[b.from].start), lineStart: true}
	for c.at < end {
		if n := len(c.tokens); n > 0 && c.tokens[n-1].kind == number && int(c.tokens[n-1].end) == c.at && isMark(c.s[c.at:]) {
			c.add(sign, c.at+1, sound)
		} else {
			c.next()
		}
	}
	return &paper{broken: b, toks: c.tokens}
}

// isMark tells whether a text that follows a number begins with a mark of feet or inches: a quote that no
// word follows.
func isMark(s string) bool {
	if s[0] != '\'' && s[0] != '"' {
		return false
	}
	return len(s) == 1 || strings.IndexByte(" \t\r\n)]},+-*/#0123456789", s[1]) >= 0
}

// The helpers below take any index, also one before the first token or after the last.

func (p *paper) textAt(i int) string {
	if i < 0 || i >= len(p.toks) {
		return ""
	}
	return p.text[p.toks[i].start:p.toks[i].end]
}

func (p *paper) kindAt(i int) kind {
	if i < 0 || i >= len(p.toks) {
		return stray
	}
	return p.toks[i].kind
}

// goesOn tells whether a token stands on the same line as the one before it.
func (p *paper) goesOn(i int) bool { return i > 0 && i < len(p.toks) && !p.toks[i].first }

// touches tells whether no space stands between a token and the one before it.
func (p *paper) touches(i int) bool { return p.goesOn(i) && p.toks[i-1].end == p.toks[i].start }

// ends tells whether a value may end before a token: a comma, a closing bracket or the line's end.
func (p *paper) ends(i int) bool {
	return !p.goesOn(i) || p.toks[i].kind == closer || p.textAt(i) == "," || p.textAt(i) == ":"
}

func (p *paper) isNumber(i int) bool {
	return p.kindAt(i) == number && strings.Trim(p.textAt(i), "0123456789.") == ""
}

func (p *paper) isWhole(i int) bool {
	return p.kindAt(i) == number && strings.Trim(p.textAt(i), "0123456789") == ""
}

func (p *paper) isNameAt(i int) bool { return p.kindAt(i) == word && !IsKeyword(p.textAt(i)) }

func (p *paper) between(first, last int) string {
	return p.text[p.toks[first].start:p.toks[last].end]
}
