package syntax

import (
	"fmt"
	"regexp"
	"strings"

	"haulm/lang/diag"

	star "go.starlark.net/syntax"
)

const (
	maxFindings = 500        // in one file; a file with more is no plan
	maxMends    = 20         // each cuts the rest of the file into tokens again
	maxReread   = 20_000_000 // tokens
	clearGain   = 3          // statements that a cut inside closed brackets must win to be believed
)

// pieces reads the file statement by statement.
func (r *reader) pieces() {
	n := len(r.tokens)
	for at := 0; at < n; n = len(r.tokens) {
		if len(r.findings) >= maxFindings {
			r.tree.Bad = append(r.tree.Bad, Piece{Span: r.stretch(at, n), Names: r.names(at, n, true)})
			r.report(ruleSyntax, r.span(int(r.tokens[at].start), lineEnd(r.text, int(r.tokens[at].start))), fmt.Sprintf(
				"%d statements before this one cannot be read, so the rest was left unread; is this file a plan?", maxFindings))
			return
		}
		end := r.statement(at, n, 0)
		if !r.endQuote(at, end) {
			at = r.piece(at, end)
		}
	}
}

// piece reads one statement; if it cannot be read as it stands, it looks for the statements that an
// open bracket or a stray indent made part of it. It returns the token from which to read on, which is
// an earlier one than the given end if the statement seems to end earlier.
func (r *reader) piece(from, to int) int {
	err := r.good(from, to)
	if err == nil {
		return to
	}
	if cuts := r.cuts(from, to); len(cuts) > 0 {
		// What follows the first cut reads best afresh; but a file of nothing but open brackets would be
		// read to its end again for each.
		r.reread += to - cuts[0]
		if r.reread <= maxReread {
			cuts, to = nil, cuts[0]
		}
		return r.apart(from, cuts, to)
	}
	if !r.strayBlock(from, to) {
		r.broken(from, to, err)
	}
	return to
}

// good parses a stretch of tokens and keeps the statements. The error is never empty: for what is seen
// before parsing it has a message only.
func (r *reader) good(from, to int) *star.Error {
	if r.tokens[from].first && r.indent(from) > 0 {
		return &star.Error{}
	}
	stmts, err := r.try(from, to)
	if err == nil {
		r.keep(stmts, int(r.tokens[to-1].end))
	}
	return err
}

func (r *reader) try(from, to int) ([]star.Stmt, *star.Error) {
	for i := from; i < to; i++ {
		if r.tokens[i].fault != sound {
			return nil, &star.Error{}
		}
	}
	return r.parse(int(r.tokens[from].start), int(r.tokens[to-1].end))
}

// cuts tells where to cut a broken statement: wherever a statement seems to begin inside a bracket that
// is never closed. If all are closed, by whichever bracket came along, the cuts must win something.
func (r *reader) cuts(from, to int) []int {
	cuts, open := r.swallowed(from, to)
	if open {
		return cuts
	}
	if len(cuts) < clearGain {
		return nil
	}
	won := 0
	for i, at := range cuts {
		end := to
		if i+1 < len(cuts) {
			end = cuts[i+1]
		}
		if _, err := r.try(at, r.statement(at, end, 0)); err == nil {
			won++
		}
	}
	if won < clearGain {
		return nil
	}
	return cuts
}

// apart reads what lies between the cuts, until there are findings enough. It returns the token from
// which to read on.
func (r *reader) apart(from int, cuts []int, to int) int {
	at := from
	for _, end := range append(cuts, to) {
		for at < end {
			if len(r.findings) >= maxFindings {
				return at
			}
			at = r.piece(at, r.statement(at, end, 0))
		}
	}
	return to
}

// strayBlock reads a statement, itself sound, whose next lines are indented although it opens no block.
// Those lines are read as if they were not indented. False if that is not what is wrong.
func (r *reader) strayBlock(from, to int) bool {
	block := from
	if r.indent(from) == 0 {
		block = r.statement(from, to, 1<<30)
		if block == to {
			return false
		}
		stmts, err := r.try(from, block)
		if err != nil {
			return false
		}
		r.keep(stmts, int(r.tokens[block-1].end))
	}
	indent, bad := r.indent(block), len(r.tree.Bad)
	for at := block; at < to; {
		next := r.statement(at, to, indent)
		if stmts, err := r.try(at, next); err == nil {
			r.keep(stmts, int(r.tokens[next-1].end))
		} else {
			r.broken(at, next, err)
		}
		at = next
	}
	if len(r.tree.Bad) == bad {
		r.strayIndent(block, to)
	}
	return true
}

var statementLine = regexp.MustCompile(`(?:^|[\r\n])(?:(?:def|load|for|if)\b|[A-Za-z_][\w.]*[ \t]*(?:\(|=[^=]))`)

// endQuote ends a triple-quoted text at its line's end, and cuts the rest of the file into tokens again,
// if the text seems never to have been meant to go on: the statement does not parse, lines of the text
// look like statements, and the text runs to the end of the file or into another text.
func (r *reader) endQuote(from, to int) bool {
	if r.mends == maxMends {
		return false
	}
	suspect := -1
	for i := from; i < to && suspect < 0; i++ {
		if t := r.tokens[i]; t.kind == text && statementLine.MatchString(afterLine(r.textOf(i))) {
			runsOn := i+1 < len(r.tokens) && !r.tokens[i+1].first &&
				(r.tokens[i+1].kind == word || r.tokens[i+1].kind == number || r.tokens[i+1].kind == stray)
			if t.fault == unclosed || runsOn {
				suspect = i
			}
		}
	}
	if suspect < 0 {
		return false
	}
	if _, err := r.try(from, to); err == nil {
		return false
	}
	r.mends++
	at := int(r.tokens[suspect].start)
	tokens, comments := tokenize(r.text, at, at)
	tokens[0].first = r.tokens[suspect].first
	r.tokens = append(r.tokens[:suspect], tokens...)
	for len(r.comments) > 0 && int(r.comments[len(r.comments)-1].start) > at {
		r.comments = r.comments[:len(r.comments)-1]
	}
	r.comments = append(r.comments, comments...)
	r.blankZeros()
	return true
}

// afterLine gives a text from the end of its first line on.
func afterLine(s string) string {
	if n := strings.IndexAny(s, "\r\n"); n >= 0 {
		return s[n:]
	}
	return ""
}

// bad notes a stretch of tokens as unreadable.
func (r *reader) bad(from, to int) {
	r.tree.Bad = append(r.tree.Bad, Piece{Span: r.stretch(from, to), Names: r.names(from, to, false)})
}

// broken notes a stretch of tokens as unreadable and says why.
func (r *reader) broken(from, to int, err *star.Error) {
	if r.prose(from, to) {
		return
	}
	r.bad(from, to)
	b := &broken{reader: r, from: from, to: to, err: err}
	r.findings = append(r.findings, b.explain())
}

func (r *reader) strayIndent(block, to int) {
	at := int(r.tokens[block].start)
	span := r.span(lineStart(r.text, at), at)
	d := r.report(ruleSyntax, span, "this line is indented, but the line above opens no block")
	d.Help = "begin it at the margin, or end the line above with a : if it belongs to it"
	var edits []diag.Edit
	width := at - lineStart(r.text, at)
	for i := block; i < to; i++ {
		if start := int(r.tokens[i].start); r.tokens[i].first {
			line := lineStart(r.text, start)
			edits = append(edits, diag.Edit{Span: r.span(line, min(line+width, start))})
		}
	}
	d.Fixes = []diag.Fix{{Title: "Begin at the margin", Edits: edits}}
}
