package book

import (
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"
)

// noted is a finding on its page.
type noted struct {
	Severity, Message, Code string
	Place                   *linked
	Line, Reason, Help      string
	Fixes                   []string
}

// linked is a place with the page that shows it.
type linked struct{ Text, Link string }

// findings writes what the checks found, what is lived with on purpose, and what the codes mean.
func (b *Book) findings(w *paper) {
	w.raw("<p>")
	w.text(diag.Tally(b.Findings))
	w.raw("</p>\n")
	var rules []*diag.Rule
	seen := map[*diag.Rule]bool{}
	write := func(d *diag.Diagnostic, reason string) {
		if !seen[d.Rule] {
			seen[d.Rule] = true
			rules = append(rules, d.Rule)
		}
		w.part("finding", b.noted(d, reason))
	}
	for i := range b.Findings {
		write(&b.Findings[i], "")
	}
	if len(b.Accepted) > 0 {
		w.heading("2", "accepted", "Accepted on purpose")
		for i := range b.Accepted {
			write(&b.Accepted[i].Finding, b.Accepted[i].Accept.Reason)
		}
	}
	if len(rules) > 0 {
		w.heading("2", "codes", "What the codes mean")
	}
	for _, r := range rules {
		w.part("code", map[string]any{"Code": r.Code, "Summary": r.Summary, "Explain": strings.Split(strings.ReplaceAll(r.Explain, "`", ""), "\n\n"), "Source": r.Source})
	}
}

func (b *Book) noted(d *diag.Diagnostic, reason string) noted {
	n := noted{
		Severity: d.Rule.Severity.String(), Message: cutTo(d.Message, longMessage), Code: d.Code(), Reason: cutTo(reason, longMessage),
		Help: cutTo(d.Help, longMessage),
	}
	if at := d.Primary.Span; at.IsValid() {
		n.Place = &linked{Text: b.fileName(at.File) + ":" + decimal(int(at.Start.Line))}
		if page, ok := b.sources[at.File]; ok {
			n.Place.Link = page + "#L" + decimal(int(at.Start.Line))
		}
		n.Line = lineAt(at)
	}
	for _, f := range d.Fixes {
		n.Fixes = append(n.Fixes, cutTo(f.Title, longMessage))
	}
	return n
}

// lineAt is the first line of the text that a finding is about.
func lineAt(at source.Span) string {
	return cutTo(strings.TrimSpace(at.File.Line(int(at.Start.Line))), longMessage)
}

// source writes a file of the plan with the numbers of its lines.
func (b *Book) source(w *paper, f *source.File) {
	w.raw(`<pre class="lines" tabindex="0" aria-label="The file's lines">`)
	for n := 1; n <= f.Lines(); n++ {
		w.raw(`<span id="L` + decimal(n) + `"><i>` + decimal(n) + "</i>")
		w.text(cutTo(f.Line(n), longMessage))
		w.raw("\n</span>")
	}
	w.raw("</pre>\n")
}
