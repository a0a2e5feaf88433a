// Package diag holds findings: what is wrong, where, by which rule, and what would mend it. In go the
// findings of every other package of lang; out come sorted lists and their text, JSON, SARIF and
// workflow-command forms.
package diag

import "haulm/lang/source"

// Severity of a finding.
type Severity uint8

// Note: worth knowing. Warning: ill-advised. Error: cannot be done.
const (
	Note Severity = iota
	Warning
	Error
)

func (s Severity) String() string { return [...]string{"note", "warning", "error"}[s] }

// Rule is what a finding's code stands for; each stands once, in the file of the check that finds it.
type Rule struct {
	Code     string // short phrase, "rows-too-close"
	Severity Severity
	Summary  string // one line
	Explain  string // Markdown, several sentences: what is computed, why it matters, what to do
	Example  string // a small plan, or a piece of one, that the rule finds fault with; several files as a text archive
	Source   string // published source, "common practice" or "memory"
}

// Label is a place with a few words on what it has to do with the finding.
type Label struct {
	Span source.Span
	Text string
}

// CalledFrom is the text of a related label at a call that led to the one at fault.
const CalledFrom = "called from here"

// Value is one number that the finding turned on.
type Value struct{ Name, Text string }

// Edit replaces the text of Span; an empty Span.Start==End inserts.
type Edit struct {
	Span source.Span
	Text string
}

// Fix is a change that mends the finding. Safe fixes keep the grower's intent and may be applied
// unseen; the others are offers.
type Fix struct {
	Title string
	Edits []Edit
	Safe  bool
}

// Diagnostic is one finding.
type Diagnostic struct {
	Rule    *Rule
	Message string
	Primary Label
	Related []Label
	Values  []Value
	Help    string
	Fixes   []Fix
}

// Code of the finding's rule.
func (d *Diagnostic) Code() string { return d.Rule.Code }
