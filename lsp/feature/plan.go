package feature

import (
	"io/fs"
	"sync"
	"sync/atomic"

	"haulm/lang/diff"
	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Plan is the last finished evaluation of a plan with what features look up in it. It does not change
// after it is made, but for SetSince and LookBack; its tables are built when first asked for and shared by every Doc of the plan.
type Plan struct {
	*plan.Snapshot
	FS fs.FS // where the plan's files lie, open documents first; nil where none are offered for loading

	files  func() map[string]evaluated
	things func() *refs              // by the calls that declared them
	args   func() *refs              // by the arguments that hand them on
	since  atomic.Pointer[diff.Diff] // what changed since the last commit; nil until that is known
	past   atomic.Pointer[past]      // what changed since last year; nil until that is known
	facts  func() []any              // by the order of the declarations they are worked out for
}

// evaluated is a file of the plan with the names bound at its top.
type evaluated struct {
	file *source.File
	top  func() *nameTable
	full func() *syntax.Scopes
}

// NewPlan makes the Plan of a snapshot and of the files it was read from.
func NewPlan(snap *plan.Snapshot, files fs.FS) *Plan {
	p := &Plan{Snapshot: snap, FS: files}
	p.files = sync.OnceValue(p.fileTable)
	p.things = sync.OnceValue(p.thingTable)
	p.args = sync.OnceValue(p.argTable)
	p.facts = sync.OnceValue(p.factTable)
	return p
}

// Warm builds the tables that completion and hover look things up in, so that the first of them after an
// evaluation need not.
func (p *Plan) Warm() {
	p.things()
	p.args()
	p.facts()
	for _, f := range p.Files {
		p.top(f.Path)
	}
}

// File gives the evaluated text of a path; nil when the plan does not reach it, and for no plan.
func (p *Plan) File(path string) *source.File {
	if p == nil {
		return nil
	}
	return p.files()[path].file
}

// top gives the names bound at the top of a file; nil when the plan does not reach it, and for no plan.
func (p *Plan) top(path string) *nameTable {
	if p == nil {
		return nil
	}
	if f, ok := p.files()[path]; ok {
		return f.top()
	}
	return nil
}

// scopes gives every name of a file; nil as for top.
func (p *Plan) scopes(path string) *syntax.Scopes {
	if p == nil {
		return nil
	}
	if f, ok := p.files()[path]; ok {
		return f.full()
	}
	return nil
}

func (p *Plan) fileTable() map[string]evaluated {
	t := make(map[string]evaluated, len(p.Files))
	for _, f := range p.Files {
		t[f.Path] = evaluated{
			f, sync.OnceValue(func() *nameTable { return topTable(f) }),
			sync.OnceValue(func() *syntax.Scopes { return syntax.Resolve(f, known) }),
		}
	}
	return t
}
