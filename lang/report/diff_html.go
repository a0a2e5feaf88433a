package report

import (
	"bytes"
	"html"
	"io"

	"haulm/lang/derive"
	"haulm/lang/diff"
)

const diffStyle = `
body{font-family:"Gill Sans","Trebuchet MS","DejaVu Sans",sans-serif;color:` + inkColor + `;background:#fff;margin:1.5rem;line-height:1.35}
h1,h2{font-family:Georgia,"DejaVu Serif",serif;margin:1.2rem 0 .4rem}
h3{margin:.9rem 0 .2rem}
.maps{display:flex;flex-wrap:wrap;gap:1rem}
.maps figure{flex:1 1 34rem;margin:0;min-width:0}
.maps figcaption{font-weight:bold;margin-bottom:.3rem}
.maps svg{width:100%;height:auto}
ol{padding:0;list-style:none;margin:0}
li{margin:.35rem 0 .35rem 3.4rem;text-indent:-3.4rem}
li>*{text-indent:0}
.no{display:inline-block;width:2.6rem;text-align:center;font-weight:bold;border:1.5px solid #000;border-radius:.6rem;margin-right:.6rem}
.what{margin:0 0 0 .6rem}
table{border-collapse:collapse;margin:.6rem 0}
caption{text-align:left;font-weight:bold}
th,td{border:1px solid #999;padding:.15rem .5rem;text-align:left;font-weight:normal}
thead th{font-weight:bold}
.n{text-align:right}
@media print{body{margin:0}.maps figure{break-inside:avoid;flex-basis:100%}li{break-inside:avoid}}
`

// DiffHTML writes what changed between two farms as a page of its own, without outside resources: the maps of both
// side by side, every change marked with its number and a sign, then the list of changes, totals, what to buy
// and findings. Marks tell themselves apart without colour.
func DiffHTML(d *diff.Diff, w io.Writer) error {
	t := &diffText{d: d}
	var b bytes.Buffer
	title := html.EscapeString(printable(diffTitle(d)))
	b.WriteString("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
		title + ": what changed</title>\n<style>" + diffStyle + markStyle + "</style>\n</head>\n<body>\n<h1>" + title + "</h1>\n")
	if d.Same() {
		b.WriteString("<p>Nothing changed.</p>\n")
	} else {
		b.WriteString("<p>" + diffTally(d) + ". On the maps, a solid outline with + marks what was added, a dashed one with − what was removed, " +
			"a dotted one with → what moved and with ~ any other change; the numbers are those of the list.</p>\n")
		t.maps(&b)
		t.list(&b)
		t.totalsTable().WriteHTML(&b, "Totals") // writing to a buffer does not fail
		if goods := t.goodsTable(); len(goods.Rows) > 0 {
			goods.WriteHTML(&b, "What is bought")
		}
		findingsHTML(&b, "Findings gained", d.Gained)
		findingsHTML(&b, "Findings lost", d.Lost)
	}
	b.WriteString("</body>\n</html>\n")
	_, err := w.Write(b.Bytes())
	return err
}

// maps draws both farms. The patterns of both stand once on the page.
func (t *diffText) maps(b *bytes.Buffer) {
	from, to := orEmpty(t.d.Old.Facts), orEmpty(t.d.New.Facts)
	all, old, now := bothLooks(from, to)
	var defs drawing
	defs.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="0" height="0" aria-hidden="true" style="position:absolute">` + "\n")
	defs.writeDefs(all)
	defs.WriteString("</svg>\n")
	b.Write(defs.Bytes())
	b.WriteString("<div class=\"maps\">\n")
	for _, side := range []struct {
		caption string
		facts   *derive.Facts
		look    *look
		thing   func(*diff.Change) *diff.Thing
	}{
		{"Before", from, old, func(c *diff.Change) *diff.Thing { return c.Old }},
		{"Now", to, now, func(c *diff.Change) *diff.Thing { return c.New }},
	} {
		m := &mapper{facts: side.facts, look: side.look, bare: true, marks: diffMarks(t.d.Changes, side.thing)}
		b.WriteString("<figure><figcaption>" + side.caption + ": " + html.EscapeString(printable(m.farmTitle())) + "</figcaption>\n")
		b.Write(m.draw(farmWidth))
		b.WriteString("</figure>\n")
	}
	b.WriteString("</div>\n")
}

func orEmpty(facts *derive.Facts) *derive.Facts {
	if facts == nil || facts.Farm == nil {
		return derive.Derive(nil)
	}
	return facts
}

// list writes the changes, numbered through as on the maps.
func (t *diffText) list(b *bytes.Buffer) {
	b.WriteString("<h2>Changes</h2>\n")
	n := 0
	for _, g := range diffGroups(t.d.Changes) {
		b.WriteString("<h3>" + html.EscapeString(printable(g.name)) + "</h3>\n<ol>\n")
		for _, c := range g.changes {
			n++
			b.WriteString(`<li><span class="no">` + sign(c) + decimal(float64(n), 0) + "</span>" + cellText(t.headline(c, g.name)))
			for _, a := range c.Aspects {
				b.WriteString(`<div class="what">` + cellText(aspectText(a)) + "</div>")
			}
			for _, line := range t.follows(c) {
				b.WriteString(`<div class="what">⇒ ` + html.EscapeString(printable(line)) + "</div>")
			}
			b.WriteString("</li>\n")
		}
		b.WriteString("</ol>\n")
	}
}

func findingsHTML(b *bytes.Buffer, head string, list []*diff.Finding) {
	if len(list) == 0 {
		return
	}
	b.WriteString("<h2>" + head + "</h2>\n<ul>\n")
	for _, f := range list {
		b.WriteString("<li>" + html.EscapeString(printable(findingText(f))) + "</li>\n")
	}
	b.WriteString("</ul>\n")
}
