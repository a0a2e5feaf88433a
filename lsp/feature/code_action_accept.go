package feature

import (
	"unicode/utf8"

	"haulm/lang/diag"
	"haulm/lang/syntax"
)

// whyAccepted stands for the reason that the grower has to give.
const whyAccepted = "say why here"

// maxLine is how long a line may become before a comment goes above it.
const maxLine = 100

// accept offers the comment that lets a finding pass: behind its statement when that leaves it on one
// readable line, else above it.
func (a *actor) accept(f *diag.Diagnostic) {
	now, ok := a.doc.Now(f.Primary.Span)
	if !ok {
		return
	}
	text := a.doc.File.Text
	part := a.doc.Part(now.Start)
	offset := a.doc.File.Offset(now.Start)
	at := -1
	list := part.statements()
	for i := range list {
		if list[i].start() <= offset && offset <= list[i].end() {
			at = i
		}
	}
	if at < 0 {
		return
	}
	s := &list[at]
	comment := "# accept: " + f.Code() + " — " + whyAccepted
	begin, end := beginOfLine(text, s.start()), endOfLine(text, s.end())
	edit := diag.Edit{Span: a.doc.between(begin, begin), Text: indentOf(text, begin) + comment + a.doc.lineEnd()}
	behind := "  " + comment
	isFirst, isLast := amongMany(part, s, offset)
	canBehind := isLast && endOfLine(text, s.start()) == end && !hasComment(part, s.end(), end)
	switch fits := utf8.RuneCountInString(text[begin:s.end()]+behind) <= maxLine; {
	case canBehind && (fits || !isFirst):
		edit = diag.Edit{Span: a.doc.between(s.end(), s.end()), Text: behind}
	case !isFirst:
		return
	}
	a.add(Action{
		Title: "Accept " + f.Code() + " and say why", Kind: ActionFix, Edits: []diag.Edit{edit}, Finding: f,
	})
}

// amongMany tells whether a byte offset stands in the first and in the last of the statements that share a
// line by semicolons.
func amongMany(part *Part, s *statement, offset int) (isFirst, isLast bool) {
	isFirst, isLast = true, true
	for _, t := range s.code {
		if part.text(t) == ";" {
			isFirst = isFirst && t.Start > offset
			isLast = isLast && t.Start < offset
		}
	}
	return isFirst, isLast
}

func hasComment(part *Part, from, to int) bool {
	for _, t := range part.Tokens {
		if t.Kind == syntax.Comment && from <= t.Start && t.Start < to {
			return true
		}
	}
	return false
}
