package feature

import (
	"fmt"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/lang/source"
)

// Symbol is a thing of the farm, or a function, as an outline shows it.
type Symbol struct {
	Name   string // "Lower bench", "row 3", "bell pepper 'Lantern Red'"
	Detail string // "9 rows, 210 plants"
	Kind   SymbolKind
	In     string      // "Lower bench, row 3"; only of Symbols
	Span   source.Span // the call that declared it, and what belongs to it in the file
	Head   source.Span // the name, or the function called, inside Span
	Inside []Symbol
}

// SymbolKind tells what a Symbol is.
type SymbolKind uint8

// The kinds of symbols.
const (
	SymbolFarm SymbolKind = iota
	SymbolPlot
	SymbolRow
	SymbolPlanting
	SymbolCrop
	SymbolWater // a source or a zone
	SymbolFunction
	SymbolName
)

// Outline gives the things declared by this file's calls, plots with their rows and rows with their
// plantings, then its functions. A thing that a helper made belongs to the file of the helper's call.
func (d *Doc) Outline() []Symbol {
	o := &outliner{doc: d, plots: map[*farm.Plot]*Symbol{}, rows: map[*farm.Row]*Symbol{}}
	if d.Plan != nil && d.Plan.Facts != nil {
		o.farm()
	}
	o.functions()
	return o.sorted(o.top)
}

type outliner struct {
	doc   *Doc
	top   []*Symbol
	plots map[*farm.Plot]*Symbol
	rows  map[*farm.Row]*Symbol
	kids  map[*Symbol][]*Symbol
}

func (o *outliner) farm() {
	d := o.doc
	o.kids = map[*Symbol][]*Symbol{}
	f := d.Plan.Farm
	var root *Symbol
	if s := o.symbol(&f.Decl, SymbolFarm, f.Name.Value, fmt.Sprintf("season %d, %s", f.Year.Value, counted(len(f.Plots), "plot"))); s != nil {
		root = s
		o.top = append(o.top, s)
	}
	under := func(parent, s *Symbol) {
		if parent == nil {
			parent = root
		}
		if parent == nil {
			o.top = append(o.top, s)
			return
		}
		o.kids[parent] = append(o.kids[parent], s)
	}
	for _, s := range f.Sources {
		if s := o.symbol(&s.Decl, SymbolWater, s.Name.Value, "water source"); s != nil {
			under(nil, s)
		}
	}
	for _, z := range f.Zones {
		if s := o.symbol(&z.Decl, SymbolWater, z.Name.Value, "zone"); s != nil {
			under(nil, s)
		}
	}
	for _, c := range f.Crops {
		if s := o.symbol(&c.Decl, SymbolCrop, c.Title(), "crop"); s != nil {
			under(nil, s)
		}
	}
	for _, p := range d.Plan.Facts.Plots {
		detail := counted(len(p.Rows), "row") + ", " + counted(p.Plants, "plant")
		if s := o.symbol(&p.Decl.Decl, SymbolPlot, p.Decl.Name.Value, detail); s != nil {
			o.plots[p.Decl] = s
			under(nil, s)
		}
	}
	for _, r := range d.Plan.Facts.Rows {
		plants := 0
		for _, q := range r.Plantings {
			plants += q.Plants
		}
		detail := counted(plants, "plant") + ", " + d.length(r.FreeLength) + " free"
		name := r.Name()
		if o.plots[r.Decl.Plot] == nil {
			name = rowOf(r)
		}
		if s := o.symbol(&r.Decl.Decl, SymbolRow, name, detail); s != nil {
			o.rows[r.Decl] = s
			under(o.plots[r.Decl.Plot], s)
		}
	}
	for _, p := range d.Plan.Facts.Plantings {
		name := p.Decl.Crop.Title()
		if o.rows[p.Decl.Row] == nil {
			name += " in " + rowOf(p.Row)
		}
		if s := o.symbol(&p.Decl.Decl, SymbolPlanting, name, manyPlants(p)); s != nil {
			under(o.rows[p.Decl.Row], s)
		}
	}
}

func manyPlants(p *derive.Planting) string {
	if !p.Placed() {
		return "number not known"
	}
	return counted(p.Plants, "plant")
}

// symbol makes that of a declaration when it belongs to the file; nil otherwise.
func (o *outliner) symbol(decl *farm.Decl, kind SymbolKind, name, detail string) *Symbol {
	call := homeOf(decl)
	if call.File == nil || call.File.Path != o.doc.File.Path {
		return nil
	}
	now := o.doc.Place(call)
	if !now.IsValid() || now.Start == now.End || !isNameByte(now.Text()[0]) {
		return nil
	}
	if name == "" {
		name = decl.Kind
	}
	return &Symbol{Name: name, Detail: detail, Kind: kind, Span: now, Head: calleeSpan(now)}
}

