// Package book lays a plan out as a field book: pages of HTML for the screen, the printer and the shed wall,
// and the same figures as files for other programs. In goes a plan.Snapshot; out come pages and files, each
// with a name and a function that writes it, the same bytes for the same snapshot.
//
// It works nothing out and judges nothing: facts come from lang/derive, tables and drawings from
// lang/report, findings from the snapshot. Every page stands alone: its style is in it, nothing is fetched,
// and it reads without a script. Pages are written one after the other and none holds more than a plot or a
// month, so that the largest farm takes no more memory than its facts.
package book

import (
	"bufio"
	"io"
	"slices"
	"strconv"

	"haulm/lang/derive"
	"haulm/lang/plan"
	"haulm/lang/source"
)

// Book is a plan's field book.
type Book struct {
	*plan.Snapshot
	pages   []Page
	data    []Page
	sheets  []sheet
	sources map[*source.File]string // the page of each file of the plan
	plots   map[*derive.Plot]int    // counted from 1
}

// Page is one file of the book.
type Page struct {
	Name  string // of the file
	Title string

	chapter string // the entry of the contents that it belongs to
	class   string // how it is printed: "wide" on paper turned sideways, "mapped" with a map that is its own heading
	write   func(p *paper)
	raw     func(w io.Writer) error // writes what is no page of HTML
}

// New lays a plan out. The snapshot is read, never changed, also while pages are written.
func New(s *plan.Snapshot) *Book {
	b := &Book{Snapshot: s, sources: map[*source.File]string{}, plots: map[*derive.Plot]int{}}
	for i, f := range s.Files {
		b.sources[f] = "source-" + strconv.Itoa(i+1) + ".html"
	}
	for i, p := range s.Facts.Plots {
		b.plots[p] = i + 1
	}
	b.sheets = b.listSheets()
	b.add(Page{Name: "index.html", Title: "At a glance", write: b.glance})
	if b.large() {
		b.add(Page{Name: "map.html", Title: "Map", class: "mapped", write: b.farmMap})
	}
	for _, p := range s.Facts.Plots {
		b.add(Page{Name: b.plotPage(p), Title: p.Decl.Name.Value, chapter: "plots", class: "mapped", write: func(w *paper) { b.plot(w, p) }})
	}
	b.addWeeks()
	b.addSheets()
	b.addCharts()
	b.add(Page{Name: "findings.html", Title: "Findings", write: b.findings})
	b.add(Page{Name: "why.html", Title: "How it was reckoned", write: b.reckonings})
	for _, p := range s.Facts.Plots {
		b.add(Page{Name: b.whyPage(p), Title: "Reckonings: " + p.Decl.Name.Value, chapter: "why.html", write: func(w *paper) { b.plotWhy(w, p) }})
	}
	b.addData()
	b.add(Page{Name: "cautions.html", Title: "Cautions", write: b.cautions})
	for _, f := range s.Files {
		b.add(Page{Name: b.sources[f], Title: b.fileName(f), chapter: "why.html", write: func(w *paper) { b.source(w, f) }})
	}
	return b
}

func (b *Book) add(p Page) { b.pages = append(b.pages, p) }

// Pages gives the pages in the order in which one reads them, the first the one to open.
func (b *Book) Pages() []Page { return b.pages }

// Files gives all files of the book: the pages, then those for other programs, the list of all last.
func (b *Book) Files() []Page { return append(slices.Clone(b.pages), b.data...) }

// Write writes a page or file.
func (b *Book) Write(page Page, w io.Writer) error { return b.WriteFramed(page, w, Frame{}) }

// WriteFramed writes a page with a frame around what the book prints, or a file as Write does.
func (b *Book) WriteFramed(page Page, w io.Writer, f Frame) error {
	if page.raw != nil {
		return page.raw(w)
	}
	p := &paper{Writer: bufio.NewWriter(w), book: b, page: page, frame: f}
	p.open()
	page.write(p)
	p.close()
	return p.finish()
}

func (b *Book) plotPage(p *derive.Plot) string { return "plot-" + strconv.Itoa(b.plots[p]) + ".html" }
func (b *Book) whyPage(p *derive.Plot) string {
	return "why-plot-" + strconv.Itoa(b.plots[p]) + ".html"
}

// plantingWhy is the address of a planting's reckonings.
func (b *Book) plantingWhy(p *derive.Planting) string {
	return b.whyPage(p.Row.Plot) + "#planting-" + strconv.Itoa(p.Number)
}
