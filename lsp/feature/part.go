package feature

import (
	"strings"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Part is one statement at the top of a file, or what stands between two of them, by itself.
type Part struct {
	Start, End int // byte offsets; End is where the next statement begins
	Tokens     []syntax.Token
	File       *source.File
}

// Part gives the statement around a place: the lines from the last before it that begins a statement at
// the margin to the next that does. The rest of the file is not looked at, so it costs the same in a
// long file as in a short one, and an open bracket elsewhere does not matter.
func (d *Doc) Part(at source.Point) *Part {
	f := d.File
	first := int(min(max(at.Line, 1), int32(f.Lines())))
	return partAt(f, first, first+1)
}

// partAt gives the part from the statement that line first belongs to up to the next one at or after
// line last.
func partAt(f *source.File, first, last int) *Part {
	for first > 1 && !beginsStatement(f.Line(first)) {
		first--
	}
	for last <= f.Lines() && !beginsStatement(f.Line(last)) {
		last++
	}
	p := &Part{File: f, Start: f.Offset(source.Point{Line: int32(first), Col: 1}), End: len(f.Text)}
	if last <= f.Lines() {
		p.End = f.Offset(source.Point{Line: int32(last), Col: 1})
	}
	p.Tokens = syntax.Tokens(f, p.Start, p.End)
	return p
}

// beginsStatement tells whether a line begins a statement at the margin. A line that begins with a
// bracket, a quote or space goes on with the one before; so does an argument written at the margin,
// which ends with a comma.
func beginsStatement(line string) bool {
	if line == "" || !isNameByte(line[0]) || isDigit(line[0]) {
		return false
	}
	word := line[:nameLength(line)]
	if word == "else" || word == "elif" {
		return false
	}
	rest := strings.TrimLeft(line[len(word):], " \t")
	return !strings.HasSuffix(strings.TrimRight(line, " \t"), ",") ||
		!strings.HasPrefix(rest, "=") && !strings.HasPrefix(rest, ",")
}

// isNameByte tells whether a byte may stand in a name; those of letters beyond ASCII may.
func isNameByte(b byte) bool {
	return b == '_' || 'a' <= b && b <= 'z' || 'A' <= b && b <= 'Z' || isDigit(b) || b >= 0x80
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

// nameLength is the length of the name that a text begins with.
func nameLength(s string) int {
	n := 0
	for n < len(s) && isNameByte(s[n]) {
		n++
	}
	return n
}

// text of a token.
func (p *Part) text(t syntax.Token) string { return p.File.Text[t.Start:t.End] }
