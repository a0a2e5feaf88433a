package diff

import (
	"reflect"
	"slices"
	"strings"
	"unicode"

	"haulm/lang/derive"
	"haulm/lang/farm"
)

// thing is something that a plan declares and that keeps being itself while what the plan says of it changes.
type thing struct {
	kind *kind
	decl any // *farm.Plot, ...
	head *farm.Decl
	item derive.Item
	at   int // its place among the things of its kind
	pair *pair
}

// pair is a thing of the old farm with what it became; one of them is nil when it is gone or new.
type pair struct {
	number   int // no two pairs of a comparison share it
	old, new *thing
	grounds  string
	change   *Change // nil when nothing changed
}

// kind is a kind of things.
type kind struct {
	name   string // "water source"
	elem   reflect.Type
	slice  int // index of its list in farm.Farm
	shape  *shape
	sides  [2][]*thing
	pairs  []*pair
	placed bool // plots, rows and plantings, which come from the facts
}

// side is one farm of a comparison.
type side struct {
	Side
	facts *derive.Facts
	of    map[any]*thing // by declaration

	sprayings, feedings *kind // which are named by what is put on
}

// comparison is the work on two farms.
type comparison struct {
	from, to side
	kinds    []*kind // in the order of farm.Farm
	byType   map[reflect.Type]*kind
	shapes   map[reflect.Type]*shape
	numbers  int
	changes  []*Change
	farm     *Change // of the farm itself; nil while it has none
}

// notThings are the lists of farm.Farm whose elements have no name and no life of their own: each is told of
// as a part of what it belongs to, and two with the same content are the same. A crop is told of by its title.
func notThings(list string) bool {
	return slices.Contains([]string{"Sites", "Crews", "Soils", "SoilTests", "Climates", "Weathers", "Tapes", "Pipes"}, list)
}

func newComparison(from, to Side) *comparison {
	c := &comparison{
		from: side{Side: from, facts: whole(from.Facts)}, to: side{Side: to, facts: whole(to.Facts)},
		byType: map[reflect.Type]*kind{}, shapes: map[reflect.Type]*shape{},
	}
	lists := reflect.TypeFor[farm.Farm]()
	for i := range lists.NumField() {
		f := lists.Field(i)
		if f.Type.Kind() != reflect.Slice || notThings(f.Name) {
			continue
		}
		elem := f.Type.Elem().Elem()
		k := &kind{name: kindName(elem.Name()), elem: elem, slice: i}
		k.placed = elem == reflect.TypeFor[farm.Plot]() || elem == reflect.TypeFor[farm.Row]() || elem == reflect.TypeFor[farm.Planting]()
		c.kinds = append(c.kinds, k)
		c.byType[elem] = k
	}
	for _, k := range c.kinds {
		k.shape = c.shapeOf(k.elem)
	}
	for i, s := range []*side{&c.from, &c.to} {
		c.list(s, i)
	}
	return c
}

func whole(facts *derive.Facts) *derive.Facts {
	if facts == nil || facts.Farm == nil {
		return derive.Derive(nil)
	}
	return facts
}

// list gathers the things of a side.
func (c *comparison) list(s *side, n int) {
	s.of = make(map[any]*thing, len(s.facts.Plots)+len(s.facts.Rows)+len(s.facts.Plantings))
	block := make([]thing, 0, len(s.facts.Plots)+len(s.facts.Rows)+len(s.facts.Plantings))
	add := func(k *kind, decl any, head *farm.Decl, item derive.Item) {
		block = append(block, thing{kind: k, decl: decl, head: head, item: item, at: len(k.sides[n])})
		t := &block[len(block)-1]
		k.sides[n] = append(k.sides[n], t)
		s.of[decl] = t
	}
	s.sprayings, s.feedings = c.kindOf(&farm.Protect{}), c.kindOf(&farm.Feed{})
	plots, rows, plantings := c.kindOf(&farm.Plot{}), c.kindOf(&farm.Row{}), c.kindOf(&farm.Planting{})
	for _, p := range s.facts.Plots {
		add(plots, p.Decl, &p.Decl.Decl, derive.Item{Plot: p})
	}
	for _, r := range s.facts.Rows {
		add(rows, r.Decl, &r.Decl.Decl, derive.Item{Row: r})
	}
	for _, p := range s.facts.Plantings {
		add(plantings, p.Decl, &p.Decl.Decl, derive.Item{Planting: p})
	}
	farmValue := reflect.ValueOf(s.facts.Farm).Elem()
	for _, k := range c.kinds {
		if k.placed {
			continue
		}
		list := farmValue.Field(k.slice)
		for i := range list.Len() {
			p := list.Index(i)
			if p.IsNil() {
				continue
			}
			add(k, p.Interface(), p.Elem().FieldByName("Decl").Addr().Interface().(*farm.Decl), derive.Item{})
		}
	}
}

