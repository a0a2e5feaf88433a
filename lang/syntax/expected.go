package syntax

import (
	"slices"
	"strings"

	"haulm/lang/diag"
)

// expectation takes the parser's "got X, want Y" apart.
func (b *broken) expectation() (got, want string) {
	rest, ok := strings.CutPrefix(b.err.Msg, "got ")
	if !ok {
		return "", ""
	}
	got, want, _ = strings.Cut(rest, ", want ")
	return got, want
}

// parserSays puts what the parser stumbled over in a grower's words.
func (b *broken) parserSays() diag.Diagnostic {
	i := b.token()
	got, want := b.expectation()
	switch {
	case b.err.Msg == "":
		// Only an indented line at the very beginning is refused unseen.
		return b.finding(b.from, b.from, "this line is indented, but no block is open")
	case want == "":
		return b.otherwise(i)
	case want == "indent", got == "end of file" && b.is(i, ":"):
		if b.tokens[i].first && i > b.from {
			i--
		}
		head := b.headLine(i)
		return b.finding(head, i, "the lines that belong to this %s must follow, indented", b.textOf(head))
	case got == "indent" || got == "outdent":
		return b.indentation(b.startsAt())
	}
	if d, ok := b.slip(i); ok {
		return d
	}
	if d, ok := b.foreignRemark(); ok {
		return d
	}
	if slices.Contains(reserved, b.textOf(i)) && got != "newline" && got != "end of file" {
		return b.reservedWord(i)
	}
	ends := got == "newline" || got == "end of file"
	switch want {
	case "primary expression":
		return b.missingValue(i, ends)
	case "':'":
		return b.missingColon(i, ends)
	case "','", "')'", "']'", "'}'":
		return b.missingComma(i)
	case "'('":
		d := b.finding(i, i, "a ( is missing %s %s", beforeOrAfter(ends), b.show(i))
		if tail := b.lineTail(i); !ends && b.is(i-1, "load") {
			b.offer(&d, false, "Write ( )", edit{int(b.tokens[i-1].end), int(b.tokens[i].start), "("}, b.insertAfter(tail, ")"))
		}
		return d
	case "in":
		return b.finding(i, i, "the word in is missing %s %s", beforeOrAfter(ends), b.show(i))
	case "newline":
		return b.lineGoesOn(i)
	}
	return b.noPlace(i, ends)
}

func beforeOrAfter(ends bool) string {
	if ends {
		return "after"
	}
	return "before"
}

func (b *broken) noPlace(i int, ends bool) diag.Diagnostic {
	if ends {
		return b.finding(i, i, "something is missing after %s", b.show(i))
	}
	return b.finding(i, i, "%s has no place here", b.show(i))
}

// slip recognises what is mistyped in one certain way, wherever the parser noticed.
func (b *broken) slip(i int) (diag.Diagnostic, bool) {
	first := b.lineHead(i)
	if w := nearKeyword(b.textOf(first)); w != "" && b.tokens[first].kind == word && i > first {
		d := b.finding(first, first, "%s is not a word of the language; is it %s?", b.show(first), w)
		b.offer(&d, false, "Write "+w, b.replace(first, w))
		if len(d.Fixes) > 0 || b.is(b.lineTail(first), ":") {
			return d, true
		}
	}
	return diag.Diagnostic{}, false
}

// foreignRemark recognises a line that is a remark in another language.
func (b *broken) foreignRemark() (diag.Diagnostic, bool) {
	i, last := b.from, b.from
	switch {
	case b.is(i, "//") || b.is(i, "/*") || b.is(i, "--"):
	case b.is(i, "/") && b.is(i+1, "*") || b.is(i, "-") && b.is(i+1, "-"):
		last++
	default:
		return diag.Diagnostic{}, false
	}
	if b.lineTail(i) != b.to-1 {
		return diag.Diagnostic{}, false
	}
	d := b.finding(i, last, "remarks begin with #")
	b.offer(&d, false, "Write #", edit{int(b.tokens[i].start), int(b.tokens[last].end), "#"})
	return d, true
}

// lineHead is the first token of the line that a token stands on.
func (b *broken) lineHead(i int) int {
	for i > b.from && !b.tokens[i].first {
		i--
	}
	return i
}

func (b *broken) lineTail(i int) int {
	for i+1 < b.to && !b.tokens[i+1].first {
		i++
	}
	return i
}

// headLine is the nearest word at or before a token that opens a block.
func (b *broken) headLine(i int) int {
	for ; i > b.from; i-- {
		switch b.textOf(i) {
		case "def", "for", "if", "elif", "else":
			return i
		}
	}
	return b.from
}

// nearKeyword is the word that may begin a statement and that differs from s by its case, by one letter
// or by two letters changed about; "" if none does, or s is one.
func nearKeyword(s string) string {
	lower := strings.ToLower(s)
	best := ""
	for _, w := range [...]string{"def", "for", "if", "elif", "else", "load", "return", "pass"} {
		if s == w {
			return ""
		}
		if lower == w || len(s) > 2 && isNear(lower, w) {
			best = w
		}
	}
	return best
}

// isNear tells whether one letter added, left out or changed, or two neighbours changed about, makes one
// word the other.
func isNear(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 {
		return false
	}
	for len(a) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	return len(b) <= 1 || len(a) == 2 && len(b) == 2 && a[0] == b[1] && a[1] == b[0]
}

