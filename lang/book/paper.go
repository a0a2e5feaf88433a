package book

import (
	"bufio"
	_ "embed"
	"html/template"
	"io"
	"strings"

	"haulm/lang/report"
	"haulm/lang/source"
)

//go:embed book.css
var style string

//go:embed pages.html
var pagesText string

// pages are the templates of the pages' parts.
var pages = template.Must(template.New("").Funcs(template.FuncMap{"cut": shown}).Parse(pagesText))

// paper is a page being written. What goes wrong first is kept, and ends all writing.
type paper struct {
	*bufio.Writer
	book  *Book
	page  Page
	frame Frame
	err   error
}

func (p *paper) finish() error {
	if p.err != nil {
		return p.err
	}
	return p.Flush()
}

// part writes one of the templates.
func (p *paper) part(name string, data any) {
	if p.err == nil {
		p.err = pages.ExecuteTemplate(p.Writer, name, data)
	}
}

// raw writes what is HTML already; everything of the plan goes through text or a template.
func (p *paper) raw(html string) {
	if p.err == nil {
		_, p.err = p.WriteString(html)
	}
}

// text writes words of the plan.
func (p *paper) text(words string) { p.raw(template.HTMLEscapeString(printable(words))) }

// heading writes a heading of a level, with an id that links can lead to when there is one.
func (p *paper) heading(level, id, words string) {
	if id != "" {
		id = ` id="` + id + `"`
	}
	p.raw("<h" + level + id + ">")
	p.text(shown(words))
	p.raw("</h" + level + ">\n")
}

// table writes a table of the report.
func (p *paper) table(t report.Table, caption string) {
	if p.err == nil {
		p.err = t.WriteHTML(p.Writer, caption)
	}
}

// picture writes a drawing in a box of its own that can be scrolled with the keyboard.
func (p *paper) picture(name string, draw func(w io.Writer) error) {
	p.raw(`<div class="box picture" role="region" tabindex="0" aria-label="`)
	p.text(name)
	p.raw("\">\n")
	if p.err == nil {
		p.err = draw(p.Writer)
	}
	p.raw("</div>\n")
}

// chapter is an entry of the contents.
type chapter struct {
	Name, Title string
	Here        bool
}

func (p *paper) open() {
	p.part("open", map[string]any{
		"Title": p.page.Title, "Farm": p.book.farmName(), "Style": template.CSS(style), "Chapters": p.chapters(),
		"First": p.page.Name == "index.html", "Class": p.page.class, "Frame": p.frame,
	})
}

func (p *paper) close() {
	p.part("close", map[string]any{"Entry": p.book.Entry, "Frame": p.frame})
}

// chapterNames are the entries that stand for many pages; they lead to the first of them.
var chapterNames = map[string]string{"plots": "Plots", "weeks": "Weeks"}

// chapters lists what a reader can turn to from any page: plots, weeks, reckonings and lines of the plan
// have one entry for all.
func (p *paper) chapters() []chapter {
	var list []chapter
	known := map[string]bool{}
	for _, page := range p.book.pages {
		name, several := chapterNames[page.chapter]
		switch {
		case several && !known[page.chapter]:
			known[page.chapter] = true
			list = append(list, chapter{page.Name, name, p.page.chapter == page.chapter})
		case page.chapter == "":
			list = append(list, chapter{page.Name, page.Title, page.Name == p.page.Name || page.Name == p.page.chapter})
		}
	}
	return list
}

// printable makes a name of the plan safe to show.
func printable(text string) string { return strings.Map(source.Visible, text) }

// Characters of a name that a line of text has room for, and of a message or a line of the plan.
const (
	longName    = 80
	longMessage = 600
)

// shown keeps a name to what a line has room for.
func shown(text string) string { return cutTo(text, longName) }

// cutTo keeps a text to so many characters.
func cutTo(text string, most int) string {
	n := 0
	for i := range text {
		if n == most {
			return printable(strings.TrimRight(text[:i], " ")) + "…"
		}
		n++
	}
	return printable(text)
}
