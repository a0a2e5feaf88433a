package syntax

import (
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"
)

// prose notes a broken statement that is not plan text at all but a remark without its #. Lines of it
// that follow each other are one finding.
func (r *reader) prose(from, to int) bool {
	more := r.proseEnd == from && from > 0
	if words := r.adjacentWords(from, to); words < 2 && (words < 1 || !more) {
		return false
	}
	r.proseEnd = to
	span := r.stretch(from, to)
	if more {
		r.tree.Bad[len(r.tree.Bad)-1].Span.End = span.End
		d := &r.findings[len(r.findings)-1]
		d.Primary.Span.End = span.End
		d.Fixes[0].Edits = append(d.Fixes[0].Edits, r.remark(span)...)
		return true
	}
	r.tree.Bad = append(r.tree.Bad, Piece{Span: span})
	d := r.report(ruleSyntax, span, "this reads like a remark, not like a plan")
	d.Help = "begin each line of a remark with #"
	d.Fixes = []diag.Fix{{Title: "Make it a remark", Edits: r.remark(span)}}
	return true
}

// remark puts a # before each line of a span.
func (r *reader) remark(span source.Span) []diag.Edit {
	f := r.tree.File
	var edits []diag.Edit
	for at := span.Start; !span.End.Before(at); at = (source.Point{Line: at.Line + 1, Col: 1}) {
		if strings.Trim(f.Line(int(at.Line)), " \t"+mark) != "" {
			edits = append(edits, diag.Edit{Span: source.Span{File: f, Start: at, End: at}, Text: "# "})
		}
	}
	return edits
}

// adjacentWords counts words of the first line that follow each other with nothing but space between,
// as no plan has them, if the line begins with such. An apostrophe inside a word counts as well.
func (r *reader) adjacentWords(from, to int) int {
	isWord := func(i int) bool {
		t := r.tokens[i]
		if t.kind == number {
			return true
		}
		switch r.textOf(i) { // these join what stands beside them
		case "and", "or", "not", "in", "if", "else", "for", "lambda":
			return false
		}
		return t.kind == word
	}
	switch r.textOf(from) {
	case "def", "for", "if", "load", "return", "from", "import":
		return 0
	}
	if r.spaced(from, to) != "" {
		return 0
	}
	n := 0
	for i := from + 1; i < to && !r.tokens[i].first; i++ {
		a, b := r.tokens[i-1], r.tokens[i]
		if isWord(i-1) && isWord(i) && a.end < b.start {
			n++
		}
		if a.kind == word && b.kind == text && b.fault == unclosed && a.end == b.start {
			n += 2
		}
		if n == 0 && i-from >= 3 || r.is(i, "=") || n == 0 && b.kind == opener {
			break
		}
	}
	return n
}
