// Package feature answers what an editor asks about one file of a plan. In goes a Doc: a file's text of
// this moment and the last finished evaluation of its plan; out come plain results whose places are
// source.Span: no protocol types, no JSON, no positions counted in UTF-16. Nothing here evaluates a plan.
//
// How the package is laid out:
//
//	doc.go         Doc: the text now; shift.go maps its places to those of the last evaluation
//	plan.go        Plan: the last evaluation; thing.go finds what a call of its text declared
//	part.go        the top-level statement around a place, in tokens, whatever is broken around it
//	call.go        the calls of a part; want.go tells what belongs at a place in one
//	statement.go   statements of a part or a whole file, and the parts of some lines
//	binding.go     where a text gives its names their meaning; name_table.go keeps them for looking up
//	meaning.go     what a name stands for: past aliases, loads, loops and functions
//	amount.go      quantities and dates that can be reckoned from the text
//	*_test.go      harness_test.go runs the marker cases of testdata; law_test.go asks anything anywhere
//
// and one file for each method of the protocol, named after it: completion.go, hover.go, rename.go, ...
//
// Completion, hover and hints come after every keystroke: they look only at the part around the cursor
// and at the Plan, whose tables are built once. Only what is asked for now and then (references,
// symbols, rename) parses whole files.
package feature

import (
	"slices"
	"sync"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Doc is one file as the editor shows it now, beside the last finished evaluation of its plan, which may
// be of an older text. It does not change after it is made; any number of readers may share it.
type Doc struct {
	File *source.File
	Plan *Plan // nil before the first evaluation has ended

	own   func() *nameTable // bound at the top of the text now
	names func() *syntax.Scopes
	loads func() []*Call
	shift func() *shift
}

// NewDoc makes the Doc of a text. The plan may be nil, or one that does not reach the file.
func NewDoc(file *source.File, p *Plan) *Doc {
	d := &Doc{File: file, Plan: p}
	d.own = sync.OnceValue(func() *nameTable { return topTable(file) })
	d.names = sync.OnceValue(func() *syntax.Scopes { return syntax.Resolve(file, known) })
	d.loads = sync.OnceValue(d.loadCalls)
	d.shift = sync.OnceValue(func() *shift { return newShift(p.File(file.Path), file) })
	return d
}

// Names are the file's names, each with its places. It takes time with the size of the file.
func (d *Doc) Names() *syntax.Scopes { return d.names() }

// Evaluated gives the place in the last evaluated text that a stretch of the text now had there; fresh is
// false when the stretch, or a part of it, was edited since, and ok when there is no such place.
func (d *Doc) Evaluated(now source.Span) (then source.Span, fresh bool) { return d.shift().then(now) }

// Now gives the place in the text now of a stretch of the last evaluated text, ok being false when it
// was edited since.
func (d *Doc) Now(then source.Span) (now source.Span, ok bool) { return d.shift().now(then) }

// Place gives the place now of a span that an evaluation gave: that of this file is moved with the edits
// since, another's and one of the text now are left as they are. It is no place when the edits took it.
func (d *Doc) Place(then source.Span) source.Span {
	if then.File == nil || then.File == d.File || then.File.Path != d.File.Path {
		return then
	}
	now, _ := d.Now(then)
	return now
}

// places gives the places now of spans, without those that edits took.
func (d *Doc) places(then ...source.Span) []source.Span {
	var now []source.Span
	for _, s := range then {
		if s = d.Place(s); s.IsValid() && !slices.Contains(now, s) {
			now = append(now, s)
		}
	}
	return now
}

// between is the stretch of the file between two byte offsets.
func (d *Doc) between(start, end int) source.Span { return d.File.Span(start, end) }
