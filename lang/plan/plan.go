// Package plan is the front door of lang. In go an fs.FS and the name of a plan's first file; out comes
// a Snapshot: the texts, the declared farm, the facts worked out and the findings, all of one moment.
//
// It never fails: a plan that is broken gives the findings that say so and the facts of whatever is
// whole. A Snapshot does not change after it is made, so any number of readers may share it.
package plan

import (
	"context"
	"io/fs"
	"slices"

	"haulm/lang/check"
	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/season"
)

// Snapshot is a plan at one moment.
type Snapshot struct {
	Entry    string
	Files    []*source.File // in the order they were reached, the entry first
	Farm     *farm.Farm
	Facts    *derive.Facts
	Findings []diag.Diagnostic // sorted, without those accepted
	Accepted []Accepted
	Log      []eval.LogLine // what the plan printed
	Trouble  error          // set when the entry could not be read: there is nothing else then
}

// Accepted is a finding that the plan lives with on purpose.
type Accepted struct {
	Finding diag.Diagnostic
	Accept  syntax.Accept
}

// Check evaluates the plan that starts at entry, a slash-separated path in fsys, works it out and checks
// it. When ctx ends before the plan does, that is a finding.
func Check(ctx context.Context, fsys fs.FS, entry string) *Snapshot {
	return CheckOn(ctx, fsys, entry, season.None)
}

// CheckOn is Check for somebody who knows which day it is: daily weather counts up to that day and normals after
// it, and what is recorded for later cannot be. On season.None nothing depends on the day.
func CheckOn(ctx context.Context, fsys fs.FS, entry string, today season.Date) *Snapshot {
	run := eval.Run(ctx, fsys, entry)
	run.Farm.Today = farm.DateArg{Value: today, Given: today.IsSet()}
	s := &Snapshot{
		Entry: entry, Files: run.Files, Farm: run.Farm, Log: run.Log, Trouble: run.Trouble,
		Facts: derive.Derive(run.Farm),
	}
	if s.Trouble != nil {
		return s
	}
	found := append(run.Findings, judged(s.Facts, run.Findings)...)
	s.Findings, s.Accepted = settle(diag.Sort(found), run.Accepts)
	return s
}

// judged are the findings of the checks. What is left unused is only said of a plan that was read whole:
// the statement that uses it may be the one that failed.
func judged(facts *derive.Facts, reading []diag.Diagnostic) []diag.Diagnostic {
	found := check.Run(facts)
	if !slices.ContainsFunc(reading, func(d diag.Diagnostic) bool { return d.Rule.Severity == diag.Error }) {
		return found
	}
	return slices.DeleteFunc(found, func(d diag.Diagnostic) bool { return d.Rule == check.UnusedDeclaration })
}

// Rules lists every code that a finding can have, in the order of the reference.
func Rules() []*diag.Rule {
	rules := append(syntax.Rules(), eval.Rules()...)
	rules = append(rules, check.Rules()...)
	return append(rules, acceptRules()...)
}
