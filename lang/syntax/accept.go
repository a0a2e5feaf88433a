package syntax

import (
	"sort"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"

	star "go.starlark.net/syntax"
)

// Accept is a comment by which the grower accepts findings on purpose:
//
//	row(bench, at = 4 * ft)  # accept: rows-too-close — cart goes round the other side
type Accept struct {
	Span   source.Span // of the comment
	Codes  []string    // of the findings accepted
	Reason string      // never empty
	Target source.Span // the statement on the same line, or else the one that follows; not valid if none does
}

// accepts reads the accept comments. Most files have none, which is seen without cutting them into tokens.
func (t *Tree) accepts(r *reader) {
	if !mayAccept(r.text) {
		return
	}
	r.scan()
	var places *places
	for _, c := range r.comments {
		list, ok := acceptList(r.text[c.start+1 : c.end])
		if !ok {
			continue
		}
		span := r.span(int(c.start), int(c.end))
		codes, reason, rest := splitAccept(strings.TrimPrefix(list, ":"))
		if len(codes) == 0 || reason == "" || list[0] != ':' {
			t.Findings = append(t.Findings, acceptsNothing(span, list[0] == ':', codes, reason, rest))
			continue
		}
		if places == nil {
			places = placesOf(t)
		}
		ownLine := strings.TrimLeft(r.text[lineStart(r.text, int(c.start)):c.start], " \t"+mark) == ""
		t.Accepts = append(t.Accepts, Accept{Span: span, Codes: codes, Reason: reason, Target: places.target(span, ownLine)})
	}
}

// acceptsNothing says what an accept comment lacks: its colon, the dash before its reason, or the reason.
func acceptsNothing(span source.Span, colon bool, codes []string, reason, rest string) diag.Diagnostic {
	example := "rows-too-close"
	if len(codes) > 0 {
		example = strings.Join(codes, ", ")
	}
	d := diag.Diagnostic{
		Rule:    ruleNoReason,
		Message: "this comment accepts nothing: it gives no reason",
		Primary: diag.Label{Span: span},
		Help:    "write the code, a dash and why, such as \"# accept: " + example + " — cart goes round the other side\"",
	}
	if reason == "" && len(codes) > 0 && strings.Contains(codes[0], "-") {
		reason = rest
	}
	switch {
	case !colon:
		d.Message = "this comment accepts nothing: a : is missing after accept"
	case reason != "":
		d.Message = "this comment accepts nothing: a dash is missing before its reason"
	}
	if reason != "" {
		text := "# accept: " + example + " — " + reason
		d.Fixes = []diag.Fix{{Title: "Write " + text, Edits: []diag.Edit{{Span: span, Text: text}}}}
	}
	return d
}

func mayAccept(text string) bool {
	for {
		n := strings.IndexByte(text, '#')
		if n < 0 {
			return false
		}
		text = text[n+1:]
		if _, ok := acceptList(text[:min(len(text), 80)]); ok {
			return true
		}
	}
}

// acceptList gives what follows "accept" in a comment: a colon and the codes; or, where the colon is
// missing, what begins with a code of several words, as no remark does by chance.
func acceptList(comment string) (string, bool) {
	const key = "accept"
	comment = strings.TrimLeft(comment, "# \t")
	if len(comment) <= len(key) || !strings.EqualFold(comment[:len(key)], key) {
		return "", false
	}
	list := comment[len(key):]
	if list[0] == ':' {
		return list, true
	}
	code := strings.TrimLeft(list, " \t")
	n := codeLength(code)
	ends := n == len(code) || strings.IndexByte(" \t\r\n,:", code[n]) >= 0
	return list, len(code) < len(list) && strings.Contains(code[:n], "-") && ends
}

// splitAccept cuts "code, code — reason". What follows the codes without a dash is the rest.
func splitAccept(list string) (codes []string, reason, rest string) {
	for {
		list = strings.TrimLeft(list, " \t,")
		n := codeLength(list)
		if n == 0 {
			break
		}
		codes = append(codes, list[:n])
		list = strings.TrimLeft(list[n:], " \t")
		if !strings.HasPrefix(list, ",") {
			break
		}
	}
	for _, dash := range [...]string{"—", "–", "--", "-", ":"} {
		if rest, ok := strings.CutPrefix(list, dash); ok {
			return codes, strings.TrimSpace(rest), ""
		}
	}
	return codes, "", strings.TrimSpace(list)
}

// codeLength measures the code that s begins with: lower-case words joined by single hyphens.
func codeLength(s string) int {
	n := 0
	for n < len(s) {
		b := s[n]
		letter := 'a' <= b && b <= 'z' || isDigit(b)
		hyphen := b == '-' && n > 0 && n+1 < len(s) && ('a' <= s[n+1] && s[n+1] <= 'z' || isDigit(s[n+1]))
		if !letter && !hyphen {
			break
		}
		n++
	}
	return n
}

func lineStart(s string, at int) int { return strings.LastIndexAny(s[:at], "\r\n") + 1 }

// places are the statements of a tree, good and bad, outer ones before those inside them.
type places struct {
	spans  []source.Span
	parent []int  // index of the statement around, -1 for none
	block  []bool // holds other statements
}

func placesOf(t *Tree) *places {
	p := &places{}
	bad := t.Bad
	for _, s := range t.Root.Stmts {
		for len(bad) > 0 && bad[0].Span.Start.Before(startOf(s)) {
			p.add(bad[0].Span, -1)
			bad = bad[1:]
		}
		p.stmt(t.File, s, -1)
	}
	for _, b := range bad {
		p.add(b.Span, -1)
	}
	return p
}

func (p *places) add(span source.Span, parent int) int {
	p.spans = append(p.spans, span)
	p.parent = append(p.parent, parent)
	p.block = append(p.block, false)
	return len(p.spans) - 1
}

func (p *places) stmt(f *source.File, s star.Stmt, parent int) {
	self := p.add(SpanOf(f, s), parent)
	inside := func(stmts []star.Stmt) {
		p.block[self] = true
		for _, s := range stmts {
			p.stmt(f, s, self)
		}
	}
	switch s := s.(type) {
	case *star.IfStmt:
		inside(s.True)
		inside(s.False)
	case *star.ForStmt:
		inside(s.Body)
	case *star.WhileStmt:
		inside(s.Body)
	case *star.DefStmt:
		inside(s.Body)
	}
}

// target finds the statement that a comment stands for: the innermost on its line; for a comment on a
// line of its own the one that follows, or the one it stands in the middle of.
func (p *places) target(comment source.Span, ownLine bool) source.Span {
	next := sort.Search(len(p.spans), func(i int) bool { return comment.Start.Before(p.spans[i].Start) })
	for i := next - 1; i >= 0; i = p.parent[i] {
		if ownLine && comment.Start.Before(p.spans[i].End) && !p.block[i] ||
			!ownLine && p.spans[i].End.Line >= comment.Start.Line {
			return p.spans[i]
		}
	}
	if next < len(p.spans) && ownLine {
		return p.spans[next]
	}
	return source.Span{}
}
