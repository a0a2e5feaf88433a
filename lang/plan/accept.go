package plan

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"haulm/lang/check"
	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

var staleAccept = &diag.Rule{
	Code: "stale-accept", Severity: diag.Warning, Source: "Haulm's own language",
	Summary: "an accept comment that no finding needs",
	Explain: "`# accept: CODE — reason` next to a line lets that line's finding pass. When the finding is gone, " +
		"misspelled or of a kind that cannot be lived with, the comment only hides the next one: remove it.",
	Example: "farm(\"Example\", year = 2027) # accept: rows-too-close — the cart goes round\n",
}

func acceptRules() []*diag.Rule { return []*diag.Rule{staleAccept} }

// Acceptable tells whether a plan can live with findings of a rule: with what the checks judge, and with
// what evaluation only warns of; not with an argument that could not be read.
func Acceptable(r *diag.Rule) bool {
	return slices.Contains(check.Rules(), r) || slices.Contains(eval.Rules(), r) && r.Severity < diag.Error
}

// settle takes out the findings that an accept covers, and adds one for each accept that covers none.
func settle(findings []diag.Diagnostic, accepts []syntax.Accept) ([]diag.Diagnostic, []Accepted) {
	if len(accepts) == 0 {
		return findings, nil
	}
	used := map[acceptedCode]bool{}
	index := indexAccepts(accepts)
	var left []diag.Diagnostic
	var accepted []Accepted
	for _, d := range findings {
		if i := index.covering(&d); i >= 0 {
			used[acceptedCode{i, d.Rule.Code}] = true
			accepted = append(accepted, Accepted{Finding: d, Accept: accepts[i]})
			continue
		}
		left = append(left, d)
	}
	for i, a := range accepts {
		for _, code := range a.Codes {
			if !used[acceptedCode{i, code}] {
				left = append(left, stale(a, code))
			}
		}
	}
	return diag.Sort(left), accepted
}

type acceptedCode struct {
	accept int
	code   string
}

// acceptIndex finds accepts by their code and file, in the order in which their statements begin.
type acceptIndex map[acceptKey][]acceptTarget

type acceptKey struct {
	code string
	file *source.File
}

// acceptTarget is the statement that an accept is for.
type acceptTarget struct {
	source.Span
	accept int          // its place among all accepts
	reach  source.Point // the farthest end of this target and those before it
}

func indexAccepts(accepts []syntax.Accept) acceptIndex {
	x := acceptIndex{}
	for i, a := range accepts {
		for _, code := range a.Codes {
			key := acceptKey{code, a.Target.File}
			x[key] = append(x[key], acceptTarget{Span: a.Target, accept: i})
		}
	}
	for _, targets := range x {
		slices.SortStableFunc(targets, func(a, b acceptTarget) int { return a.Compare(b.Span) })
		var reach source.Point
		for i := range targets {
			if reach.Before(targets[i].End) {
				reach = targets[i].End
			}
			targets[i].reach = reach
		}
	}
	return x
}

// covering finds the first accept that covers a finding by its own place or by that of a call that led to
// it; -1 when none does.
func (x acceptIndex) covering(d *diag.Diagnostic) int {
	if !Acceptable(d.Rule) {
		return -1
	}
	first := x.at(d.Rule.Code, d.Primary.Span)
	for _, l := range d.Related {
		if l.Text != diag.CalledFrom {
			continue
		}
		if i := x.at(d.Rule.Code, l.Span); first < 0 || i >= 0 && i < first {
			first = i
		}
	}
	return first
}

// at finds the first accept of a code whose statement covers a place; -1 when none does.
func (x acceptIndex) at(code string, place source.Span) int {
	targets := x[acceptKey{code, place.File}]
	after, _ := slices.BinarySearchFunc(targets, place.Start, func(t acceptTarget, p source.Point) int {
		if p.Before(t.Start) {
			return 1
		}
		return -1
	})
	first := -1
	for i := after - 1; i >= 0 && place.Start.Before(targets[i].reach); i-- {
		if targets[i].Contains(place.Start) && (first < 0 || targets[i].accept < first) {
			first = targets[i].accept
		}
	}
	return first
}

func stale(a syntax.Accept, code string) diag.Diagnostic {
	d := diag.Diagnostic{
		Rule:    staleAccept,
		Message: fmt.Sprintf("nothing here is %s; this accept is not needed", code),
		Primary: diag.Label{Span: a.Span, Text: "remove it"},
	}
	rules := Rules()
	i := slices.IndexFunc(rules, func(r *diag.Rule) bool { return r.Code == code })
	misspelt := false
	switch {
	case i < 0:
		d.Message = fmt.Sprintf("there is no finding called %s", code)
		if near := eval.Nearest(code, acceptableCodes(rules)); near != "" {
			misspelt = true
			d.Primary.Text, d.Help = "", fmt.Sprintf("did you mean %s?", near)
			d.Fixes = []diag.Fix{{Title: "Write " + near, Edits: []diag.Edit{{Span: codeSpan(a.Span, code), Text: near}}}}
		}
	case !Acceptable(rules[i]):
		d.Message = fmt.Sprintf("%s cannot be accepted: the plan cannot be worked out with it", code)
	}
	if len(a.Codes) == 1 {
		d.Fixes = append(d.Fixes, diag.Fix{
			Title: "Remove the comment", Safe: !misspelt, Edits: []diag.Edit{{Span: withBlanks(a.Span)}},
		})
	}
	return d
}

// acceptableCodes are the codes that an accept can name.
func acceptableCodes(rules []*diag.Rule) []string {
	var codes []string
	for _, r := range rules {
		if Acceptable(r) {
			codes = append(codes, r.Code)
		}
	}
	return codes
}

// codeSpan is where a comment has a code, not as a part of another.
func codeSpan(comment source.Span, code string) source.Span {
	text, at := comment.Text(), 0
	for {
		n := strings.Index(text[at:], code)
		if n < 0 {
			return comment
		}
		at += n
		end := at + len(code)
		if !joins(text[:at], true) && !joins(text[end:], false) {
			break
		}
		at = end
	}
	col := comment.Start.Col + int32(utf8.RuneCountInString(text[:at]))
	comment.Start.Col, comment.End.Col = col, col+int32(len(code))
	return comment
}

// joins tells whether a text ends, or begins, with what a code goes on with.
func joins(text string, ends bool) bool {
	if text == "" {
		return false
	}
	b := text[0]
	if ends {
		b = text[len(text)-1]
	}
	return b == '-' || 'a' <= b && b <= 'z' || '0' <= b && b <= '9'
}

// withBlanks stretches a comment's span over the blanks before it; on a line of its own it takes the line.
func withBlanks(comment source.Span) source.Span {
	line := []rune(comment.File.Line(int(comment.Start.Line)))
	for comment.Start.Col > 1 && (line[comment.Start.Col-2] == ' ' || line[comment.Start.Col-2] == '\t') {
		comment.Start.Col--
	}
	if comment.Start.Col == 1 && int(comment.End.Line) < comment.File.Lines() {
		comment.End = source.Point{Line: comment.End.Line + 1, Col: 1}
	}
	return comment
}
