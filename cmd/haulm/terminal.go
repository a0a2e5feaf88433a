package main

import (
	"io"
	"os"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/term"
)

// colors decides whether a stream gets colors: as the flag says, else when it is a terminal that can
// show them and NO_COLOR (no-color.org) is unset or empty.
func (o *options) colors(w io.Writer) (bool, error) {
	if err := oneOf("color", o.color, "auto", "always", "never"); err != nil {
		return false, err
	}
	switch o.color {
	case "always":
		return true, nil
	case "never":
		return false, nil
	}
	return isTerminal(w) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb", nil
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// pageWidth is the width of a page: COLUMNS when it is set, else the width of the terminal behind the
// stream, 100 columns when it is none.
func pageWidth(w io.Writer) int {
	if n, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && n >= 40 {
		return n
	}
	if f, ok := w.(*os.File); ok {
		if columns, _, err := term.GetSize(int(f.Fd())); err == nil && columns > 0 {
			return columns
		}
	}
	return 100
}

// unwrapped puts each paragraph and each item of a list of a Markdown text on one line. Headings, tables
// and code, which is indented by four, keep their lines.
func unwrapped(text string) string {
	var out strings.Builder
	open := false // the line before may go on
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		words := strings.TrimLeft(line, " ")
		own := words == "" || strings.HasPrefix(line, "    ") || strings.HasPrefix(line, "#") || strings.HasPrefix(words, "|")
		switch {
		case out.Len() == 0:
		case open && !own && !strings.HasPrefix(words, "- "):
			out.WriteString(" ")
			line = words
		default:
			out.WriteString("\n")
		}
		out.WriteString(line)
		open = !own
	}
	if strings.HasSuffix(text, "\n") {
		out.WriteString("\n")
	}
	return out.String()
}

// fold breaks the paragraphs of a Markdown text at spaces into lines that fit the width; what belongs to
// a list item stays under its text, and code, which is indented by four, is left as it is.
func fold(text string, width int) string {
	var out strings.Builder
	for line := range strings.Lines(unwrapped(text)) {
		if strings.HasPrefix(line, "    ") || utf8.RuneCountInString(line) <= width {
			out.WriteString(line)
			continue
		}
		indent := len(line) - len(strings.TrimLeft(line, " "))
		hang := strings.Repeat(" ", indent)
		if strings.HasPrefix(line[indent:], "- ") {
			hang += "  "
		}
		at := indent
		out.WriteString(line[:indent])
		for i, word := range strings.Fields(line) {
			size := utf8.RuneCountInString(word)
			switch {
			case i == 0:
			case at+1+size > width:
				out.WriteString("\n" + hang)
				at = len(hang)
			default:
				out.WriteString(" ")
				at++
			}
			out.WriteString(word)
			at += size
		}
		if strings.HasSuffix(line, "\n") {
			out.WriteString("\n")
		}
	}
	return out.String()
}
