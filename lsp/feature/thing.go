package feature

import (
	"cmp"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/source"
)

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

// Things gives what a call of the evaluated text declared, or led to, in the order of declaration: none,
// one, or many for a call in a loop or of a helper.
func (p *Plan) Things(call source.Span) []Thing {
	if p == nil {
		return nil
	}
	return p.things().find(call)
}

// given gives the rows, plots, crops and sites that an argument of the evaluated text handed on.
func (p *Plan) given(arg source.Span) []Thing { return p.args().find(arg) }

// ref leads from a stretch of a file to a declaration.
type ref struct {
	start, end source.Point
	decl       *farm.Decl
	of         any
	next       int32 // 1 + the index of another that begins on the same line, 0 for none
	through    bool
}

// refs are the refs of one plan by file and line, so that they need no sorting.
type refs struct {
	plan  *Plan
	list  []ref
	heads [][]int32    // by file of the plan and line: 1 + the index of the last one
	last  *source.File // the file of the last one, and its index
	file  int
}

func newRefs(p *Plan, size int) *refs {
	return &refs{plan: p, list: make([]ref, 0, size), heads: make([][]int32, len(p.Files))}
}

func (r *refs) fileOf(f *source.File) int {
	if f != r.last {
		r.last = f
		r.file = slices.IndexFunc(r.plan.Files, func(g *source.File) bool { return g.Path == f.Path })
	}
	return r.file
}

func (r *refs) add(at source.Span, decl *farm.Decl, of any, through bool) {
	if !at.IsValid() {
		return
	}
	file := r.fileOf(at.File)
	if file < 0 {
		return
	}
	if r.heads[file] == nil {
		r.heads[file] = make([]int32, at.File.Lines()+1)
	}
	head := &r.heads[file][at.Start.Line]
	r.list = append(r.list, ref{start: at.Start, end: at.End, decl: decl, of: of, next: *head, through: through})
	*head = int32(len(r.list))
}

// find gives the things at a stretch in the order of declaration, each once.
func (r *refs) find(at source.Span) []Thing {
	if r == nil || !at.IsValid() {
		return nil
	}
	file := slices.IndexFunc(r.plan.Files, func(g *source.File) bool { return g.Path == at.File.Path })
	if file < 0 || int(at.Start.Line) >= len(r.heads[file]) {
		return nil
	}
	var found []Thing
	for i := r.heads[file][at.Start.Line]; i != 0; i = r.list[i-1].next {
		if f := &r.list[i-1]; f.start == at.Start && f.end == at.End {
			t := r.plan.thing(f.decl, f.of)
			t.Through = f.through
			found = append(found, t)
		}
	}
	slices.SortFunc(found, func(a, b Thing) int { return cmp.Compare(a.Decl.Order, b.Decl.Order) })
	return slices.CompactFunc(found, func(a, b Thing) bool { return a.Of == b.Of })
}

// thing puts a declaration together with the facts worked out for it.
func (p *Plan) thing(decl *farm.Decl, of any) Thing {
	t := Thing{Decl: decl, Of: of}
	facts := p.facts()
	if decl.Order >= len(facts) {
		return t
	}
	switch f := facts[decl.Order].(type) {
	case *derive.Plot:
		if f.Decl == of {
			t.Plot = f
		}
	case *derive.Row:
		if f.Decl == of {
			t.Row = f
		}
	case *derive.Planting:
		if f.Decl == of {
			t.Planting = f
		}
	}
	return t
}

func (p *Plan) factTable() []any {
	if p.Facts == nil {
		return nil
	}
	last := 0
	for _, f := range p.Facts.Plots {
		last = max(last, f.Decl.Order)
	}
	for _, f := range p.Facts.Rows {
		last = max(last, f.Decl.Order)
	}
	for _, f := range p.Facts.Plantings {
		last = max(last, f.Decl.Order)
	}
	t := make([]any, last+1)
	for _, f := range p.Facts.Plots {
		t[f.Decl.Order] = f
	}
	for _, f := range p.Facts.Rows {
		t[f.Decl.Order] = f
	}
	for _, f := range p.Facts.Plantings {
		t[f.Decl.Order] = f
	}
	return t
}

