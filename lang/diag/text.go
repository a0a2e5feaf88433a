package diag

import (
	"fmt"
	"io"
	"strings"

	"haulm/lang/source"
)

// TextOptions say how findings are written for people.
type TextOptions struct {
	Color   bool   // with the colors of an ANSI terminal
	Width   int    // of the page in columns; 0 is 100
	Summary string // the closing lines; Tally of the findings when empty
}

// WriteText writes findings for people: message, code and place, the lines of every file involved with
// the spans marked and labelled, help, the fixes on offer, and a summary at the end.
func WriteText(w io.Writer, ds []Diagnostic, o TextOptions) error {
	if o.Width <= 0 {
		o.Width = 100
	}
	var page strings.Builder
	long := map[lineOf][]cell{}
	for i := range ds {
		p := printer{page: &page, ink: ink(o.Color), width: o.Width, long: long}
		p.finding(&ds[i])
		page.WriteByte('\n')
	}
	if o.Summary == "" {
		o.Summary = Tally(ds)
	}
	page.WriteString(plain(o.Summary) + "\n")
	_, err := io.WriteString(w, page.String())
	return err
}

// Tally counts findings by severity: "2 errors, 1 warning, 3 notes", "no findings".
func Tally(ds []Diagnostic) string {
	var count [Error + 1]int
	for i := range ds {
		count[ds[i].Rule.Severity]++
	}
	var parts []string
	for s := int(Error); s >= int(Note); s-- {
		switch n := count[s]; n {
		case 0:
		case 1:
			parts = append(parts, "1 "+Severity(s).String())
		default:
			parts = append(parts, fmt.Sprintf("%d %ss", n, Severity(s)))
		}
	}
	if parts == nil {
		return "no findings"
	}
	return strings.Join(parts, ", ")
}

// ink writes with color or without.
type ink bool

// Colours by their ANSI numbers.
const (
	bold   = "1"
	dim    = "2"
	red    = "1;31"
	yellow = "1;33"
	blue   = "34"
	cyan   = "1;36"
	green  = "32"
)

func (i ink) paint(color, text string) string {
	if !i || text == "" {
		return text
	}
	return "\x1b[" + color + "m" + text + "\x1b[0m"
}

func (s Severity) color() string { return [...]string{cyan, yellow, red}[s] }

// printer writes one finding.
type printer struct {
	page *strings.Builder
	ink
	width    int
	gutter   int // columns of the line numbers
	severity string
	long     map[lineOf][]cell // cells of long lines, shared by all findings
}

func (p *printer) finding(d *Diagnostic) {
	p.severity = d.Rule.Severity.color()
	head, rest, more := strings.Cut(plain(d.Message), "\n")
	p.page.WriteString(p.paint(p.severity, d.Rule.Severity.String()+":") + " " + p.paint(bold, head) + "\n")
	if more {
		p.words("", "", rest)
	}
	groups := p.groups(d)
	if len(groups) == 0 {
		p.page.WriteString("  " + p.paint(dim, d.Code()) + "\n")
	}
	for i, g := range groups {
		where := g.at.String()
		if i == 0 {
			where = d.Code() + " at " + where
		} else {
			where = "and " + where
		}
		p.page.WriteString("  " + p.paint(dim, plain(where)) + "\n")
		p.excerpt(g)
	}
	if d.Help != "" {
		p.words("help: ", cyan, d.Help)
	}
	for _, f := range d.Fixes {
		p.words("fix: ", green, f.Title)
	}
}

// words writes a paragraph under the excerpt, its first line with a colored opening.
func (p *printer) words(opening, color, text string) {
	indent := "  " + strings.Repeat(" ", len(opening))
	for i, line := range wrap(plain(text), max(p.width-len(indent), minWords)) {
		if i == 0 {
			p.page.WriteString("  " + p.paint(color, opening) + line + "\n")
		} else {
			p.page.WriteString(strings.TrimRight(indent+line, " ") + "\n")
		}
	}
}

// group is the labels of a finding that stand in one file.
type group struct {
	file  *source.File
	at    source.Span // of the first label
	marks []mark
}

// groups gathers the labels by file: the primary's file first, the others as the finding names them.
func (p *printer) groups(d *Diagnostic) []group {
	var groups []group
	add := func(l Label, primary bool) {
		if !l.Span.IsValid() {
			return
		}
		for i := range groups {
			if groups[i].file.Path == l.Span.File.Path {
				groups[i].marks = append(groups[i].marks, marks(l, primary)...)
				return
			}
		}
		groups = append(groups, group{file: l.Span.File, at: l.Span, marks: marks(l, primary)})
	}
	add(d.Primary, true)
	for _, l := range d.Related {
		add(l, false)
	}
	for _, g := range groups {
		for _, m := range g.marks {
			p.gutter = max(p.gutter, len(fmt.Sprint(m.line))+4)
		}
	}
	return groups
}
