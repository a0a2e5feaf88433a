package report

import (
	"bufio"
	"html"
	"io"
)

// mostShown is how many characters of a name stand in a cell of HTML; a longer one would push all else off
// the page.
const mostShown = 160

// WriteHTML writes the table for a page, in a box of its own that can be scrolled with the keyboard where the
// page is narrower. The caption names it. Columns are those of the text; what is not known is an em dash.
func (t Table) WriteHTML(w io.Writer, caption string) error {
	out := bufio.NewWriter(w)
	name := html.EscapeString(printable(caption))
	if len(t.Rows) == 0 {
		out.WriteString(`<p class="none">` + name + ": the plan has no " + html.EscapeString(printable(t.Name)) + ".</p>\n")
		return out.Flush()
	}
	g := t.grid()
	table := "<table>"
	if g.width() > widePaper {
		table = `<table class="tight">`
	}
	out.WriteString(`<div class="box" role="region" tabindex="0" aria-label="` + name + `">` + table + `<caption>` + name + "</caption>\n<thead><tr>")
	for i, head := range g.heads {
		out.WriteString(`<th scope="col"` + g.class(i) + ">" + cellText(head) + "</th>")
	}
	out.WriteString("</tr></thead>\n<tbody>\n")
	for _, row := range g.rows {
		g.writeHTML(out, row)
	}
	out.WriteString("</tbody>\n")
	if g.totals != nil {
		out.WriteString("<tfoot>\n")
		g.writeHTML(out, g.totals)
		out.WriteString("</tfoot>\n")
	}
	out.WriteString("</table></div>\n")
	return out.Flush()
}

// Caution is what stands once under the table, "" for nothing.
func (t Table) Caution() string { return t.caution }

// widePaper is how many letters a line of a sheet has room for that is turned sideways.
const widePaper = 120

// oneLine is up to how wide the texts of a column are kept on one line.
const oneLine = 28

// class tells the style of a column: numbers, and texts too wide to be kept on one line.
func (g *grid) class(i int) string {
	switch {
	case g.columns[i].Right:
		return ` class="n"`
	case g.widths[i] > oneLine:
		return ` class="w"`
	}
	return ""
}

// writeHTML writes one row; its first cell says what the row is.
func (g *grid) writeHTML(out *bufio.Writer, row []string) {
	out.WriteString("<tr>")
	for i, text := range row {
		if i == 0 {
			out.WriteString(`<th scope="row"` + g.class(i) + ">" + cellText(text) + "</th>")
		} else {
			out.WriteString("<td" + g.class(i) + ">" + cellText(text) + "</td>")
		}
	}
	out.WriteString("</tr>\n")
}

func cellText(text string) string { return html.EscapeString(cut(text, mostShown)) }
