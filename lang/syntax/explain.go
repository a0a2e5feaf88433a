package syntax

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"

	star "go.starlark.net/syntax"
)

// broken is a statement that could not be read, with what Starlark's parser said of it.
type broken struct {
	*reader
	from, to int
	err      *star.Error // its message is empty if the parser was not asked
}

// explain finds the one thing to say: first what the tokens themselves show (a quote, a bracket), then
// what the parser stumbled over.
func (b *broken) explain() diag.Diagnostic {
	if strings.Contains(b.err.Msg, "excessive nesting") {
		n := len(b.findings)
		b.tooDeep(b.at(b.token()))
		d := b.findings[n]
		b.findings = b.findings[:n]
		return d
	}
	if d, ok := b.onPaper(); ok {
		return d
	}
	if i := b.firstFault(); i >= 0 {
		return b.faulty(i)
	}
	if d, ok := b.bracket(); ok {
		return d
	}
	return b.parserSays()
}

func (b *broken) firstFault() int {
	for i := b.from; i < b.to; i++ {
		if b.tokens[i].fault != sound {
			return i
		}
	}
	return -1
}

// finding makes a syntax finding about tokens first to last.
func (b *broken) finding(first, last int, format string, args ...any) diag.Diagnostic {
	return diag.Diagnostic{
		Rule:    ruleSyntax,
		Message: fmt.Sprintf(format, args...),
		Primary: diag.Label{Span: b.stretch(first, last+1)},
	}
}

func (b *broken) at(i int) source.Span { return b.stretch(i, i+1) }

func (r *reader) stretch(from, to int) source.Span {
	return r.span(int(r.tokens[from].start), int(r.tokens[to-1].end))
}

// show quotes a token for a message, cut short if it is long or goes on over several lines.
func (b *broken) show(i int) string {
	s := b.textOf(i)
	if n := strings.IndexAny(s, "\r\n"); n >= 0 {
		s = s[:n] + "…"
	}
	if runes := []rune(s); len(runes) > 40 {
		s = string(runes[:39]) + "…"
	}
	return "`" + s + "`"
}

// token is the index of the token that the parser stopped at; if it stopped at a line's end or at the end
// of the statement, the token before.
func (b *broken) token() int {
	if strings.HasSuffix(b.err.Msg, "want primary expression") {
		return b.startsAt()
	}
	return b.endsAt()
}

// startsAt is the token that begins where the parser's error stands, endsAt the one that ends there; where
// none does, the nearest before. The parser's errors stand after the token it refuses, but for some.
func (b *broken) startsAt() int { return b.before(b.errorAt() + 1) }

func (b *broken) endsAt() int { return b.before(b.errorAt()) }

func (b *broken) errorAt() int { return b.tree.File.Offset(pointOf(b.err.Pos)) }

// before is the statement's last token that begins before a byte offset, else its first.
func (b *broken) before(offset int) int {
	_, i := b.tokensIn(0, offset)
	return min(max(i-1, b.from), b.to-1)
}

// edit is a change of the statement's text by byte offsets.
type edit struct {
	start, end int
	text       string
}

func (b *broken) insertAfter(i int, s string) edit {
	end := int(b.tokens[i].end)
	return edit{end, end, s}
}

func (b *broken) replace(i int, s string) edit {
	return edit{int(b.tokens[i].start), int(b.tokens[i].end), s}
}

// offer adds a fix to a finding if the statement can be read with it, or with it and all that is written
// there as on paper. Edits are in order.
func (b *broken) offer(d *diag.Diagnostic, safe bool, title string, edits ...edit) {
	if len(edits) == 0 {
		return
	}
	if b.readsWith(edits) {
		d.Fixes = append(d.Fixes, b.fix(safe, title, edits))
		return
	}
	if b.to-b.from > maxPaper {
		return
	}
	all := slices.Clone(edits)
	for _, r := range b.paper().readings() {
		if e := (edit{r.start, r.end, r.text}); r.text != "" && !slices.ContainsFunc(edits, e.meets) {
			all = append(all, e)
			safe = safe && r.safe
		}
	}
	n := len(all) - len(edits)
	slices.SortFunc(all, func(a, b edit) int { return a.start - b.start })
	if n > 0 && b.readsWith(all) {
		d.Fixes = append(d.Fixes, b.fix(safe, fmt.Sprintf("%s, and mend %d more here", title, n), all))
	}
}

// meets tells whether two edits change the same text, or put their own at one place.
func (e edit) meets(other edit) bool { return e.start <= other.end && other.start <= e.end }

func (b *broken) fix(safe bool, title string, edits []edit) diag.Fix {
	fix := diag.Fix{Title: title, Safe: safe}
	for _, e := range edits {
		fix.Edits = append(fix.Edits, diag.Edit{Span: b.span(e.start, e.end), Text: e.text})
	}
	return fix
}

// readsWith tells whether the statement can be read with some edits.
func (b *broken) readsWith(edits []edit) bool {
	start, end := int(b.tokens[b.from].start), int(b.tokens[b.to-1].end)
	var mended strings.Builder
	at := start
	for _, e := range edits {
		mended.WriteString(b.text[at:e.start])
		mended.WriteString(e.text)
		at = e.end
	}
	mended.WriteString(b.text[at:end])
	p := b.tree.File.Point(start)
	_, err := parseText(b.tree.File.Path, mended.String(), source.Point{Line: p.Line, Col: p.Col})
	return err == nil
}
