package feature

import (
	"slices"
	"strings"
	"unicode/utf8"

	"haulm/lang/source"
)

// shift maps places between two versions of a text. Lines before the first and after the last difference
// keep their places; between them, lines found on both sides in the same order do; a lone changed line
// keeps the places before and behind what changed in it.
type shift struct {
	old, new *source.File // old is nil when there is none
	same     bool
	head     int   // bytes that are equal at the beginning
	tail     int   // and at the end, of what is left
	above    int32 // lines that are equal at the beginning
	below    int32 // and at the end
	toNew    []int32
	toOld    []int32 // by line of the middle from 0: the other side's line, 0 for none
}

func newShift(old, now *source.File) *shift {
	s := &shift{old: old, new: now}
	if old == nil {
		return s
	}
	a, b := old.Text, now.Text
	if s.same = a == b; s.same {
		return s
	}
	s.head = commonPrefix(a, b)
	s.tail = commonSuffix(a[s.head:], b[s.head:])
	n, m := int32(old.Lines()), int32(now.Lines())
	s.above = old.Point(s.head).Line - 1
	s.below = min(n-old.Point(len(a)-s.tail).Line, n-s.above, m-s.above)
	s.toNew, s.toOld = make([]int32, n-s.above-s.below), make([]int32, m-s.above-s.below)
	s.match()
	return s
}

// Moved gives the place in a text of a stretch of an earlier text of the same file; ok is false where it was edited
// since.
func Moved(then source.Span, text *source.File) (now source.Span, ok bool) {
	return newShift(then.File, text).now(then)
}

// match pairs the lines of the middle: first those that each side has once, in the longest order that
// both share, then equal ones beside them, then changed ones in the gaps that are left.
func (s *shift) match() {
	at := map[string]int32{} // line of the new middle; -1 for one that is there twice
	for j := range s.toOld {
		line := s.new.Line(int(s.above) + j + 1)
		if _, ok := at[line]; ok {
			at[line] = -1
		} else {
			at[line] = int32(j)
		}
	}
	seen := map[string]bool{}
	var pairs [][2]int32
	for i := range s.toNew {
		line := s.old.Line(int(s.above) + i + 1)
		j, ok := at[line]
		if ok && j >= 0 && !seen[line] && line != "" {
			pairs = append(pairs, [2]int32{int32(i), j})
		}
		seen[line] = true
	}
	for _, p := range longestRising(pairs) {
		s.pair(p[0], p[1])
	}
	s.grow(1)
	s.grow(-1)
	s.gaps()
}

func (s *shift) pair(i, j int32) { s.toNew[i], s.toOld[j] = s.above+j+1, s.above+i+1 }

// grow pairs the equal lines next to pairs, forward or backward.
func (s *shift) grow(step int32) {
	i, end := int32(0), int32(len(s.toNew))
	if step < 0 {
		i, end = end-1, -1
	}
	j := i
	if step < 0 {
		j = int32(len(s.toOld)) - 1
	}
	for ; i != end; i += step {
		if s.toNew[i] > 0 {
			j = s.toNew[i] - s.above - 1 + step
			continue
		}
		if j >= 0 && j < int32(len(s.toOld)) && s.toOld[j] == 0 && s.old.Line(int(s.above+i)+1) == s.new.Line(int(s.above+j)+1) {
			s.pair(i, j)
			j += step
		} else {
			j = -1
		}
	}
}

// gaps pairs lines that changed where as many stand between two pairs on either side.
func (s *shift) gaps() {
	i, j := int32(0), int32(0)
	for i < int32(len(s.toNew)) {
		if s.toNew[i] > 0 {
			j = s.toNew[i] - s.above
			i++
			continue
		}
		from := i
		for i < int32(len(s.toNew)) && s.toNew[i] == 0 {
			i++
		}
		end := int32(len(s.toOld))
		if i < int32(len(s.toNew)) {
			end = s.toNew[i] - s.above - 1
		}
		if i-from == end-j {
			for k := range i - from {
				s.pair(from+k, j+k)
			}
		} else if i-from <= maxGap && end-j <= maxGap {
			s.alike(from, i, j, end)
		}
	}
}

// maxGap bounds the lines of a gap in which each line is held against each.
const maxGap = 200

// alike pairs, in their order, lines of a gap that begin with the same word.
func (s *shift) alike(from, to, j, end int32) {
	for i := from; i < to; i++ {
		word := leading(s.old.Line(int(s.above+i) + 1))
		for k := j; word != "" && k < end; k++ {
			if leading(s.new.Line(int(s.above+k)+1)) == word {
				s.pair(i, k)
				j = k + 1
				break
			}
		}
	}
}

