package crops

import (
	"cmp"
	"slices"
)

// statement is one row of the table.
type statement struct {
	Stated
	aside bool // told, but of another basis or layout: it never sets the value
}

var gradeOrder = []Grade{GradeA, GradeB, GradeC, GradeMemory}

func byGrade(a, b Grade) int {
	return cmp.Compare(slices.Index(gradeOrder, a), slices.Index(gradeOrder, b))
}

// joinSpan is the ratio of widest to narrowest up to which a spacing takes the next grade in.
const joinSpan = 2

// settle chooses a value from what the sources say: from the lowest low to the highest high of the best
// grade there is. Spacings join the next grade for as long as the widest is at most twice the narrowest:
// one trade chart's "15 in" is that chart's advice, not the limit of what works. The grade is that of
// the source that gave the whole range, or the weaker of the two that set its ends. What the sources
// say of another basis (days from sprouting, beds with equal distances) is told in Others only.
func settle(said []statement, joins bool) Range {
	var open []statement
	for _, s := range said {
		if !s.aside {
			open = append(open, s)
		}
	}
	slices.SortStableFunc(open, func(a, b statement) int { return byGrade(a.Grade, b.Grade) })
	var r Range
	taken := 0
	for taken < len(open) && (taken == 0 || open[taken].Grade == open[taken-1].Grade || joins && r.High <= joinSpan*r.Low) {
		s := open[taken]
		if taken == 0 {
			r.Low, r.High = s.Low, s.High
		}
		r.Low, r.High = min(r.Low, s.Low), max(r.High, s.High)
		taken++
	}
	whole := slices.IndexFunc(open[:taken], func(s statement) bool { return s.Low == r.Low && s.High == r.High })
	if whole >= 0 {
		s := open[whole]
		r.Grade, r.Source, r.Note = s.Grade, s.Source, s.Note
	} else if taken > 0 {
		low := slices.IndexFunc(open[:taken], func(s statement) bool { return s.Low == r.Low })
		high := slices.IndexFunc(open[:taken], func(s statement) bool { return s.High == r.High })
		a, b := open[min(low, high)], open[max(low, high)]
		r.Grade, r.Source, r.Note = b.Grade, joined(a.Source, b.Source), joined(a.Note, b.Note)
	}
	r.Others = others(said, open, whole)
	return r
}

func joined(a, b string) string {
	if a == b || b == "" {
		return a
	}
	if a == "" {
		return b
	}
	return a + "; " + b
}

// others gives every statement but the one that is the whole range, best grade first.
func others(said, open []statement, whole int) []Stated {
	var rest []Stated
	for i, s := range open {
		if i != whole {
			rest = append(rest, s.Stated)
		}
	}
	for _, s := range said {
		if s.aside {
			rest = append(rest, s.Stated)
		}
	}
	slices.SortStableFunc(rest, func(a, b Stated) int { return byGrade(a.Grade, b.Grade) })
	return rest
}
