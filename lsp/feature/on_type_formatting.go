package feature

import (
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Typed lists the characters after which FormatTyped has something to do.
func Typed() []string { return []string{"\n", ")", "]", "}"} }

// indentBy is how much deeper a block, or what stands in brackets, is than the line that opens it.
const indentBy = "    "

// FormatTyped sets the line of a place in after something was typed there: a new line as deep as its
// brackets or its block ask for, and a bracket that closes, first of its line, below the line that opened
// it.
func (d *Doc) FormatTyped(at source.Point, typed string) []diag.Edit {
	text := d.File.Text
	offset := d.File.Offset(at)
	begin := beginOfLine(text, offset)
	own := indentOf(text, begin)
	first := begin + len(own)
	part := partAt(d.File, max(int(at.Line)-1, 1), int(at.Line)+1)
	if inText(part, begin) {
		return nil
	}
	want := ""
	switch {
	case strings.ContainsAny(typed, ")]}"):
		open := openers(part, first)
		if len(open) == 0 || first >= len(text) || first >= offset || strings.IndexByte(")]}", text[first]) < 0 {
			return nil
		}
		want = indentOf(text, open[len(open)-1].Start)
	case typed == "\n":
		want = d.indentAfter(part, begin, first)
	default:
		return nil
	}
	if own == want {
		return nil
	}
	return []diag.Edit{{Span: d.between(begin, first), Text: want}}
}

// indentAfter is the indent of a new line.
func (d *Doc) indentAfter(part *Part, begin, first int) string {
	text := d.File.Text
	if open := openers(part, begin); len(open) > 0 {
		outer := indentOf(text, open[len(open)-1].Start)
		if first < len(text) && strings.IndexByte(")]}", text[first]) >= 0 {
			return outer
		}
		return deeper(outer)
	}
	var last *statement
	list := part.statements()
	for i := range list {
		if list[i].end() <= begin {
			last = &list[i]
		}
	}
	if last == nil || d.File.Point(begin).Line-d.File.Point(last.end()).Line > 2 {
		return "" // at the beginning, or after two empty lines
	}
	own := indentOf(text, last.start())
	switch word := part.text(last.code[0]); {
	case last.heads:
		return deeper(own)
	case word == "return" || word == "pass" || word == "break" || word == "continue":
		return strings.TrimSuffix(own, indentBy)
	}
	return own
}

// deeper is one step more than an indent, in tabs when it is made of them.
func deeper(indent string) string {
	if strings.HasSuffix(indent, "\t") {
		return indent + "\t"
	}
	return indent + indentBy
}

// openers gives the brackets that are open at a byte offset.
func openers(part *Part, offset int) []syntax.Token {
	var open []syntax.Token
	for _, t := range part.code() {
		if t.Start >= offset {
			break
		}
		switch {
		case t.Kind == syntax.Opener:
			open = append(open, t)
		case t.Kind == syntax.Closer && len(open) > 0:
			open = open[:len(open)-1]
		}
	}
	return open
}

// inText tells whether a byte offset stands within a text of several lines.
func inText(part *Part, offset int) bool {
	for _, t := range part.Tokens {
		if t.Kind == syntax.Text && t.Start < offset && offset < t.End {
			return true
		}
	}
	return false
}
