package book

import (
	"html/template"
	"path"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/source"
)

// reckonings leads to the reckonings of each plot and writes those of the water.
func (b *Book) reckonings(w *paper) {
	w.raw("<p>Every figure of this book can be followed to the line of the plan that asked for it and to the source behind it. " +
		"Grades of sources: A a standard, regulation or university page; B the same through a copy; C trade charts; " +
		"M memory, which nobody has verified; X arithmetic.</p>\n")
	var list []Page
	for _, p := range b.pages {
		if p.chapter == "why.html" {
			list = append(list, p)
		}
	}
	w.part("contents", list)
	if f := b.Facts.Water; f != nil {
		l := newLedger(w)
		for _, z := range f.Zones {
			l.item("zone-"+decimal(z.Number), derive.Item{Zone: z})
		}
		l.end()
	}
}

// plotWhy writes the reckonings of a plot, its rows and plantings.
func (b *Book) plotWhy(w *paper, p *derive.Plot) {
	w.raw(`<p><a href="` + b.plotPage(p) + `">The plot's map and cards</a></p>` + "\n")
	l := newLedger(w)
	l.item("plot", derive.Item{Plot: p})
	for _, r := range p.Rows {
		l.item("row-"+decimal(r.Number), derive.Item{Row: r})
	}
	l.write()
	for _, r := range p.Rows {
		for _, q := range r.Plantings {
			l.item("planting-"+decimal(q.Number), derive.Item{Planting: q})
		}
	}
	l.end()
}

// ledger gathers the reckonings of things that follow one another, and tells things alike of which all was
// reckoned alike only once; of things partly alike, what is the same leads to where it was told. Long sources stand
// once, at the end of the page.
type ledger struct {
	w       *paper
	order   []*entry
	known   map[string]*entry
	sources []string
	number  map[string]int // of each source, from 1
	told    map[string]place
	whole   bool // long sources stand where they are used: there is no end of the page
}

// place is the thing of which a reckoning was told first.
type place struct{ id, name string }

type entry struct {
	ids, names []string
	body       string
}

func newLedger(w *paper) *ledger {
	return &ledger{w: w, known: map[string]*entry{}, number: map[string]int{}, told: map[string]place{}}
}

func (l *ledger) add(id, name string, why []derive.Reckoning) {
	if len(why) == 0 {
		return
	}
	var page strings.Builder
	page.Grow(8 << 10)
	ends := make([]int, len(why))
	for i := range why {
		l.reckoning(&page, &why[i])
		ends[i] = page.Len()
	}
	body := page.String()
	e := l.known[body]
	if e == nil {
		e = &entry{body: l.brief(id, name, body, ends)}
		l.known[body] = e
		l.order = append(l.order, e)
	}
	e.ids, e.names = append(e.ids, id), append(e.names, name)
}

// leastBrief is from how many bytes a reckoning that stands on the page already is told by a link to it.
const leastBrief = 120

// brief leaves of each reckoning that was told of another thing its title and result, and leads there; those that
// follow one another share a line.
func (l *ledger) brief(id, name, body string, ends []int) string {
	var page strings.Builder
	from, at := 0, place{} // at is where the line being written leads
	for _, end := range ends {
		part := body[from:end]
		from = end
		first, told := l.told[part]
		if !told {
			l.told[part] = place{id, name}
		}
		if !told || len(part) < leastBrief {
			if at.id != "" {
				page.WriteString(".</p></div>\n")
				at = place{}
			}
			page.WriteString(part)
			continue
		}
		switch at {
		case first:
			page.WriteString("; ")
		default:
			if at.id != "" {
				page.WriteString(".</p></div>\n")
			}
			page.WriteString(`<div><p>As for <a href="#` + first.id + `">`)
			writeText(&page, shown(first.name))
			page.WriteString("</a>: ")
			at = first
		}
		head, _, _ := strings.Cut(part, "</h3>")
		page.WriteString(strings.TrimPrefix(head, "<div><h3>"))
	}
	if at.id != "" {
		page.WriteString(".</p></div>\n")
	}
	return page.String()
}