// leading is the name that a line begins with, after its indent.
func leading(line string) string {
	line = strings.TrimLeft(line, " \t")
	return line[:nameLength(line)]
}

// then gives the old place of a stretch of the new text.
func (s *shift) then(now source.Span) (source.Span, bool) {
	if s.old == nil {
		return source.Span{}, false
	}
	return s.move(now, s.new, s.old, s.toOld)
}

// now gives the new place of a stretch of the old text.
func (s *shift) now(then source.Span) (source.Span, bool) {
	if s.old == nil {
		return source.Span{}, false
	}
	return s.move(then, s.old, s.new, s.toNew)
}

// move gives the stretch on the other side; the zero Span when its beginning or end is nowhere there. It
// is fresh when every line of it is the same on both sides, as far as the stretch covers it.
func (s *shift) move(span source.Span, from, to *source.File, lines []int32) (moved source.Span, fresh bool) {
	if s.same {
		return source.Span{File: to, Start: span.Start, End: span.End}, true
	}
	start, ok := s.place(span.Start, from, to, lines)
	end, also := s.place(span.End, from, to, lines)
	if start.Line == 0 || end.Line == 0 || end.Before(start) {
		return source.Span{}, false
	}
	moved = source.Span{File: to, Start: start, End: end}
	fresh = ok && also && end.Line-start.Line == span.End.Line-span.Start.Line
	return moved, fresh && moved.Text() == span.Text()
}

// place moves one place; ok is false for one in a changed stretch, which moves to the stretch's end, and
// for one that is nowhere on the other side, which is no place.
func (s *shift) place(p source.Point, from, to *source.File, lines []int32) (moved source.Point, ok bool) {
	n := int32(from.Lines())
	switch i := p.Line - s.above - 1; {
	case i < 0:
		return p, true
	case p.Line > n-s.below:
		return source.Point{Line: p.Line + int32(to.Lines()) - n, Col: p.Col}, true
	case i >= int32(len(lines)) || lines[i] == 0:
		return source.Point{}, false
	default:
		col, same := otherColumn(from.Line(int(p.Line)), to.Line(int(lines[i])), p.Col)
		return source.Point{Line: lines[i], Col: col}, same
	}
}

// otherColumn gives the column in a line that another column stands for in the line as it was.
func otherColumn(from, to string, col int32) (int32, bool) {
	if from == to {
		return col, true
	}
	prefix := commonPrefix(from, to)
	suffix := commonSuffix(from[prefix:], to[prefix:])
	head := int32(utf8.RuneCountInString(from[:prefix]))
	tail := int32(utf8.RuneCountInString(from[len(from)-suffix:]))
	n, m := int32(utf8.RuneCountInString(from)), int32(utf8.RuneCountInString(to))
	switch at := col - 1; {
	case at <= head:
		return col, true
	case at >= n-tail:
		return col + m - n, true
	}
	return m - tail + 1, false
}

// longestRising keeps the most pairs whose second numbers rise as their first do.
func longestRising(pairs [][2]int32) [][2]int32 {
	var ends []int // of the best run of each length, the index of its last pair
	before := make([]int, len(pairs))
	for i, p := range pairs {
		n, _ := slices.BinarySearchFunc(ends, p[1], func(e int, j int32) int { return int(pairs[e][1] - j) })
		before[i] = -1
		if n > 0 {
			before[i] = ends[n-1]
		}
		if n == len(ends) {
			ends = append(ends, i)
		} else {
			ends[n] = i
		}
	}
	out := make([][2]int32, len(ends))
	if len(ends) == 0 {
		return out
	}
	for i, n := ends[len(ends)-1], len(ends)-1; i >= 0; i, n = before[i], n-1 {
		out[n] = pairs[i]
	}
	return out
}

// Texts are compared a block at a time, which is many times faster than byte by byte.
const blockSize = 1 << 10

func commonPrefix(a, b string) int {
	n, m := 0, min(len(a), len(b))
	for n+blockSize <= m && a[n:n+blockSize] == b[n:n+blockSize] {
		n += blockSize
	}
	for n < m && a[n] == b[n] {
		n++
	}
	return n
}

func commonSuffix(a, b string) int {
	n, m := 0, min(len(a), len(b))
	for n+blockSize <= m && a[len(a)-n-blockSize:len(a)-n] == b[len(b)-n-blockSize:len(b)-n] {
		n += blockSize
	}
	for n < m && a[len(a)-n-1] == b[len(b)-n-1] {
		n++
	}
	return n
}
