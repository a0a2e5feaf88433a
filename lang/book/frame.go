package book

import (
	"bufio"
	"html/template"
	"io"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/source"
)

// Frame is what a page carries beside what the book prints, where it is shown while the plan is worked on.
type Frame struct {
	Head   template.HTML // at the end of its head
	Top    template.HTML // below the contents
	Beside template.HTML // after the main part
}

// WriteFindings writes the first findings, at most so many, as they stand on the book's page of findings, and
// below them how many more there are.
func (b *Book) WriteFindings(w io.Writer, most int) error {
	p := &paper{Writer: bufio.NewWriter(w), book: b}
	p.raw("<p>")
	p.text(diag.Tally(b.Findings))
	p.raw("</p>\n")
	for i := range min(most, len(b.Findings)) {
		p.part("finding", b.noted(&b.Findings[i], ""))
	}
	if more := len(b.Findings) - most; more > 0 {
		p.raw(`<p><a href="findings.html">` + decimal(more) + " more</a></p>\n")
	}
	return p.finish()
}

// WriteWhy writes how a planting was reckoned, under its name and the lines of the plan that ask for it.
func (b *Book) WriteWhy(w io.Writer, q *derive.Planting) error {
	p := &paper{Writer: bufio.NewWriter(w), book: b}
	item := derive.Item{Planting: q}
	p.heading("2", "why-name", item.Title())
	asked := append([]source.Span{q.Decl.Call}, q.Decl.Chain...)
	for i := len(asked) - 1; i >= 0; i-- { // what the grower wrote first, then the helper that it went through
		page, ok := b.sources[asked[i].File]
		if !ok || !asked[i].IsValid() {
			continue
		}
		line := decimal(int(asked[i].Start.Line))
		p.raw(`<p class="more"><a href="` + page + "#L" + line + `">`)
		p.text(b.fileName(asked[i].File) + ":" + line)
		p.raw("</a></p>\n<pre class=\"line\" tabindex=\"0\">")
		p.text(lineAt(asked[i]))
		p.raw("</pre>\n")
	}
	l := newLedger(p)
	l.whole = true
	var body strings.Builder
	why := item.Why()
	for i := range why {
		l.reckoning(&body, &why[i])
	}
	p.raw(body.String())
	return p.finish()
}

// Source is the page that shows a file of the plan, "" when there is none.
func (b *Book) Source(path string) string {
	for f, page := range b.sources {
		if f.Path == path {
			return page
		}
	}
	return ""
}
