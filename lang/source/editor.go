package source

// UTF16 gives p as an editor counts it: line from 0, column in UTF-16 units. A place outside the text
// is clamped as Offset does; a byte that is no UTF-8 counts as one unit.
func (f *File) UTF16(p Point) (line, unit int) {
	line, start, offset := f.locate(p)
	if !f.lines().isWide(line) {
		return line, offset - start
	}
	for _, r := range f.Text[start:offset] {
		unit += utf16Units(r)
	}
	return line, unit
}

// FromUTF16 is the inverse of UTF16. A unit inside a surrogate pair gives the character's beginning;
// places outside the text are clamped.
func (f *File) FromUTF16(line, unit int) Point {
	if line < 0 {
		return Point{Line: 1, Col: 1}
	}
	if line >= f.Lines() {
		return f.Point(len(f.Text))
	}
	start, end := f.bounds(line)
	unit = max(unit, 0)
	if !f.lines().isWide(line) {
		return Point{Line: int32(line + 1), Col: int32(min(unit, end-start) + 1)}
	}
	col := int32(1)
	for _, r := range f.Text[start:end] {
		if unit -= utf16Units(r); unit < 0 {
			break
		}
		col++
	}
	return Point{Line: int32(line + 1), Col: col}
}

// UTF8 gives p as an editor counts it that has agreed on UTF-8: line from 0, column in bytes.
func (f *File) UTF8(p Point) (line, unit int) {
	line, start, offset := f.locate(p)
	return line, offset - start
}

// FromUTF8 is the inverse of UTF8; a byte inside a character gives the character's beginning.
func (f *File) FromUTF8(line, unit int) Point {
	if line < 0 {
		return Point{Line: 1, Col: 1}
	}
	if line >= f.Lines() {
		return f.Point(len(f.Text))
	}
	start, end := f.bounds(line)
	return f.Point(min(start+min(max(unit, 0), len(f.Text)), end))
}

// locate clamps p and gives its line from 0, that line's first byte and p's own.
func (f *File) locate(p Point) (line, start, offset int) {
	offset = f.Offset(p)
	line = min(max(int(p.Line)-1, 0), f.Lines()-1)
	start, _ = f.bounds(line)
	return line, start, offset
}

func utf16Units(r rune) int {
	if r > 0xFFFF {
		return 2
	}
	return 1
}
