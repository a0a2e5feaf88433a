package diff

import (
	"reflect"
	"slices"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
)

// Finding is one that came or went.
type Finding struct {
	*diag.Diagnostic
	Thing *Thing // that it is about; nil when it is about none that a plan names

	thing *thing
	side  *side
}

// settleFindings pairs the findings of both farms by their code and the thing they are about, wherever it stands
// in the text, and gives what is left to the changes of those things.
func (c *comparison) settleFindings(d *Diff) {
	type sort struct {
		code    string
		pair    int
		message string // of a finding about one of several things that the same text makes
	}
	about := func(s *side) (map[sort][]*Finding, []sort) {
		x := newCallIndex(s, c.kinds)
		m := map[sort][]*Finding{}
		var order []sort
		for i := range s.Findings {
			f := &Finding{Diagnostic: &s.Findings[i]}
			k := sort{code: f.Code()}
			switch t, several := x.thing(f.Diagnostic); {
			case several:
				k.message = f.Message
			case t != nil && !(t.isCrop() && (t.pair.old == nil || t.pair.new == nil)):
				k.pair, f.thing, f.side = t.pair.number, t, s
			}
			if m[k] == nil {
				order = append(order, k)
			}
			m[k] = append(m[k], f)
		}
		return m, order
	}
	olds, wasIn := about(&c.from)
	news, isIn := about(&c.to)
	change := func(f *Finding) *Change {
		if f.thing == nil {
			return c.farmChange()
		}
		f.Thing = f.side.public(f.thing)
		if f.thing.pair.change == nil {
			c.add(f.thing.pair)
		}
		return f.thing.pair.change
	}
	for _, k := range wasIn {
		for _, f := range beyond(olds[k], news[k]) {
			d.Lost = append(d.Lost, f)
			x := change(f)
			x.Lost = append(x.Lost, f)
		}
	}
	for _, k := range isIn {
		for _, f := range beyond(news[k], olds[k]) {
			d.Gained = append(d.Gained, f)
			x := change(f)
			x.Gained = append(x.Gained, f)
		}
	}
}

// beyond gives the findings that a list has more than another of the same sort: those whose words the other
// does not have, the last first.
func beyond(list, other []*Finding) []*Finding {
	n := len(list) - len(other)
	if n <= 0 {
		return nil
	}
	words := map[string]int{}
	for _, f := range other {
		words[f.Message]++
	}
	var more, said []*Finding
	for _, f := range list {
		if words[f.Message] > 0 {
			words[f.Message]--
			said = append(said, f)
		} else {
			more = append(more, f)
		}
	}
	more = append(more, said...)
	return more[:n]
}

// callIndex finds the thing that a place in the text declares.
type callIndex struct {
	files map[*source.File][]declared
}

// declared is a call with the things that it made, several where it stands in a loop or a helper.
type declared struct {
	source.Span
	things []*thing
	reach  source.Point // the farthest end of this call and those before it
}

func newCallIndex(s *side, kinds []*kind) callIndex {
	x := callIndex{map[*source.File][]declared{}}
	if len(s.Findings) == 0 {
		return x
	}
	byCall := map[source.Span][]*thing{}
	for _, t := range s.of {
		if t.head.Call.IsValid() {
			byCall[t.head.Call] = append(byCall[t.head.Call], t)
		}
	}
	for call, things := range byCall {
		x.files[call.File] = append(x.files[call.File], declared{Span: call, things: things})
	}
	for _, calls := range x.files {
		slices.SortFunc(calls, func(a, b declared) int { return a.Compare(b.Span) })
		var reach source.Point
		for i := range calls {
			if reach.Before(calls[i].End) {
				reach = calls[i].End
			}
			calls[i].reach = reach
		}
	}
	return x
}

// thing gives the one that a finding is about: the one whose call is nearest around the finding's place and
// that the same helpers called; nil when there is none, and when there are several.
func (x callIndex) thing(d *diag.Diagnostic) (found *thing, several bool) {
	at := d.Primary.Span
	if d.Code() == "no-farm" { // it marks the first line, whatever stands there
		return nil, false
	}
	calls := x.files[at.File]
	after, _ := slices.BinarySearchFunc(calls, at.Start, func(t declared, p source.Point) int {
		if p.Before(t.Start) {
			return 1
		}
		return -1
	})
	var crop *thing
	for i := after - 1; i >= 0 && at.Start.Before(calls[i].reach); i-- {
		if !calls[i].Contains(at.Start) {
			continue
		}
		for _, t := range calls[i].things {
			if !calledSo(t, d) {
				continue
			}
			if found != nil {
				return nil, true
			}
			found = t
		}
		if found == nil || !found.isCrop() {
			return found, false
		}
		crop, found = found, nil // a crop made in the call that plants it: that is what it is about
	}
	return crop, false
}

func (t *thing) isCrop() bool { return t.kind.elem == reflect.TypeFor[farm.Crop]() }

// calledSo tells whether the calls that led to a thing are those that the finding lists.
func calledSo(t *thing, d *diag.Diagnostic) bool {
	for _, call := range t.head.Chain {
		if !slices.ContainsFunc(d.Related, func(l diag.Label) bool { return l.Text == diag.CalledFrom && l.Span == call }) {
			return false
		}
	}
	return true
}
