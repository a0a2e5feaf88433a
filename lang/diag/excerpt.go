package diag

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"haulm/lang/source"
)

// The least room that text gets however narrow the page is.
const (
	minWords   = 24 // for a wrapped paragraph or label
	minExcerpt = 20 // for a line of the plan
)

// mark is a stretch of one line that gets underlined.
type mark struct {
	line     int
	from, to int // runes from the line's start
	text     string
	primary  bool
}

// marks gives the underlines of a label: one, or for a span of several lines one on its first line and
// one, with the label's text, on its last.
func marks(l Label, primary bool) []mark {
	s := l.Span
	first := mark{line: int(s.Start.Line), from: int(s.Start.Col) - 1, text: plain(l.Text), primary: primary}
	last := int(s.End.Line)
	end := int(s.End.Col) - 1
	if last > first.line && end <= 0 { // ends with the line before
		last--
		end = len([]rune(s.File.Line(last)))
	}
	if last <= first.line {
		first.to = max(end, first.from)
		return []mark{first}
	}
	line := []rune(s.File.Line(last))
	second := mark{line: last, to: end, text: first.text, primary: primary}
	for second.from < min(end, len(line)) && (line[second.from] == ' ' || line[second.from] == '\t') {
		second.from++
	}
	first.text = ""
	first.to = len([]rune(s.File.Line(first.line)))
	return []mark{first, second}
}

// longLine is the length in bytes from which a line's cells are kept for the next finding on it.
const longLine = 1000

type lineOf struct {
	file *source.File
	line int
}

// cells lays out a line of a file.
func (p *printer) cells(file *source.File, line int) []cell {
	text := file.Line(line)
	if len(text) < longLine {
		return cells(text)
	}
	key := lineOf{file, line}
	if p.long[key] == nil {
		p.long[key] = cells(text)
	}
	return p.long[key]
}

// excerpt writes the lines of a group in their order, each once, with their marks below.
func (p *printer) excerpt(g group) {
	slices.SortStableFunc(g.marks, func(a, b mark) int {
		return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to))
	})
	last := 0
	for len(g.marks) > 0 {
		line := g.marks[0].line
		n := 1
		for n < len(g.marks) && g.marks[n].line == line {
			n++
		}
		switch {
		case last == 0 || line == last+1:
		case line == last+2:
			p.line(p.cells(g.file, last+1), last+1, nil)
		default:
			p.row("⋮", "")
		}
		p.line(p.cells(g.file, line), line, g.marks[:n])
		last, g.marks = line, g.marks[n:]
	}
}

// line writes one line of the plan. When it is longer than the page it is cut around the marks, and
// shown once for every bunch of marks that do not fit in one view.
func (p *printer) line(cs []cell, number int, ms []mark) {
	room := max(p.width-p.gutter-3, minExcerpt)
	total := cs[len(cs)-1].at
	for {
		n, lo, hi := 0, 0, 0
		for n < len(ms) {
			from, to := reach(cs, ms[n])
			if n == 0 {
				lo, hi = from, to
			} else if total > room && max(hi, to)-lo > room-2 {
				break
			}
			hi = max(hi, to)
			n++
		}
		v := look(cs, lo, hi, room)
		p.row(fmt.Sprint(number), v.text)
		for _, m := range ms[:n] {
			p.underline(cs, m, v, room)
		}
		if ms = ms[n:]; len(ms) == 0 {
			return
		}
	}
}

// reach gives the terminal columns a mark covers, at least one, from the line's start.
func reach(cs []cell, m mark) (from, to int) {
	end := len(cs) - 1
	from = cs[min(max(m.from, 0), end)].at
	to = cs[min(max(m.to, 0), end)].at
	return from, max(to, from+1)
}

// view is the part of a line that is shown.
type view struct {
	text   string
	lo, hi int // columns of the line that are seen
	shift  int // column of the page at which lo stands
}

// look chooses what is seen of a line so that the columns from lo to hi are.
func look(cs []cell, lo, hi, room int) view {
	total := cs[len(cs)-1].at
	v := view{lo: 0, hi: total}
	if total > room {
		if spare := max(room-2-(hi-lo), 0); hi > room-2 {
			v.lo = lo - spare/2
		}
		v.hi = min(v.lo+room-2, total)
		v.lo = max(v.hi-room+2, 0)
	}
	var b strings.Builder
	if v.lo > 0 {
		b.WriteString("…")
		v.shift = 1
	}
	seen := v.lo
	from, _ := slices.BinarySearchFunc(cs, v.lo, func(c cell, lo int) int { return cmp.Compare(c.at, lo) })
	for _, c := range cs[from:] {
		if c.at > v.hi {
			break
		}
		if c.at+c.wide > v.hi {
			continue
		}
		b.WriteString(strings.Repeat(" ", max(c.at-seen, 0))) // half of a wide rune is cut off
		b.WriteString(c.shown)
		seen = c.at + c.wide
	}
	if v.hi < total {
		b.WriteString(strings.Repeat(" ", max(v.hi-seen, 0)) + "…")
	}
	v.text = strings.TrimRight(b.String(), " ")
	return v
}

// underline writes a mark and its label: after the mark where there is room, else below it.
func (p *printer) underline(cs []cell, m mark, v view, room int) {
	from, to := reach(cs, m)
	from = min(max(from, v.lo), max(v.hi-1, v.lo))
	cut := to > v.hi && v.hi < cs[len(cs)-1].at
	to = max(min(to, max(v.hi, v.lo+1)), from+1)
	stroke, color := "─", blue
	if m.primary {
		stroke, color = "━", p.severity
	}
	rule := strings.Repeat(stroke, to-from)
	if cut {
		rule += "…"
	}
	indent := from - v.lo + v.shift
	end := indent + to - from
	if cut {
		end++
	}
	lines := wrap(m.text, max(room-end-1, 0))
	if len(lines) == 1 && end+1+source.TextColumns(lines[0]) <= room {
		text := strings.Repeat(" ", indent) + p.paint(color, rule)
		if m.text != "" {
			text += " " + p.paint(color, lines[0])
		}
		p.row("", text)
		return
	}
	p.row("", strings.Repeat(" ", indent)+p.paint(color, rule))
	indent = min(indent, max(room-minWords, 0))
	for _, line := range wrap(m.text, max(room-indent, minWords)) {
		p.row("", strings.Repeat(" ", indent)+p.paint(color, line))
	}
}

// row writes one row of an excerpt: what stands in the gutter, the rule beside it, and a text.
func (p *printer) row(gutter, text string) {
	pad := strings.Repeat(" ", max(p.gutter-source.TextColumns(gutter), 0))
	text = strings.TrimRight(text, " ")
	if text != "" {
		text = " " + text
	}
	p.page.WriteString(p.paint(dim, pad+gutter+" │") + text + "\n")
}