// homeOf is the call in the plan's own text that a declaration belongs to: that of the outermost helper,
// or else its own.
func homeOf(decl *farm.Decl) source.Span {
	if n := len(decl.Chain); n > 0 {
		return decl.Chain[n-1]
	}
	return decl.Call
}

// calleeSpan is the function called in a call.
func calleeSpan(call source.Span) source.Span {
	text := call.Text()
	n := 0
	for n < len(text) && (isNameByte(text[n]) || text[n] == '.') {
		n++
	}
	start := call.File.Offset(call.Start)
	return call.File.Span(start, start+n)
}

// functions adds the functions that the file defines.
func (o *outliner) functions() {
	for _, n := range o.doc.Names().Names {
		for _, s := range n.Sites {
			if s.Binds && o.isFunction(s.Span) {
				span := s.Span
				span.Start = source.Point{Line: s.Span.Start.Line, Col: 1}
				part := o.doc.Part(s.Span.Start)
				end := part.Start
				for _, t := range part.code() {
					end = t.End
				}
				span.End = o.doc.File.Point(end)
				o.top = append(o.top, &Symbol{Name: n.Text, Detail: "function", Kind: SymbolFunction, Span: span, Head: s.Span})
			}
		}
	}
}

// isFunction tells whether a name is one being defined at the margin.
func (o *outliner) isFunction(name source.Span) bool {
	line := o.doc.File.Line(int(name.Start.Line))
	rest, ok := strings.CutPrefix(line, "def ")
	return ok && strings.HasPrefix(strings.TrimLeft(rest, " "), name.Text()) && int(name.Start.Col) <= len(line)-len(strings.TrimLeft(rest, " "))+1
}

// sorted puts symbols in the order of the text and widens each over what is inside it.
func (o *outliner) sorted(list []*Symbol) []Symbol {
	out := make([]Symbol, 0, len(list))
	for _, s := range list {
		s.Inside = o.sorted(o.kids[s])
		for _, inside := range s.Inside {
			if inside.Span.Start.Before(s.Span.Start) {
				s.Span.Start = inside.Span.Start
			}
			if s.Span.End.Before(inside.Span.End) {
				s.Span.End = inside.Span.End
			}
		}
		out = append(out, *s)
	}
	slices.SortStableFunc(out, func(a, b Symbol) int { return a.Head.Compare(b.Head) })
	return out
}

// maxSymbols bounds an answer to a search over the whole plan.
const maxSymbols = 500

// Symbols gives the things of the plan whose names, with those of the plot and row around them, hold the
// letters of a query in their order; at most 500, in the order of the farm. Places are those of the
// text last evaluated.
func (p *Plan) Symbols(query string) []Symbol {
	var list []Symbol
	add := func(decl *farm.Decl, kind SymbolKind, name, in, detail string) {
		call := homeOf(decl)
		if len(list) < maxSymbols && call.IsValid() && matches(in+" "+name, query) {
			list = append(list, Symbol{Name: name, In: in, Detail: detail, Kind: kind, Span: call, Head: calleeSpan(call)})
		}
	}
	if p == nil || p.Facts == nil {
		return nil
	}
	f := p.Farm
	add(&f.Decl, SymbolFarm, f.Name.Value, "", counted(len(f.Plots), "plot"))
	for _, q := range p.Facts.Plots {
		add(&q.Decl.Decl, SymbolPlot, q.Decl.Name.Value, f.Name.Value, counted(len(q.Rows), "row")+", "+counted(q.Plants, "plant"))
	}
	for _, r := range p.Facts.Rows {
		add(&r.Decl.Decl, SymbolRow, r.Name(), r.Plot.Decl.Name.Value, counted(len(r.Plantings), "planting"))
	}
	for _, q := range p.Facts.Plantings {
		add(&q.Decl.Decl, SymbolPlanting, q.Decl.Crop.Title(), q.Row.Plot.Decl.Name.Value+", "+q.Row.Name(), manyPlants(q))
	}
	for _, z := range f.Zones {
		add(&z.Decl, SymbolWater, z.Name.Value, f.Name.Value, "zone")
	}
	for _, s := range f.Sources {
		add(&s.Decl, SymbolWater, s.Name.Value, f.Name.Value, "water source")
	}
	for _, c := range f.Crops {
		add(&c.Decl, SymbolCrop, c.Title(), f.Name.Value, "crop")
	}
	return list
}
