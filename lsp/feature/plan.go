package feature

import (
	"io/fs"
	"slices"
	"sync"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/plan"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Plan is the last finished evaluation of a plan with what features look up in it. It does not change
// after it is made; its tables are built when first asked for and shared by every Doc of the plan.
type Plan struct {
	*plan.Snapshot
	FS fs.FS // where the plan's files lie, open documents first; nil where none are offered for loading

	files  func() map[string]evaluated
	things func() []placed // by the calls that declared them
	args   func() []placed // by the arguments that hand them on
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
	return p
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

// Thing is what one call of the plan declared; of Plot, Row and Planting at most one is set, the facts
// worked out for it.
type Thing struct {
	Decl     *farm.Decl
	Of       any // *farm.Plot, *farm.Row, *farm.Zone, ...
	Plot     *derive.Plot
	Row      *derive.Row
	Planting *derive.Planting
	Through  bool // the call only led there: it called a helper that made the declaration
}

// placed is a thing by the call it is looked up by.
type placed struct {
	call  source.Span
	thing Thing
}

// Things gives what a call of the evaluated text declared, or led to, in the order of declaration: none,
// one, or many for a call in a loop or of a helper.
func (p *Plan) Things(call source.Span) []Thing {
	if p == nil || !call.IsValid() {
		return nil
	}
	return find(p.things(), call)
}

// given gives the rows, plots, crops and sites that an argument of the evaluated text handed on.
func (p *Plan) given(arg source.Span) []Thing { return find(p.args(), arg) }

func find(all []placed, call source.Span) []Thing {
	i, _ := slices.BinarySearchFunc(all, call, func(t placed, s source.Span) int { return t.call.Compare(s) })
	var found []Thing
	for ; i < len(all) && all[i].call.Compare(call) == 0; i++ {
		found = append(found, all[i].thing)
	}
	return found
}

func (p *Plan) thingTable() []placed {
	var list []placed
	each := func(t Thing) {
		if t.Decl.Call.IsValid() {
			list = append(list, placed{t.Decl.Call, t})
		}
		for _, call := range t.Decl.Chain {
			through := t
			through.Through = true
			list = append(list, placed{call, through})
		}
	}
	p.everything(each)
	return inOrder(list)
}

func inOrder(list []placed) []placed {
	slices.SortStableFunc(list, func(a, b placed) int {
		if c := a.call.Compare(b.call); c != 0 {
			return c
		}
		return a.thing.Decl.Order - b.thing.Decl.Order
	})
	return slices.CompactFunc(list, func(a, b placed) bool {
		return a.call == b.call && a.thing.Of == b.thing.Of
	})
}

func (p *Plan) argTable() []placed {
	var list []placed
	add := func(arg source.Span, t Thing) {
		if arg.IsValid() {
			list = append(list, placed{arg, t})
		}
	}
	plots, rows, _ := p.facts()
	if p.Farm == nil {
		return nil
	}
	if s := p.Farm.Site; s != nil {
		add(p.Farm.SiteSpan, Thing{Decl: &s.Decl, Of: s})
	}
	for _, r := range p.Farm.Rows {
		if r.Plot != nil {
			add(r.PlotSpan, Thing{Decl: &r.Plot.Decl, Of: r.Plot, Plot: plots[r.Plot]})
		}
	}
	for _, q := range p.Farm.Plantings {
		if q.Row != nil {
			add(q.RowSpan, Thing{Decl: &q.Row.Decl, Of: q.Row, Row: rows[q.Row]})
		}
		if q.Crop != nil {
			add(q.CropSpan, Thing{Decl: &q.Crop.Decl, Of: q.Crop})
		}
	}
	return inOrder(list)
}

// everything calls each for every declaration of the plan, kind by kind.
func (p *Plan) everything(each func(Thing)) {
	if p == nil || p.Farm == nil {
		return
	}
	f := p.Farm
	each(Thing{Decl: &f.Decl, Of: f})
	plots, rows, plantings := p.facts()
	for _, d := range f.Plots {
		each(Thing{Decl: &d.Decl, Of: d, Plot: plots[d]})
	}
	for _, d := range f.Rows {
		each(Thing{Decl: &d.Decl, Of: d, Row: rows[d]})
	}
	for _, d := range f.Plantings {
		each(Thing{Decl: &d.Decl, Of: d, Planting: plantings[d]})
	}
	list(f.Sites, each, func(d *farm.Site) *farm.Decl { return &d.Decl })
	list(f.Crews, each, func(d *farm.Crew) *farm.Decl { return &d.Decl })
	list(f.Crops, each, func(d *farm.Crop) *farm.Decl { return &d.Decl })
	list(f.Histories, each, func(d *farm.History) *farm.Decl { return &d.Decl })
	list(f.Soils, each, func(d *farm.Soil) *farm.Decl { return &d.Decl })
	list(f.SoilTests, each, func(d *farm.SoilTest) *farm.Decl { return &d.Decl })
	list(f.Climates, each, func(d *farm.Climate) *farm.Decl { return &d.Decl })
	list(f.Sources, each, func(d *farm.WaterSource) *farm.Decl { return &d.Decl })
	list(f.Tapes, each, func(d *farm.DripTape) *farm.Decl { return &d.Decl })
	list(f.Pipes, each, func(d *farm.Pipe) *farm.Decl { return &d.Decl })
	list(f.Zones, each, func(d *farm.Zone) *farm.Decl { return &d.Decl })
	list(f.Trellises, each, func(d *farm.Trellis) *farm.Decl { return &d.Decl })
}

func list[T any](of []*T, each func(Thing), decl func(*T) *farm.Decl) {
	for _, d := range of {
		each(Thing{Decl: decl(d), Of: d})
	}
}

func (p *Plan) facts() (map[*farm.Plot]*derive.Plot, map[*farm.Row]*derive.Row, map[*farm.Planting]*derive.Planting) {
	plots, rows := map[*farm.Plot]*derive.Plot{}, map[*farm.Row]*derive.Row{}
	plantings := map[*farm.Planting]*derive.Planting{}
	if p.Facts != nil {
		for _, f := range p.Facts.Plots {
			plots[f.Decl] = f
		}
		for _, f := range p.Facts.Rows {
			rows[f.Decl] = f
		}
		for _, f := range p.Facts.Plantings {
			plantings[f.Decl] = f
		}
	}
	return plots, rows, plantings
}
