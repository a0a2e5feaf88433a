package diag

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"haulm/lang/source"
)

// OverlapError says that two edits want the same piece of text.
type OverlapError struct{ First, Second Edit }

func (e *OverlapError) Error() string {
	return fmt.Sprintf("two changes meet at %s and %s: apply one, check again, then the other",
		e.First.Span, e.Second.Span)
}

// Apply gives the text of every file that the fix changes, as it reads after the fix. Its edits may
// stand in any order and in several files, and all refer to the text before the fix. Two that overlap
// are an *OverlapError; the same edit given twice counts once.
func Apply(fix Fix) (map[*source.File]string, error) {
	b := batch{}
	if err := b.take(fix); err != nil {
		return nil, err
	}
	return b.texts(), nil
}

// ApplySafe applies the first safe fix of each finding, in the order of ds, and gives the texts after
// and the findings whose fix went in. A fix that overlaps one already taken is left for the next round:
// the mended text may well not need it.
func ApplySafe(ds []Diagnostic) (map[*source.File]string, []Applied) {
	b, done := batch{}, []Applied{}
	for i := range ds {
		d := &ds[i]
		at := slices.IndexFunc(d.Fixes, func(f Fix) bool { return f.Safe && len(f.Edits) > 0 })
		if at < 0 || b.take(d.Fixes[at]) != nil {
			continue
		}
		done = append(done, Applied{Finding: d, Fix: d.Fixes[at]})
	}
	return b.texts(), done
}

// Applied is a fix that went in, and the finding that it mends.
type Applied struct {
	Finding *Diagnostic
	Fix     Fix
}

// batch is the edits taken so far; by file, in the order of their places.
type batch map[*source.File][]placed

// placed is an edit with its byte offsets.
type placed struct {
	Edit
	from, to int
}

// take adds all edits of a fix or, on an error, none.
func (b batch) take(fix Fix) error {
	own := batch{}
	for _, e := range fix.Edits {
		if !e.Span.IsValid() {
			return fmt.Errorf("the fix %q has a change without a place", fix.Title)
		}
		f := e.Span.File
		p := placed{e, f.Offset(e.Span.Start), f.Offset(e.Span.End)}
		if p.to < p.from {
			return fmt.Errorf("the change at %s ends before it starts", e.Span)
		}
		_, there, err := find(b[f], p)
		if err != nil {
			return err
		}
		at, again, err := find(own[f], p)
		if err != nil {
			return err
		}
		if !there && !again {
			own[f] = slices.Insert(own[f], at, p)
		}
	}
	for f, edits := range own {
		for _, p := range edits {
			at, _, _ := find(b[f], p) // asked above
			b[f] = slices.Insert(b[f], at, p)
		}
	}
	return nil
}

// find gives the index at which an edit belongs among those of its file, and whether the same edit is
// there already. An edit that overlaps one of them is an *OverlapError.
func find(have []placed, p placed) (at int, there bool, err error) {
	at, _ = slices.BinarySearchFunc(have, p, func(a, b placed) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to))
	})
	for i := max(at-1, 0); i < len(have) && i <= at+1; i++ {
		q := have[i]
		if q.from == p.from && q.to == p.to && q.Text == p.Text {
			return at, true, nil
		}
		if p.meets(q) {
			return at, false, &OverlapError{q.Edit, p.Edit}
		}
	}
	return at, false, nil
}

// meets tells whether two edits share text, or put their own at one point, where neither would know
// which goes first.
func (p placed) meets(q placed) bool {
	if p.from == q.from && p.to == q.to {
		return true
	}
	return p.from < q.to && q.from < p.to
}

func (b batch) texts() map[*source.File]string {
	out := make(map[*source.File]string, len(b))
	for f, edits := range b {
		var text strings.Builder
		last := 0
		for _, e := range edits {
			text.WriteString(f.Text[last:e.from])
			text.WriteString(e.Text)
			last = e.to
		}
		text.WriteString(f.Text[last:])
		out[f] = text.String()
	}
	return out
}