// item adds what was reckoned of a thing that has a name.
func (l *ledger) item(id string, item derive.Item) { l.add(id, item.Title(), item.Why()) }

// write writes what was gathered, and begins anew.
func (l *ledger) write() {
	for _, e := range l.order {
		l.w.raw(`<section class="why">`)
		for _, id := range e.ids {
			l.w.raw(`<span id="` + id + `"></span>`)
		}
		l.w.raw("<h2>")
		for i, name := range e.names {
			if i > 0 {
				l.w.raw("<br>")
			}
			l.w.text(shown(name))
		}
		l.w.raw("</h2>\n")
		l.w.raw(e.body)
		l.w.raw("</section>\n")
	}
	l.order, l.known = nil, map[string]*entry{}
}

// end writes the sources.
func (l *ledger) end() {
	l.write()
	if len(l.sources) == 0 {
		return
	}
	l.w.heading("2", "sources", "Sources")
	l.w.raw("<ol>\n")
	for i, text := range l.sources {
		l.w.raw(`<li id="source-` + decimal(i+1) + `">`)
		l.w.text(cutTo(text, longMessage))
		l.w.raw("</li>\n")
	}
	l.w.raw("</ol>\n")
}

// longSource is from how many letters a source stands at the end of the page.
const longSource = 44

// noted tells whether a source stands at the end of the page.
func (l *ledger) noted(text string) bool { return !l.whole && len(text) >= longSource }

// source writes where a number comes from.
func (l *ledger) source(w *strings.Builder, text string) {
	if !l.noted(text) {
		writeText(w, text)
		return
	}
	n := l.number[text]
	if n == 0 {
		l.sources = append(l.sources, text)
		n = len(l.sources)
		l.number[text] = n
	}
	w.WriteString(`<a href="#source-` + decimal(n) + `">source ` + decimal(n) + "</a>")
}

func writeText(w *strings.Builder, words string) {
	w.WriteString(template.HTMLEscapeString(cutTo(words, longMessage)))
}

// reckoning writes one reckoning. There are so many of them that a template would take most of the time.
func (l *ledger) reckoning(w *strings.Builder, r *derive.Reckoning) {
	w.WriteString("<div><h3>")
	writeText(w, r.Title)
	if r.Result != "" {
		w.WriteString(": ")
		writeText(w, r.Result)
	}
	w.WriteString("</h3>\n")
	if r.Equation != "" {
		w.WriteString("<p>= ")
		writeText(w, r.Equation)
		w.WriteString("</p>\n")
	}
	if len(r.Inputs) > 0 {
		w.WriteString("<ul>")
	}
	for _, in := range r.Inputs {
		w.WriteString("<li>")
		writeText(w, in.Name)
		w.WriteString(" <b>")
		if in.Value == "" {
			in.Value = "—"
		}
		writeText(w, in.Value)
		w.WriteString("</b>")
		if in.Source != "" {
			w.WriteString(", ")
			l.source(w, in.Source)
		}
		b := l.w.book
		if page, ok := b.sources[in.Span.File]; ok && in.Span.IsValid() {
			line := decimal(int(in.Span.Start.Line))
			w.WriteString(`, <a href="` + page + "#L" + line + `">`)
			writeText(w, b.fileName(in.Span.File)+":"+line)
			w.WriteString("</a>")
		}
		w.WriteString("</li>\n")
	}
	if len(r.Inputs) > 0 {
		w.WriteString("</ul>\n")
	}
	if r.Source != "" {
		w.WriteString("<p>")
		if !l.noted(r.Source) {
			w.WriteString("Source: ")
		}
		l.source(w, r.Source)
		w.WriteString("</p>\n")
	}
	w.WriteString("</div>\n")
}

// fileName is what a file of the plan is called: its path from the folder of the plan's first file.
func (b *Book) fileName(f *source.File) string {
	folder, _ := path.Split(b.Entry)
	return shown(strings.TrimPrefix(f.Path, folder))
}
