package diag

import (
	"cmp"
	"slices"
	"strings"

	"haulm/lang/source"
)

// Sort puts findings into the one order that every output has: by file, start and end of the primary
// span, severity with errors first, code, message, and then whatever else tells two findings apart.
// Exact duplicates, as a loop or a file shared by two plans makes them, are dropped. Sort works in
// place and gives the part of ds that is left.
func Sort(ds []Diagnostic) []Diagnostic {
	slices.SortStableFunc(ds, compare)
	return slices.CompactFunc(ds, func(a, b Diagnostic) bool { return compare(a, b) == 0 })
}

func compare(a, b Diagnostic) int {
	return cmp.Or(
		compareSpans(a.Primary.Span, b.Primary.Span),
		cmp.Compare(b.Rule.Severity, a.Rule.Severity),
		strings.Compare(a.Rule.Code, b.Rule.Code),
		strings.Compare(a.Message, b.Message),
		strings.Compare(a.Primary.Text, b.Primary.Text),
		slices.CompareFunc(a.Related, b.Related, compareLabels),
		slices.CompareFunc(a.Values, b.Values, compareValues),
		strings.Compare(a.Help, b.Help),
		slices.CompareFunc(a.Fixes, b.Fixes, compareFixes),
	)
}

// compareSpans puts a finding without a place before all others.
func compareSpans(a, b source.Span) int {
	switch {
	case a.IsValid() && b.IsValid():
		return a.Compare(b)
	case a.IsValid():
		return 1
	case b.IsValid():
		return -1
	}
	return 0
}

func compareLabels(a, b Label) int {
	return cmp.Or(compareSpans(a.Span, b.Span), strings.Compare(a.Text, b.Text))
}

func compareValues(a, b Value) int {
	return cmp.Or(strings.Compare(a.Name, b.Name), strings.Compare(a.Text, b.Text))
}

func compareFixes(a, b Fix) int {
	return cmp.Or(
		strings.Compare(a.Title, b.Title),
		compareSafe(a.Safe, b.Safe),
		slices.CompareFunc(a.Edits, b.Edits, compareEdits),
	)
}

func compareSafe(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

func compareEdits(a, b Edit) int {
	return cmp.Or(compareSpans(a.Span, b.Span), strings.Compare(a.Text, b.Text))
}
