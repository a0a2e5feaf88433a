package feature

import (
	"strings"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

// statement is one statement as its tokens have it: a simple one, or the head of a block up to its colon.
type statement struct {
	code   []syntax.Token // without comments; at least one
	indent int            // columns before it
	heads  bool           // a block follows
}

func (s *statement) start() int { return s.code[0].Start }
func (s *statement) end() int   { return s.code[len(s.code)-1].End }

// statements cuts the tokens of a part. A bracket that is left open goes no further than to the next line
// that begins a statement at the margin.
func (p *Part) statements() []statement {
	var list []statement
	depth := 0
	for _, t := range p.code() {
		if len(list) == 0 || t.First && (depth == 0 || p.resumes(t)) {
			list, depth = append(list, statement{indent: p.indent(t.Start)}), 0
		}
		switch t.Kind {
		case syntax.Opener:
			depth++
		case syntax.Closer:
			depth = max(depth-1, 0)
		}
		s := &list[len(list)-1]
		s.code = append(s.code, t)
		s.heads = depth == 0 && p.text(t) == ":"
	}
	return list
}

// resumes tells whether a token begins a statement at the margin.
func (p *Part) resumes(t syntax.Token) bool {
	text := p.File.Text
	if t.Start > 0 && text[t.Start-1] != '\n' && text[t.Start-1] != '\r' {
		return false
	}
	return beginsStatement(text[t.Start:endOfLine(text, t.Start)])
}

// blockEnd gives the index after the last statement of the block that statement i heads.
func blockEnd(list []statement, i int) int {
	j := i + 1
	for j < len(list) && list[j].indent > list[i].indent {
		j++
	}
	return j
}

// indent is the column, from 0 and tabs to the next multiple of 8, at which the line of a byte offset
// begins to say something.
func (p *Part) indent(offset int) int {
	n := 0
	for _, b := range []byte(indentOf(p.File.Text, offset)) {
		if b == '\t' {
			n += 8 - n%8
		} else {
			n++
		}
	}
	return n
}

// indentOf gives the space that the line of a byte offset begins with.
func indentOf(text string, offset int) string {
	line := text[beginOfLine(text, offset):]
	return line[:len(line)-len(strings.TrimLeft(line, " \t"))]
}

func beginOfLine(text string, offset int) int { return strings.LastIndexAny(text[:offset], "\r\n") + 1 }

func endOfLine(text string, offset int) int {
	if n := strings.IndexAny(text[offset:], "\r\n"); n >= 0 {
		return offset + n
	}
	return len(text)
}

// maxUnclosed bounds how often a file is cut again after a text without its closing quotes.
const maxUnclosed = 20

// whole is the file as one part. A text without its closing quotes ends with its line there, so that it
// does not swallow the rest.
func (d *Doc) whole() *Part {
	p := &Part{File: d.File, End: len(d.File.Text)}
	from := 0
	for range maxUnclosed {
		tokens := syntax.Tokens(d.File, from, p.End)
		at := unclosed(d.File.Text, tokens)
		if at < 0 {
			p.Tokens = append(p.Tokens, tokens...)
			return p
		}
		t := tokens[at]
		t.End = endOfLine(d.File.Text, t.Start)
		p.Tokens = append(append(p.Tokens, tokens[:at]...), t)
		from = t.End
	}
	return p
}

// unclosed gives the index of a text that swallows lines for want of its quotes, -1 for none.
func unclosed(text string, tokens []syntax.Token) int {
	for i, t := range tokens {
		if t.Kind == syntax.Text && !t.Sound && t.End > endOfLine(text, t.Start) {
			return i
		}
	}
	return -1
}

// split cuts a part that holds several statements at the margin into one part for each.
func (p *Part) split() []*Part {
	var list []*Part
	for i, t := range p.Tokens {
		if len(list) > 0 && (!t.First || t.Kind == syntax.Comment || !p.resumes(t)) {
			continue
		}
		from := p.Start
		if len(list) > 0 {
			from = t.Start
			last := list[len(list)-1]
			last.End, last.Tokens = from, last.Tokens[:i-(len(p.Tokens)-len(last.Tokens))]
		}
		list = append(list, &Part{File: p.File, Start: from, End: p.End, Tokens: p.Tokens[i:]})
	}
	return list
}

// within gives the parts that lines of a stretch belong to.
func (d *Doc) within(in source.Span) []*Part {
	first := int(min(max(in.Start.Line, 1), int32(d.File.Lines())))
	last := int(min(max(in.End.Line, in.Start.Line), int32(d.File.Lines())))
	p := partAt(d.File, first, last+1)
	if at := openText(d.File.Text[:p.Start]); at >= 0 {
		from := partAt(d.File, int(d.File.Point(at).Line), last+1)
		if unclosed(d.File.Text, from.Tokens) < 0 {
			p = from
		}
	}
	return p.split()
}

// openText gives where a text of several lines begins that goes on beyond the end, as the remark at the
// head of a file may; -1 for none.
func openText(text string) int {
	for _, quotes := range [...]string{`"""`, "'''"} {
		if strings.Count(text, quotes)%2 == 1 {
			return strings.LastIndex(text, quotes)
		}
	}
	return -1
}