func (p *Plan) thingTable() *refs {
	if p.Farm == nil {
		return nil
	}
	r := newRefs(p, len(p.Farm.Rows)+len(p.Farm.Plantings)+len(p.Farm.Plots))
	p.declarations(func(decl *farm.Decl, of any) {
		r.add(decl.Call, decl, of, false)
		for _, call := range decl.Chain {
			r.add(call, decl, of, true)
		}
	})
	return r
}

func (p *Plan) argTable() *refs {
	if p.Farm == nil {
		return nil
	}
	r := newRefs(p, len(p.Farm.Rows)+2*len(p.Farm.Plantings))
	if s := p.Farm.Site; s != nil {
		r.add(p.Farm.SiteSpan, &s.Decl, s, false)
	}
	for _, d := range p.Farm.Rows {
		if d.Plot != nil {
			r.add(d.PlotSpan, &d.Plot.Decl, d.Plot, false)
		}
	}
	for _, d := range p.Farm.Plantings {
		if d.Row != nil {
			r.add(d.RowSpan, &d.Row.Decl, d.Row, false)
		}
		if d.Crop != nil {
			r.add(d.CropSpan, &d.Crop.Decl, d.Crop, false)
		}
	}
	return r
}

// everything calls each for every declaration of the plan, kind by kind.
func (p *Plan) everything(each func(Thing)) {
	if p == nil || p.Farm == nil {
		return
	}
	p.declarations(func(decl *farm.Decl, of any) { each(p.thing(decl, of)) })
}

func (p *Plan) declarations(each func(*farm.Decl, any)) {
	f := p.Farm
	each(&f.Decl, f)
	for _, d := range f.Plots {
		each(&d.Decl, d)
	}
	for _, d := range f.Rows {
		each(&d.Decl, d)
	}
	for _, d := range f.Plantings {
		each(&d.Decl, d)
	}
	for _, d := range f.Sites {
		each(&d.Decl, d)
	}
	for _, d := range f.Climates {
		each(&d.Decl, d)
	}
	for _, d := range f.Crews {
		each(&d.Decl, d)
	}
	for _, d := range f.Crops {
		each(&d.Decl, d)
	}
	for _, d := range f.Histories {
		each(&d.Decl, d)
	}
	for _, d := range f.Earlier {
		each(&d.Decl, d)
	}
	for _, d := range f.Soils {
		each(&d.Decl, d)
	}
	for _, d := range f.SoilTests {
		each(&d.Decl, d)
	}
	for _, d := range f.Sources {
		each(&d.Decl, d)
	}
	for _, d := range f.Tapes {
		each(&d.Decl, d)
	}
	for _, d := range f.Pipes {
		each(&d.Decl, d)
	}
	for _, d := range f.Zones {
		each(&d.Decl, d)
	}
	for _, d := range f.Trellises {
		each(&d.Decl, d)
	}
	for _, d := range f.Trays {
		each(&d.Decl, d)
	}
	for _, d := range f.Pots {
		each(&d.Decl, d)
	}
	if d := f.Nursery; d != nil {
		each(&d.Decl, d)
	}
	for _, d := range f.Protectants {
		each(&d.Decl, d)
	}
	for _, d := range f.Protects {
		each(&d.Decl, d)
	}
	for _, d := range f.Tasks {
		each(&d.Decl, d)
	}
	for _, d := range f.Prices {
		each(&d.Decl, d)
	}
	for _, d := range f.Wants {
		each(&d.Decl, d)
	}
	for _, d := range f.Products {
		each(&d.Decl, d)
	}
	for _, d := range f.Measures {
		each(&d.Decl, d)
	}
	for _, d := range f.Feeds {
		each(&d.Decl, d)
	}
	for _, d := range f.Needs {
		each(&d.Decl, d)
	}
	for _, d := range f.Credits {
		each(&d.Decl, d)
	}
	for _, d := range f.Stocks {
		each(&d.Decl, d)
	}
	for _, d := range f.Records {
		each(&d.Decl, d)
	}
	for _, d := range f.RecordFiles {
		each(&d.Decl, d)
	}
}