func (b *broken) missingValue(i int, ends bool) diag.Diagnostic {
	switch s := b.textOf(i); {
	case ends && s == "for":
		return b.finding(i, i, "a name is missing after for")
	case ends:
		return b.finding(i, i, "a value is missing after %s", b.show(i))
	case s == "else" || s == "elif":
		return b.finding(i, i, "this %s has no if above it", s)
	case slices.Contains(keywords, s):
		return b.finding(i, i, "%s has no place here", b.show(i))
	case i > b.from && !b.tokens[i].first && (b.tokens[i-1].kind == sign && !b.is(i-1, ",") || b.tokens[i-1].kind == word):
		return b.finding(i-1, i-1, "a value is missing after %s", b.show(i-1))
	}
	d := b.finding(i, i, "a value is missing before %s", b.show(i))
	if b.is(i, ",") && b.is(i-1, ",") {
		b.offer(&d, false, "Take the second comma out", b.replace(i, ""))
	}
	return d
}

func (b *broken) missingColon(i int, ends bool) diag.Diagnostic {
	head := b.textOf(b.headLine(i))
	if !ends && b.is(i, "=") && (head == "if" || head == "elif") && !b.inside(i) {
		d := b.finding(i, i, "= gives a name its value; to compare, write ==")
		b.offer(&d, true, "Write ==", b.replace(i, "=="))
		return d
	}
	if ends {
		d := b.finding(i, i, "a : is missing at the end of this line")
		b.offer(&d, true, "Write :", b.insertAfter(i, ":"))
		if len(d.Fixes) == 0 && i == b.to-1 {
			d.Help = "the lines that belong to this " + head + " follow below it, indented"
		}
		return d
	}
	if b.inside(i) && b.is(i, "=") {
		d := b.finding(i, i, "between { and } a : stands between a key and its value, not =")
		b.offer(&d, false, "Write :", edit{int(b.tokens[i-1].end), int(b.tokens[i].end), ":"})
		return d
	}
	d := b.finding(i, i, "a : is missing before %s", b.show(i))
	if i > b.from {
		b.offer(&d, false, "Write :", b.insertAfter(i-1, ":"))
	}
	return d
}

// inside tells whether a token stands between brackets.
func (b *broken) inside(i int) bool {
	depth := 0
	for j := b.from; j < i; j++ {
		switch b.tokens[j].kind {
		case opener:
			depth++
		case closer:
			depth--
		}
	}
	return depth > 0
}

// missingComma explains what follows a complete value inside brackets.
func (b *broken) missingComma(i int) diag.Diagnostic {
	if i == b.from {
		return b.noPlace(i, false)
	}
	prev := i - 1
	named := b.is(i+1, "=")
	atArgument := b.isName(prev) && (b.is(prev-1, ",") || b.is(prev-1, "("))
	switch t := b.tokens[i]; {
	case b.is(i, ":") && b.isName(prev):
		d := b.finding(i, i, "between a name and its value stands =, not :")
		b.offer(&d, true, "Write =", edit{int(b.tokens[prev].end), int(t.end), " ="})
		return d
	case b.is(i, "="):
		return b.finding(i, i, "= has no place here")
	case b.is(i, ";"):
		d := b.finding(i, i, "arguments are set apart by commas, not by ;")
		var edits []edit
		for j := i; j < b.to; j++ {
			if b.is(j, ";") {
				edits = append(edits, b.replace(j, ","))
			}
		}
		b.offer(&d, false, "Write commas", edits...)
		return d
	case t.kind == word && b.tokens[prev].kind == number && (b.is(i+1, ",") || b.is(i+1, ")")):
		d := b.finding(i, i, "%s has no meaning behind a number", b.show(i))
		b.offer(&d, false, "Take it out", edit{int(b.tokens[prev].end), int(t.end), ""})
		return d
	case t.kind != word && t.kind != number && t.kind != text && t.kind != opener,
		slices.Contains(keywords, b.textOf(i)) && !b.is(i, "not") && !b.is(i, "lambda"):
		return b.noPlace(i, false)
	case atArgument && !named && t.kind != opener && !b.is(prev-1, "("):
		d := b.finding(prev, i, "an = is missing between %s and %s", b.show(prev), b.show(i))
		b.offer(&d, false, "Write =", b.insertAfter(prev, " ="))
		return d
	}
	d := b.finding(i, i, "a comma is missing before %s", b.show(i))
	b.offer(&d, named, "Write the comma", b.insertAfter(prev, ","))
	return d
}

// lineGoesOn explains what follows a complete statement on its line.
func (b *broken) lineGoesOn(i int) diag.Diagnostic {
	first := b.lineHead(i)
	if i == first+1 && b.isName(first) && b.is(i+1, ",") {
		d := b.finding(first, first, "what %s is given stands in ( )", b.textOf(first))
		b.offer(&d, false, "Write ( )", edit{int(b.tokens[first].end), int(b.tokens[i].start), "("}, b.insertAfter(b.to-1, ")"))
		return d
	}
	if i == first+1 && b.isName(first) && b.tokens[i].kind != sign && b.tokens[i].kind != closer {
		d := b.finding(first, i, "an = is missing between %s and %s", b.show(first), b.show(i))
		b.offer(&d, false, "Write =", b.insertAfter(first, " ="))
		return d
	}
	return b.noPlace(i, false)
}
