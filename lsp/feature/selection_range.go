package feature

import (
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Selection gives the stretches around a place, each within the next: the word or number, the text without
// and with its quotes, the quantity or other value, the argument, all arguments, the call, the statement,
// the blocks around it, the file.
func (d *Doc) Selection(at source.Point) []source.Span {
	s := &selector{part: d.Part(at), offset: d.File.Offset(at)}
	s.token()
	s.brackets()
	s.blocks()
	if code := s.part.code(); len(code) > 0 {
		s.add(code[0].Start, code[len(code)-1].End)
	}
	s.add(0, len(d.File.Text))
	return s.spans
}

type selector struct {
	part   *Part
	offset int
	spans  []source.Span
	from   int // of the last stretch
	to     int
}

// add keeps a stretch that is longer than the last one and holds it.
func (s *selector) add(from, to int) {
	holds := from <= s.offset && s.offset <= to
	if len(s.spans) > 0 {
		holds = from <= s.from && s.to <= to && to-from > s.to-s.from
	}
	if holds {
		s.from, s.to = from, to
		s.spans = append(s.spans, s.part.span(from, to))
	}
}

func (s *selector) token() {
	t, _, _ := s.part.tokenAt(s.offset)
	for _, c := range s.part.Tokens {
		if c.Kind == syntax.Comment && c.Start <= s.offset && s.offset <= c.End {
			t = c
		}
	}
	if t.Kind == syntax.Text {
		start, end := quotes(s.part.text(t))
		s.add(t.Start+start, t.Start+end)
	}
	if t.Kind != syntax.Stray {
		s.add(t.Start, t.End)
	}
}

// brackets adds, from the innermost brackets to the outermost, the value, the argument and the call that
// the place stands in, and last the statement.
func (s *selector) brackets() {
	for _, st := range s.part.statements() {
		if st.start() > s.offset || s.offset > st.end() {
			continue
		}
		for _, level := range levelsAt(st.code, s.offset) {
			s.level(st.code, level)
		}
	}
}

// levelsAt gives the brackets around a byte offset as stretches of tokens without the brackets, the
// innermost first and the whole statement last.
func levelsAt(code []syntax.Token, offset int) [][2]int {
	var open []int
	for i, t := range code {
		if t.Start >= offset {
			break
		}
		switch {
		case t.Kind == syntax.Opener:
			open = append(open, i)
		case t.Kind == syntax.Closer && t.End <= offset && len(open) > 0:
			open = open[:len(open)-1]
		}
	}
	var levels [][2]int
	for len(open) > 0 {
		i := open[len(open)-1]
		open = open[:len(open)-1]
		to := len(code)
		if end := closingOf(code, i); end > 0 {
			to = end
		}
		levels = append(levels, [2]int{i + 1, to})
	}
	return append(levels, [2]int{0, len(code)})
}

// level adds what stands between commas around the place, what stands in the brackets, and the brackets
// with what is called.
func (s *selector) level(code []syntax.Token, level [2]int) {
	from, to := level[0], level[1]
	first, last := between(code, from, to, s.offset, s.part, ",")
	if first < last {
		value, end := first, last
		if first+1 < last && s.part.text(code[first+1]) == "=" {
			value += 2
		}
		if value < end {
			a, b := between(code, value, end, s.offset, s.part, "+", "-")
			s.chain(code, a, b)
			s.add(code[value].Start, code[end-1].End)
		}
		s.add(code[first].Start, code[last-1].End)
	}
	if from < to {
		s.add(code[from].Start, code[to-1].End)
	}
	if from > 0 && to < len(code) {
		s.add(code[from-1].Start, code[to].End)
		if from > 1 && code[from-2].Kind == syntax.Word {
			s.add(code[s.part.receiver(code, from-2)].Start, code[to].End)
		}
	}
}

// chain adds the names joined by dots and the product around the place.
func (s *selector) chain(code []syntax.Token, from, to int) {
	a, b := between(code, from, to, s.offset, s.part, "*", "/", "//", "%")
	if a < b {
		s.add(code[a].Start, code[b-1].End)
	}
	if from < to {
		s.add(code[from].Start, code[to-1].End)
	}
}

// between narrows a stretch of tokens to what stands between separators, outside inner brackets, around a
// byte offset.
func between(code []syntax.Token, from, to, offset int, p *Part, separators ...string) (first, last int) {
	depth := 0
	first, last = from, to
	for i := from; i < to; i++ {
		switch code[i].Kind {
		case syntax.Opener:
			depth++
		case syntax.Closer:
			depth--
		}
		if depth > 0 || !isOneOf(p.text(code[i]), separators) {
			continue
		}
		if code[i].End <= offset {
			first = i + 1
		} else {
			last = i
			break
		}
	}
	return first, max(first, last)
}

func isOneOf(text string, of []string) bool {
	for _, o := range of {
		if o == text {
			return true
		}
	}
	return false
}

// blocks adds the statements that the place's own stands in.
func (s *selector) blocks() {
	list := s.part.statements()
	for i := len(list) - 1; i >= 0; i-- {
		end := blockEnd(list, i)
		if list[i].heads && list[i].start() <= s.offset && s.offset <= list[end-1].end() {
			if end > i+1 {
				s.add(list[i+1].start(), list[end-1].end())
			}
			s.add(list[i].start(), list[end-1].end())
		}
	}
}
