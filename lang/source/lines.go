package source

import (
	"sort"
	"strings"
	"sync"
	"unicode/utf8"
)

// lineIndex says where each line begins. It is built on first use and read by any number of goroutines.
type lineIndex struct {
	once   sync.Once
	starts []int  // byte offset of each line's first character
	wide   []bool // by line: holds a byte above 127; nil when no line does
}

func (f *File) lines() *lineIndex {
	x := f.ownIndex()
	x.once.Do(func() { x.build(f.Text) })
	return x
}

func (f *File) ownIndex() *lineIndex {
	if f.shared != nil {
		return f.shared
	}
	return &f.index
}

func (x *lineIndex) build(text string) {
	x.starts = append(make([]int, 0, strings.Count(text, "\n")+1), 0)
	if strings.IndexByte(text, '\r') < 0 {
		for at := 0; ; {
			n := strings.IndexByte(text[at:], '\n')
			if n < 0 {
				break
			}
			at += n + 1
			x.starts = append(x.starts, at)
		}
	} else {
		for i := 0; i < len(text); i++ {
			if text[i] == '\n' || text[i] == '\r' && !strings.HasPrefix(text[i+1:], "\n") {
				x.starts = append(x.starts, i+1)
			}
		}
	}
	line := 0
	for i := 0; i < len(text); i++ {
		if text[i] < utf8.RuneSelf {
			continue
		}
		if x.wide == nil {
			x.wide = make([]bool, len(x.starts))
		}
		for line+1 < len(x.starts) && x.starts[line+1] <= i {
			line++
		}
		x.wide[line] = true
	}
}

func (x *lineIndex) isWide(line int) bool { return x.wide != nil && x.wide[line] }

// Lines is the number of lines; an empty text has one.
func (f *File) Lines() int { return len(f.lines().starts) }

// Line is the text of line n, counted from 1, without its line end; "" outside the file.
func (f *File) Line(n int) string {
	if n < 1 || n > f.Lines() {
		return ""
	}
	start, end := f.bounds(n - 1)
	return f.Text[start:end]
}

// bounds gives the byte offsets of a line, counted from 0, without its line end.
func (f *File) bounds(line int) (start, end int) {
	x := f.lines()
	start, end = x.starts[line], len(f.Text)
	if line+1 == len(x.starts) {
		return start, end
	}
	end = x.starts[line+1] - 1
	if end > start && f.Text[end] == '\n' && f.Text[end-1] == '\r' {
		end--
	}
	return start, end
}

// Offset is the byte offset of p. A column past its line's end gives that end, a line past the file's
// end the file's end.
func (f *File) Offset(p Point) int {
	line := int(p.Line) - 1
	if line < 0 {
		return 0
	}
	if line >= f.Lines() {
		return len(f.Text)
	}
	start, end := f.bounds(line)
	skip := max(int(p.Col)-1, 0)
	if !f.lines().isWide(line) {
		return min(start+skip, end)
	}
	for ; skip > 0 && start < end; skip-- {
		start += runeSize(f.Text[start:end])
	}
	return start
}

// Point is the place of a byte offset, clamped to the file; inside a character or a line end it gives
// the place where that begins.
func (f *File) Point(offset int) Point {
	offset = min(max(offset, 0), len(f.Text))
	x := f.lines()
	line := sort.SearchInts(x.starts, offset+1) - 1
	start, end := f.bounds(line)
	offset = min(offset, end)
	col := offset - start
	if x.isWide(line) {
		col = 0
		for at := start; at < offset; col++ {
			if at += runeSize(f.Text[at:end]); at > offset {
				break
			}
		}
	}
	return Point{Line: int32(line + 1), Col: int32(col + 1)}
}

// Span is the stretch between two byte offsets, clamped to the file.
func (f *File) Span(start, end int) Span {
	return Span{File: f, Start: f.Point(start), End: f.Point(max(start, end))}
}

func runeSize(s string) int {
	if s[0] < utf8.RuneSelf {
		return 1
	}
	_, size := utf8.DecodeRuneInString(s)
	return size
}
