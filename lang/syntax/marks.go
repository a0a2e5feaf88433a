package syntax

import (
	"strings"
	"unicode/utf8"

	"haulm/lang/diag"
)

// faulty explains a token that Starlark's scanner refuses.
func (b *broken) faulty(i int) diag.Diagnostic {
	switch t := b.tokens[i]; t.fault {
	case unclosed:
		return b.openQuote(i)
	case tooLong:
		d := b.finding(i, i, "a number of %s digits is too long; %s is the most",
			thousands(int(t.end-t.start)), thousands(maxDigits))
		return d
	}
	return b.strayCharacter(i)
}

func (b *broken) openQuote(i int) diag.Diagnostic {
	t, s := b.tokens[i], b.textOf(i)
	prefix := len(s) - len(strings.TrimLeft(s, "rb"))
	quote := s[prefix : prefix+1]
	if strings.HasPrefix(s[prefix:], strings.Repeat(quote, 3)) {
		quote = strings.Repeat(quote, 3)
	}
	start := int(t.start) + prefix
	d := b.finding(i, i, "this %s is never closed", quote)
	d.Primary.Span = b.span(start, start+len(quote))
	if len(quote) == 3 {
		d.Help = "a text that begins with " + quote + " goes on over the lines that follow until " + quote
		return d
	}
	d.Help = "a text ends on its line, with the quote it began with"
	// Closing brackets and commas at the end of the line were most likely meant to follow the text.
	end := strings.TrimRight(s, ")]}, \t")
	if end == s[:prefix+1] {
		end = s
	}
	at := int(t.start) + len(end)
	b.offer(&d, false, "Close the text", edit{at, at, quote})
	return d
}

func (b *broken) strayCharacter(i int) diag.Diagnostic {
	s := b.textOf(i)
	switch s {
	case "“", "”", "„", "‘", "’", "«", "»":
		d := b.finding(i, i, "plans write texts between straight quotes (\"), not %s", s)
		if edits := b.straightQuotes(i); edits != nil {
			b.offer(&d, false, "Use straight quotes", edits...)
		}
		return d
	case "×", "·", "∗":
		d := b.finding(i, i, "plans write * for times, not %s", s)
		b.offer(&d, true, "Write *", b.replace(i, "*"))
		return d
	case "–", "—", "−", "‐", "‑":
		d := b.finding(i, i, "plans write - for minus, not %s", s)
		b.offer(&d, true, "Write -", b.replace(i, "-"))
		return d
	case "!":
		d := b.finding(i, i, "plans write not instead of !")
		b.offer(&d, false, "Write not", b.replace(i, "not "))
		return d
	case "\\":
		d := b.finding(i, i, "a \\ outside a text may stand only at the end of a line")
		b.offer(&d, false, "Take it out", b.replace(i, ""))
		return d
	case "\x00":
		return b.finding(i, i, "there is a zero byte here, which no text has; is this file damaged?")
	}
	if isInvisible(s) {
		r, _ := utf8.DecodeRuneInString(s)
		d := b.finding(i, i, "there is an invisible character here (U+%04X)", r)
		b.offer(&d, false, "Put a space in its place", b.replaceInvisible(" ")...)
		if len(d.Fixes) == 0 {
			b.offer(&d, false, "Take it out", b.replaceInvisible("")...)
		}
		return d
	}
	return b.finding(i, i, "%s has no meaning in a plan outside a text or a remark", b.show(i))
}

func isInvisible(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return r < ' ' || strings.TrimSpace(s) == "" || 0x200b <= r && r <= 0x200f || r == 0x2060 || r == 0xfeff
}

// replaceInvisible changes every invisible character of the statement: where there is one there are many.
func (b *broken) replaceInvisible(by string) []edit {
	var edits []edit
	for i := b.from; i < b.to; i++ {
		if b.tokens[i].kind == stray && b.textOf(i) != "\x00" && isInvisible(b.textOf(i)) {
			edits = append(edits, b.replace(i, by))
		}
	}
	return edits
}

