package book

import (
	"html/template"
	"strings"

	"haulm/lang/derive"
)

// reckonings leads to the reckonings of each plot and writes those of the water.
func (b *Book) reckonings(w *paper) {
	w.raw("<p>Every figure of this book can be followed to the line of the plan that asked for it and to the source behind it.</p>\n")
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
			l.add("zone-"+decimal(z.Number), derive.Item{Zone: z})
		}
		l.write()
	}
}

// plotWhy writes the reckonings of a plot, its rows and plantings.
func (b *Book) plotWhy(w *paper, p *derive.Plot) {
	w.raw(`<p><a href="` + b.plotPage(p) + `">The plot's map and cards</a></p>` + "\n")
	l := newLedger(w)
	l.add("plot", derive.Item{Plot: p})
	for _, r := range p.Rows {
		l.add("row-"+decimal(r.Number), derive.Item{Row: r})
	}
	l.write()
	for _, r := range p.Rows {
		for _, q := range r.Plantings {
			l.add("planting-"+decimal(q.Number), derive.Item{Planting: q})
		}
	}
	l.write()
}

// ledger gathers the reckonings of things that follow one another, and tells things alike of which all was
// reckoned alike only once.
type ledger struct {
	w     *paper
	order []*entry
	known map[string]*entry
}

type entry struct {
	ids, names []string
	body       string
}

func newLedger(w *paper) *ledger { return &ledger{w: w, known: map[string]*entry{}} }

func (l *ledger) add(id string, item derive.Item) {
	var page strings.Builder
	for _, r := range item.Why() {
		l.w.book.reckoning(&page, &r)
	}
	body := page.String()
	e := l.known[body]
	if e == nil {
		e = &entry{body: body}
		l.known[body] = e
		l.order = append(l.order, e)
	}
	e.ids, e.names = append(e.ids, id), append(e.names, item.Title())
}

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

// reckoning writes one reckoning. There are so many of them that a template would take most of the time.
func (b *Book) reckoning(w *strings.Builder, r *derive.Reckoning) {
	text := func(words string) { w.WriteString(template.HTMLEscapeString(cutTo(words, longMessage))) }
	w.WriteString("<div><h3>")
	text(r.Title)
	if r.Result != "" {
		w.WriteString(": ")
		text(r.Result)
	}
	w.WriteString("</h3>\n")
	if r.Equation != "" {
		w.WriteString("<p>= ")
		text(r.Equation)
		w.WriteString("</p>\n")
	}
	if len(r.Inputs) > 0 {
		w.WriteString("<ul>")
	}
	for _, in := range r.Inputs {
		w.WriteString("<li>")
		text(in.Name)
		w.WriteString(" <b>")
		if in.Value == "" {
			in.Value = "—"
		}
		text(in.Value)
		w.WriteString("</b>")
		if in.Source != "" {
			w.WriteString(", ")
			text(in.Source)
		}
		if page, ok := b.sources[in.Span.File]; ok && in.Span.IsValid() {
			line := decimal(int(in.Span.Start.Line))
			w.WriteString(`, <a href="` + page + "#L" + line + `">`)
			text(shown(in.Span.File.Path) + ":" + line)
			w.WriteString("</a>")
		}
		w.WriteString("</li>\n")
	}
	if len(r.Inputs) > 0 {
		w.WriteString("</ul>\n")
	}
	if r.Source != "" {
		w.WriteString("<p>Source: ")
		text(r.Source)
		w.WriteString("</p>\n")
	}
	w.WriteString("</div>\n")
}
