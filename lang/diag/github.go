package diag

import (
	"fmt"
	"io"
	"strings"
)

// WriteGitHub writes findings as workflow commands, one line each, that a runner shows beside the
// change: "::error file=farm.star,line=12,col=5,endLine=12,endColumn=9,title=rows-too-close::...".
// Columns follow the other forms: from 1, in code points, ends exclusive.
func WriteGitHub(w io.Writer, ds []Diagnostic) error {
	var out strings.Builder
	for i := range ds {
		d := &ds[i]
		command := [...]string{Note: "notice", Warning: "warning", Error: "error"}[d.Rule.Severity]
		out.WriteString("::" + command + " ")
		if s := d.Primary.Span; s.IsValid() {
			fmt.Fprintf(&out, "file=%s,line=%d,col=%d,endLine=%d,endColumn=%d,",
				escapeProperty.Replace(s.File.Path), s.Start.Line, s.Start.Col, s.End.Line, s.End.Col)
		}
		out.WriteString("title=" + escapeProperty.Replace(d.Code()) + "::" + escapeText.Replace(body(d)) + "\n")
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// body is the message with what a reader of the change would not see otherwise.
func body(d *Diagnostic) string {
	lines := []string{d.Message}
	for _, l := range d.Related {
		if l.Span.IsValid() && l.Text != "" {
			lines = append(lines, l.Span.String()+": "+l.Text)
		}
	}
	if d.Help != "" {
		lines = append(lines, "help: "+d.Help)
	}
	for _, f := range d.Fixes {
		lines = append(lines, "fix: "+f.Title)
	}
	return strings.Join(lines, "\n")
}

// Escapes of the command's text and of its properties, which may hold neither ':' nor ','.
var (
	escapeText     = strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A")
	escapeProperty = strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A", ":", "%3A", ",", "%2C")
)
