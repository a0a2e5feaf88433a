package format

import (
	"strings"

	"github.com/bazelbuild/buildtools/build"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

// prepare gives a file's text without byte order mark, with "\n" for line ends (which are one to
// Starlark, in texts as well) and with spaces for the tabs that statements are indented with (which the
// printer's parser does not count).
func prepare(f *source.File) string {
	text := strings.TrimPrefix(f.Text, "\ufeff")
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	if !strings.Contains(text, "\t") {
		return text
	}
	var b strings.Builder
	at := 0
	for _, t := range syntax.Tokens(source.New(f.Path, text), 0, len(text)) {
		start := strings.LastIndexByte(text[:t.Start], '\n') + 1
		if indent := text[start:t.Start]; start >= at && strings.Contains(indent, "\t") && strings.Trim(indent, " \t") == "" {
			b.WriteString(text[at:start])
			b.WriteString(strings.Repeat(" ", width(indent)))
			at = t.Start
		}
	}
	b.WriteString(text[at:])
	return b.String()
}

// width counts the columns of an indent; a tab goes on to the next multiple of 8.
func width(indent string) int {
	n := 0
	for _, b := range []byte(indent) {
		if b == '\t' {
			n += 8 - n%8
		} else {
			n++
		}
	}
	return n
}

// doubleQuotes writes single-quoted texts with double quotes where they hold none. The printer would do
// so itself, but with octal codes for é and its kind, which Starlark does not read.
func doubleQuotes(tree *build.File) {
	build.Walk(tree, func(x build.Expr, _ []build.Expr) {
		s, ok := x.(*build.StringExpr)
		if !ok || !strings.HasPrefix(s.Token, "'") || strings.Contains(s.Token, `"`) {
			return
		}
		n := 1
		if s.TripleQuote {
			n = 3
		}
		quote := strings.Repeat(`"`, n)
		token := quote + unescape(s.Token[n:len(s.Token)-n]) + quote
		if value, triple, err := build.Unquote(token); err == nil && value == s.Value && triple == s.TripleQuote {
			s.Token = token
		}
	})
}

// unescape takes the backslash before single quotes away.
func unescape(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' && i+1 < len(s) {
			if s[i+1] != '\'' {
				b.WriteByte(s[i])
			}
			i++
		}
		b.WriteByte(s[i])
	}
	return b.String()
}
