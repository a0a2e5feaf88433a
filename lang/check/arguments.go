package check

import (
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"
)

// argList is the argument list of one call as it stands in the text; offsets count bytes from the
// call's start.
type argList struct {
	file   *source.File
	base   int // of the call in the file
	text   string
	open   int // just after the opening parenthesis
	args   []argText
	comma  int  // just after a comma that trails the last argument; 0 when none does
	spread bool // a *list or **dict stands among the arguments
}

// argText is one argument, without the blanks around it.
type argText struct {
	start, end int
	value      int    // where the value starts: at start, or after a name and its =
	name       string // "" for a positional one
}

// argumentsOf splits a call's text into its arguments. It needs no parser because the text is known to
// be a good call: only strings, comments and brackets can hide a comma.
func argumentsOf(call source.Span) (*argList, bool) {
	if !call.IsValid() {
		return nil, false
	}
	text := call.Text()
	open, ok := openingOf(text)
	if !ok {
		return nil, false
	}
	l := &argList{file: call.File, base: call.File.Offset(call.Start), text: text, open: open}
	start, end := -1, -1
	close := func() {
		if start >= 0 {
			l.add(start, end)
		}
		start = -1
	}
	depth := 0
	scan(text, open, func(from, to int) bool {
		switch c := text[from]; {
		case depth == 0 && c == ',':
			close()
			l.comma = to
			return true
		case depth == 0 && c == ')':
			return false
		case c == '(' || c == '[' || c == '{':
			depth++
		case c == ')' || c == ']' || c == '}':
			depth--
		}
		if start < 0 {
			start = from
			l.comma = 0
		}
		end = to
		return true
	})
	close()
	return l, true
}

func (l *argList) add(start, end int) {
	text := l.text[start:end]
	a := argText{start: start, value: start, end: end}
	if strings.HasPrefix(text, "*") {
		l.spread = true
	} else if name, value, ok := strings.Cut(text, "="); ok && isName(strings.TrimSpace(name)) && !strings.HasPrefix(value, "=") {
		a.name = strings.TrimSpace(name)
		a.value = end - len(strings.TrimLeft(value, " \t\r\n\\"))
	}
	l.args = append(l.args, a)
}

// indent gives the blanks before an argument and whether they are all that precedes it on its line.
func (l *argList) indent(a argText) (string, bool) {
	line := l.text[:a.start]
	i := strings.LastIndexByte(line, '\n')
	if i < 0 {
		return "", false
	}
	blanks := line[i+1:]
	return blanks, strings.Trim(blanks, " \t") == ""
}

func (l *argList) edit(from, to int, text string) diag.Edit {
	return diag.Edit{
		Span: source.Span{
			File:  l.file,
			Start: l.file.Point(l.base + from),
			End:   l.file.Point(l.base + to),
		},
		Text: text,
	}
}

// openingOf finds the parenthesis that the call's last character closes, and gives the offset after it.
func openingOf(text string) (int, bool) {
	var stack []int
	open, end := -1, 0
	scan(text, 0, func(from, to int) bool {
		switch text[from] {
		case '(', '[', '{':
			stack = append(stack, to)
		case ')', ']', '}':
			if len(stack) == 0 {
				return false
			}
			open = stack[len(stack)-1]
			stack = stack[:len(stack)-1]
		}
		end = to
		return true
	})
	return open, open >= 0 && len(stack) == 0 && end == len(text) && text[end-1] == ')'
}

// scan visits the characters of a text from an offset on, strings as one, without blanks and comments,
// until visit says no.
func scan(text string, at int, visit func(from, to int) bool) {
	for at < len(text) {
		switch c := text[at]; c {
		case ' ', '\t', '\r', '\n', '\\':
			at++
			continue
		case '#':
			n := strings.IndexByte(text[at:], '\n')
			if n < 0 {
				return
			}
			at += n
			continue
		case '"', '\'':
			end := stringEnd(text, at)
			if !visit(at, end) {
				return
			}
			at = end
			continue
		}
		if !visit(at, at+1) {
			return
		}
		at++
	}
}

// stringEnd gives the offset after the string that opens at an offset. A backslash hides the character
// after it, in raw strings too.
func stringEnd(text string, at int) int {
	quote := text[at : at+1]
	if long := strings.Repeat(quote, 3); strings.HasPrefix(text[at:], long) {
		quote = long
	}
	for i := at + len(quote); i < len(text); i++ {
		if text[i] == '\\' {
			i++
		} else if strings.HasPrefix(text[i:], quote) {
			return i + len(quote)
		}
	}
	return len(text)
}

func isName(s string) bool {
	for i, r := range s {
		letter := r == '_' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r > 0x7f
		if !letter && (i == 0 || r < '0' || r > '9') {
			return false
		}
	}
	return s != ""
}
