package feature

import "haulm/lang/source"

// shift maps places between two versions of a text that differ in one stretch.
type shift struct {
	old, new *source.File // old is nil when there is none
	same     bool
	head     int // bytes that are equal at the beginning
	tail     int // and at the end, of what is left
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
	return s
}

// then gives the old place of a stretch of the new text.
func (s *shift) then(now source.Span) (source.Span, bool) {
	if s.old == nil {
		return source.Span{}, false
	}
	return s.move(now, s.new, s.old)
}

// now gives the new place of a stretch of the old text.
func (s *shift) now(then source.Span) (source.Span, bool) {
	if s.old == nil {
		return source.Span{}, false
	}
	return s.move(then, s.old, s.new)
}

func (s *shift) move(span source.Span, from, to *source.File) (source.Span, bool) {
	if s.same {
		return source.Span{File: to, Start: span.Start, End: span.End}, true
	}
	start, end := from.Offset(span.Start), from.Offset(span.End)
	by := len(to.Text) - len(from.Text)
	switch edited := len(from.Text) - s.tail; {
	case end <= s.head:
		return to.Span(start, end), true
	case start >= edited:
		return to.Span(start+by, end+by), true
	default:
		if start > s.head {
			start = min(max(start+min(by, 0), s.head), len(to.Text)-s.tail)
		}
		if end >= edited {
			end += by
		} else {
			end = len(to.Text) - s.tail
		}
		return to.Span(start, max(start, end)), false
	}
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