func (c *comparison) kindOf(decl any) *kind { return c.byType[reflect.TypeOf(decl).Elem()] }

// join makes a pair of two things, one of which may be nil.
func (c *comparison) join(k *kind, from, to *thing, grounds string) {
	c.numbers++
	p := &pair{number: c.numbers, old: from, new: to, grounds: grounds}
	if from != nil {
		from.pair = p
	}
	if to != nil {
		to.pair = p
	}
	k.pairs = append(k.pairs, p)
}

// kindName makes words of the name of a type: "WaterSource" is a water source.
func kindName(typ string) string {
	switch typ {
	case "Protect":
		return "spraying"
	case "Feed":
		return "feeding"
	case "Want":
		return "wanted harvest"
	case "DripTape":
		return "tape"
	}
	return words(typ)
}

// words splits the name of a field or a type: "InsideDiameter" gives "inside diameter".
func words(name string) string {
	switch name {
	case "PH":
		return "pH"
	case "P", "K":
		return name
	case "MaturityTransplant":
		return "days to maturity"
	case "MaturitySeed":
		return "days to maturity from seed"
	case "Direct":
		return "sown in the row"
	}
	var b strings.Builder
	before := ' '
	for i, r := range name {
		if unicode.IsUpper(r) && i > 0 && !unicode.IsUpper(before) {
			b.WriteByte(' ')
		}
		b.WriteRune(unicode.ToLower(r))
		before = r
	}
	return b.String()
}

// plot is the one that a thing belongs to; nil for what belongs to the whole farm.
func (s *side) plot(t *thing) *derive.Plot {
	switch {
	case t == nil:
		return nil
	case t.item.Plot != nil:
		return t.item.Plot
	case t.item.Row != nil:
		return t.item.Row.Plot
	case t.item.Planting != nil:
		return t.item.Planting.Row.Plot
	}
	for _, ref := range t.refs() {
		if r := s.of[ref]; r != nil && r.kind.placed {
			return s.plot(r)
		}
	}
	return nil
}

// refs are the declarations that a thing points to, crops among them.
func (t *thing) refs() []any {
	var all []any
	v := reflect.ValueOf(t.decl).Elem()
	for i := range t.kind.shape.fields {
		f := &t.kind.shape.fields[i]
		switch p := v.Field(f.index); f.as {
		case isRef, isCrop:
			if !p.IsNil() {
				all = append(all, p.Interface())
			}
		case isRefs:
			for i := range p.Len() {
				if !p.Index(i).IsNil() {
					all = append(all, p.Index(i).Interface())
				}
			}
		}
	}
	return all
}

// name is what the plan calls the thing, "" for what has no name.
func (t *thing) name() string {
	if i := t.kind.shape.name; i >= 0 {
		return reflect.ValueOf(t.decl).Elem().Field(i).Addr().Interface().(*farm.Text).Value
	}
	return ""
}

// title names the thing for people.
func (s *side) title(t *thing) string {
	if title := t.item.Title(); title != "" {
		return title
	}
	if crop, ok := t.decl.(*farm.Crop); ok {
		return crop.Title()
	}
	text := t.kind.name
	if name := t.name(); name != "" {
		text += " " + name
	}
	var of []string
	for _, ref := range t.refs() {
		of = append(of, s.refTitle(ref))
	}
	switch {
	case t.kind.name == "zone" || len(of) == 0:
		return text
	case t.kind == s.sprayings:
		return of[len(of)-1] + " on " + of[0]
	case t.kind == s.feedings && len(of) > 1:
		return text + " of " + of[0] + " with " + strings.Join(of[1:], ", ")
	}
	return text + " of " + strings.Join(of, ", ")
}

// refTitle names what a declaration points to.
func (s *side) refTitle(ref any) string {
	if crop, ok := ref.(*farm.Crop); ok {
		return crop.Title()
	}
	t := s.of[ref]
	if t == nil { // a row without a place, or of a plan with errors
		if name := reflect.ValueOf(ref).Elem().FieldByName("Name"); name.IsValid() && name.Type() == reflect.TypeFor[farm.Text]() {
			return name.Addr().Interface().(*farm.Text).Value
		}
		return ""
	}
	if name := t.name(); name != "" && !t.kind.placed {
		return name
	}
	return s.title(t)
}

// public is the thing as the Diff shows it.
func (s *side) public(t *thing) *Thing {
	if t == nil {
		return nil
	}
	return &Thing{Kind: t.kind.name, Title: s.title(t), Item: t.item}
}
