package syntax

import (
	"sort"
	"strings"
)

// A stretch of tokens is given by its first index and the index after its last.

// is tells whether token i is the given word, sign or bracket.
func (r *reader) is(i int, s string) bool {
	return i >= 0 && i < len(r.tokens) && r.textOf(i) == s
}

func (r *reader) textOf(i int) string { return r.text[r.tokens[i].start:r.tokens[i].end] }

// indent is the column, from 0 and tabs to the next multiple of 8, of a token that is the first of its
// line. Behind lines of nothing but a backslash it is that of the first of these.
func (r *reader) indent(i int) int {
	at := int(r.tokens[i].start)
	start := lineStart(r.text, at)
	for {
		joined, ok := strings.CutSuffix(strings.TrimSuffix(strings.TrimSuffix(r.text[:start], "\n"), "\r"), "\\")
		before := lineStart(joined, len(joined))
		if !ok || strings.Trim(joined[before:], " \t"+mark) != "" {
			break
		}
		at, start = len(joined), before
	}
	if start == 0 {
		start = markSize(r.text)
	}
	col := 0
	for _, b := range []byte(r.text[start:at]) {
		if b == '\t' {
			col += 8 - col%8
		} else {
			col++
		}
	}
	return col
}

// brackets follows what is open along a stretch of tokens. A closing bracket closes the innermost open
// one of its kind and all inside that; one without its kind closes nothing.
type brackets struct {
	open   []int
	passed bool // some were closed by the bracket of another
}

func (b *brackets) step(r *reader, i int) {
	switch r.tokens[i].kind {
	case opener:
		b.open = append(b.open, i)
	case closer:
		for n := len(b.open) - 1; n >= 0; n-- {
			if r.pair(b.open[n], i) {
				b.passed = b.passed || n < len(b.open)-1
				b.open = b.open[:n]
				return
			}
		}
	}
}

func (r *reader) pair(open, shut int) bool {
	return closing(r.text[r.tokens[open].start]) == r.text[r.tokens[shut].start]
}

func closing(open byte) byte {
	switch open {
	case '(':
		return ')'
	case '[':
		return ']'
	}
	return '}'
}

// statement gives the end of the statement that begins at a token: the next token that begins a line,
// outside brackets, no deeper than the given indent. else and elif stay with their if.
func (r *reader) statement(from, limit, indent int) int {
	var b brackets
	for i := from; i < limit; i++ {
		if i > from && r.tokens[i].first && len(b.open) == 0 && r.indent(i) <= indent &&
			!(r.is(from, "if") && (r.is(i, "else") || r.is(i, "elif"))) {
			return i
		}
		b.step(r, i)
	}
	return limit
}

// swallowed finds the tokens, inside brackets that are open, at which another statement seems to begin.
// It also tells whether a bracket is open at the end, or was passed over by the closing of another.
func (r *reader) swallowed(from, to int) (cuts []int, open bool) {
	var b brackets
	for i := from; i < to; i++ {
		if i > from && r.tokens[i].first && len(b.open) > 0 && r.indent(i) == 0 &&
			r.looksLikeStatement(i, to) && !r.looksLikeArgument(i, to) {
			cuts = append(cuts, i)
		}
		b.step(r, i)
	}
	return cuts, len(b.open) > 0 || b.passed
}

// looksLikeStatement tells whether a line begins as statements do: with a keyword, name(, name.name( or
// name =.
func (r *reader) looksLikeStatement(i, to int) bool {
	if r.tokens[i].kind != word {
		return false
	}
	switch r.textOf(i) {
	case "def", "load", "return", "pass", "break", "continue":
		return true
	case "for", "if":
		for j := i + 1; j < to && !r.tokens[j].first; j++ {
			if r.is(j, ":") {
				return true
			}
		}
		return false
	}
	for i++; i < to && !r.tokens[i].first; i++ {
		switch s := r.textOf(i); s {
		case "(", "=", "+=", "-=", "*=":
			return true
		case ".", ",":
		default:
			if r.tokens[i].kind != word || r.tokens[i-1].kind == word {
				return false
			}
		}
	}
	return false
}

// looksLikeArgument tells whether a line that looks like a statement is rather an argument written at
// the margin: it ends with a comma, or its bracket is closed on the next line.
func (r *reader) looksLikeArgument(i, to int) bool {
	depth := 0
	for j := i; j < to; j++ {
		if j > i && r.tokens[j].first && r.indent(j) == 0 && r.tokens[j].kind != closer {
			return depth == 0 && r.is(j-1, ",")
		}
		switch r.tokens[j].kind {
		case opener:
			depth++
		case closer:
			if depth--; depth < 0 {
				return true
			}
		}
	}
	return depth == 0 && r.is(to-1, ",")
}

// tokensIn gives the tokens that begin between two byte offsets.
func (r *reader) tokensIn(start, end int) (from, to int) {
	after := func(offset int) int {
		return sort.Search(len(r.tokens), func(i int) bool { return int(r.tokens[i].start) >= offset })
	}
	return after(start), after(end)
}
