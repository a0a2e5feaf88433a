package plan

import (
	"fmt"
	"slices"

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
	var left []diag.Diagnostic
	var accepted []Accepted
	for _, d := range findings {
		if i := acceptFor(&d, accepts); i >= 0 {
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

// acceptFor finds the accept that covers a finding by its own place or by that of a call that led to it.
func acceptFor(d *diag.Diagnostic, accepts []syntax.Accept) int {
	if !Acceptable(d.Rule) {
		return -1
	}
	return slices.IndexFunc(accepts, func(a syntax.Accept) bool {
		if a.Reason == "" || !slices.Contains(a.Codes, d.Rule.Code) {
			return false
		}
		if covers(a.Target, d.Primary.Span) {
			return true
		}
		return slices.ContainsFunc(d.Related, func(l diag.Label) bool {
			return l.Text == diag.CalledFrom && covers(a.Target, l.Span)
		})
	})
}

func covers(target, place source.Span) bool {
	return target.File == place.File && target.Contains(place.Start)
}

func stale(a syntax.Accept, code string) diag.Diagnostic {
	d := diag.Diagnostic{
		Rule:    staleAccept,
		Message: fmt.Sprintf("nothing here is %s; this accept is not needed", code),
		Primary: diag.Label{Span: a.Span, Text: "remove it"},
	}
	rules := Rules()
	i := slices.IndexFunc(rules, func(r *diag.Rule) bool { return r.Code == code })
	switch {
	case i < 0:
		d.Message = fmt.Sprintf("there is no finding called %s", code)
	case !Acceptable(rules[i]):
		d.Message = fmt.Sprintf("%s cannot be accepted: the plan cannot be worked out with it", code)
	}
	if len(a.Codes) == 1 {
		d.Fixes = []diag.Fix{{Title: "Remove the comment", Safe: true, Edits: []diag.Edit{{Span: withBlanks(a.Span)}}}}
	}
	return d
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
