package syntax

import (
	"strconv"
	"strings"

	"haulm/lang/diag"
)

// otherwise explains the parser's messages that do not say what was wanted.
func (b *broken) otherwise(i int) diag.Diagnostic {
	msg := b.err.Msg
	is := func(s string) bool { return strings.Contains(msg, s) }
	switch {
	case is("unindent does not match"):
		return b.indentation(b.startsAt())
	case is("trailing comma"):
		i = b.startsAt()
		d := b.finding(i, i, "the comma at the end of this line has no place outside brackets")
		b.offer(&d, true, "Take the comma out", b.replace(i, ""))
		return d
	case is("keyword argument must have form"):
		i = b.endsAt()
		return b.finding(i, i, "only a name can stand before this =; to compare, write ==")
	case is("without else clause"):
		i = b.startsAt()
		return b.finding(i, i, "an if inside a value needs an else: a if condition else b")
	case is("does not associate"):
		i = b.endsAt()
		return b.finding(i, i, "two comparisons follow each other; put one of them in brackets")
	case is("not an identifier"):
		return b.notAName(b.endsAt())
	case is("first operand of load"):
		i = b.endsAt()
		d := b.finding(i, i, "load wants the file's name first, as text")
		b.offer(&d, false, "Write the quotes", b.quoteNames()...)
		return d
	case is("load statement must import"):
		i = b.startsAt()
		return b.finding(i, i, "this load names nothing to load")
	case is("want '=' after"):
		return b.loadsNames(max(b.endsAt()-1, b.from))
	case is("load operand must be"), is("original name of loaded symbol"):
		i = b.endsAt()
		return b.loadsNames(i)
	case is("obsolete form of octal"):
		i = b.endsAt()
		digits := strings.TrimLeft(b.textOf(i), "0")
		d := b.finding(i, i, "a number cannot begin with 0; write %s", digits)
		b.offer(&d, false, "Write "+digits, b.replace(i, digits))
		return d
	case is("escape") || is("code point"):
		i = b.startsAt()
		d := b.finding(i, i, "a \\ in this text is followed by what it cannot stand before (%s)", msg)
		d.Help = `write \\ for a \`
		return d
	case is("literal"):
		return b.finding(i, i, "%s is not a number", b.show(i))
	}
	d := b.finding(i, i, "%s cannot be read here", b.show(i))
	d.Values = []diag.Value{{Name: "parser", Text: msg}}
	return d
}

func (b *broken) loadsNames(i int) diag.Diagnostic {
	d := b.finding(i, i, "load wants names as text: \"bell_pepper\" or pepper = \"bell_pepper\"")
	b.offer(&d, false, "Write the quotes", b.quoteNames()...)
	return d
}

// quoteNames puts quotes around the names in a load, but for those that it gives.
func (b *broken) quoteNames() []edit {
	var edits []edit
	for i := b.from + 1; i < b.to; i++ {
		if b.isName(i) && !b.is(i+1, "=") {
			edits = append(edits, b.replace(i, strconv.Quote(b.textOf(i))))
		}
	}
	return edits
}

// notAName explains what stands where a name belongs.
func (b *broken) notAName(i int) diag.Diagnostic {
	atEnd := func(i int) bool { return i+1 == b.to || b.tokens[i+1].first }
	switch {
	case b.is(i, "def") && atEnd(i):
		return b.finding(i, i, "a name is missing after def")
	case b.is(i, ".") && atEnd(i):
		return b.finding(i, i, "a name is missing after the dot")
	case i > b.from && b.is(i-1, "."):
		return b.finding(i, i, "a name must follow the dot, not %s", b.show(i))
	case i > b.from && b.is(i-1, "def"):
		return b.finding(i, i, "%s cannot be the name of a function", b.show(i))
	}
	return b.finding(i, i, "only names can stand here, not %s", b.show(i))
}

// reservedWord explains a word that the language keeps for itself: most often one of another language.
func (b *broken) reservedWord(i int) diag.Diagnostic {
	switch {
	case b.tokens[i].first && (b.is(i, "import") || b.is(i, "from")):
		tail := b.lineTail(i)
		d := b.finding(i, tail, "plans load what they use by name: load(\"crops\", \"tomato\")")
		if load := b.loadFor(i, tail); load != "" {
			b.offer(&d, false, "Write "+load, edit{int(b.tokens[i].start), int(b.tokens[tail].end), load})
		}
		return d
	case b.is(i, "is"):
		d := b.finding(i, i, "to compare, write ==, not is")
		b.offer(&d, false, "Write ==", b.replace(i, "=="))
		return d
	}
	return b.finding(i, i, "%s is kept for the language itself and cannot be a name; choose another", b.show(i))
}

// loadFor writes "from crops import tomato, beet" as a load; "" where that cannot be told.
func (b *broken) loadFor(i, tail int) string {
	if !b.is(i, "from") || !b.isName(i+1) || !b.is(i+2, "import") {
		return ""
	}
	load := "load(" + strconv.Quote(b.textOf(i+1))
	for j := i + 3; j <= tail; j += 2 {
		if !b.isName(j) || j < tail && !b.is(j+1, ",") {
			return ""
		}
		load += ", " + strconv.Quote(b.textOf(j))
	}
	return load + ")"
}

// indentation explains a line whose indent fits no line above.
func (b *broken) indentation(i int) diag.Diagnostic {
	first := b.lineHead(i)
	start := int(b.tokens[first].start)
	line := lineStart(b.text, start)
	d := b.finding(first, first, "this line's indent fits none of the lines above")
	if line < start {
		d.Primary.Span = b.span(line, start)
	}
	tabs, spaces := false, false
	for j := b.from; j <= first; j++ {
		if at := int(b.tokens[j].start); b.tokens[j].first {
			indent := b.text[lineStart(b.text, at):at]
			tabs = tabs || strings.Contains(indent, "\t")
			spaces = spaces || strings.Contains(indent, " ")
		}
	}
	if tabs && spaces {
		d.Message = "this line's indent fits none of the lines above: some are indented with tabs, some with spaces"
		d.Help = "indent with spaces only"
	}
	return d
}