// straightQuotes replaces the typographic quotes on a token's line, if they come in pairs and what they
// hold has no straight one.
func (b *broken) straightQuotes(i int) []edit {
	start := lineStart(b.text, int(b.tokens[i].start))
	line := b.text[start:lineEnd(b.text, start)]
	var edits []edit
	for at, r := range line {
		switch r {
		case '“', '”', '„', '‘', '’', '«', '»':
			edits = append(edits, edit{start + at, start + at + utf8.RuneLen(r), `"`})
		}
	}
	if len(edits)%2 != 0 {
		return nil
	}
	for n := 0; n < len(edits); n += 2 {
		if strings.Contains(b.text[edits[n].end:edits[n+1].start], `"`) {
			return nil
		}
	}
	return edits
}

// bracket explains a bracket that is not closed, or closes nothing.
func (b *broken) bracket() (diag.Diagnostic, bool) {
	var open []int
	for i := b.from; i < b.to; i++ {
		switch b.tokens[i].kind {
		case opener:
			open = append(open, i)
		case closer:
			if len(open) == 0 {
				d := b.finding(i, i, "this %s closes nothing", b.textOf(i))
				b.offer(&d, false, "Take it out", b.replace(i, ""))
				return d, true
			}
			top := open[len(open)-1]
			if !b.pair(top, i) {
				return b.wrongBracket(open, i), true
			}
			open = open[:len(open)-1]
		}
	}
	if len(open) == 0 {
		return diag.Diagnostic{}, false
	}
	return b.openBracket(open), true
}

func (b *broken) wrongBracket(open []int, i int) diag.Diagnostic {
	top := open[len(open)-1]
	for _, j := range open {
		if b.pair(j, i) {
			d := b.finding(top, top, "this %s is never closed", b.textOf(top))
			d.Related = []diag.Label{{Span: b.at(i), Text: "this closes the " + b.textOf(j) + " before it"}}
			b.offer(&d, false, "Close it", edit{int(b.tokens[i].start), int(b.tokens[i].start), string(closing(b.textOf(top)[0]))})
			return d
		}
	}
	want := string(closing(b.textOf(top)[0]))
	d := b.finding(i, i, "this %s cannot close a %s", b.textOf(i), b.textOf(top))
	d.Related = []diag.Label{{Span: b.at(top), Text: "opened here"}}
	b.offer(&d, false, "Write "+want, b.replace(i, want))
	return d
}

// openBracket explains brackets that are open at the statement's end. The innermost is named, unless a
// closing bracket that begins a line shows by its indent that it was meant for another.
func (b *broken) openBracket(open []int) diag.Diagnostic {
	culprit, shut := open[len(open)-1], ""
	for n := len(open) - 1; n >= 0; n-- {
		shut += string(closing(b.textOf(open[n])[0]))
	}
	last := b.to - 1
	if i, ok := b.closedTooEarly(); ok {
		culprit, shut = i, ""
	}
	d := b.finding(culprit, culprit, "this %s is never closed", b.textOf(culprit))
	if shut != "" {
		for _, i := range open[max(0, len(open)-4) : len(open)-1] {
			d.Related = append(d.Related, diag.Label{Span: b.at(i), Text: "nor is this " + b.textOf(i)})
		}
		b.offer(&d, false, "Close it", b.insertAfter(last, shut))
		if tail := b.lineTail(culprit); len(d.Fixes) == 0 && tail > culprit && b.is(tail, ":") {
			b.offer(&d, false, "Close it", b.insertAfter(tail-1, shut))
		}
	}
	return d
}

// closedTooEarly finds an opening bracket, on an indented line, that was closed only by a bracket meant
// for an opening bracket of a line further out.
func (b *broken) closedTooEarly() (int, bool) {
	var open []int
	for i := b.from; i < b.to; i++ {
		switch b.tokens[i].kind {
		case opener:
			open = append(open, i)
		case closer:
			top := open[len(open)-1]
			if b.tokens[i].first && b.lineIndent(top) > b.indent(i) {
				for _, j := range open[:len(open)-1] {
					if b.pair(j, i) && b.lineIndent(j) == b.indent(i) {
						return top, true
					}
				}
			}
			open = open[:len(open)-1]
		}
	}
	return 0, false
}

// lineIndent is the indent of the line that a token stands on.
func (b *broken) lineIndent(i int) int {
	for i > 0 && !b.tokens[i].first {
		i--
	}
	return b.indent(i)
}
