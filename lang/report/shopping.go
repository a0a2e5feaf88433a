package report

import (
	"slices"
	"strings"

	"haulm/lang/derive"
)

// Shopping gives what to buy, so far what carries the water: each part with how much of it the whole farm
// takes, what for, and in which zones.
func Shopping(facts *derive.Facts) Table {
	t := newTable("shopping", facts)
	t.Columns = []Column{
		{Head: "part", Key: "part"},
		{Head: "pieces", Key: "pieces", Right: true},
		{Head: "length", Key: "length", Unit: t.unit("ft", "m"), Right: true},
		{Head: "for", Key: "for", keep: 1},
	}
	if facts == nil || facts.Water == nil {
		return t
	}
	for _, w := range wares(facts.Water.Parts) {
		row := []Cell{textCell(w.name), wholeCell(w.count), {}, textCell(w.purpose())}
		if w.length > 0 {
			row[2] = lengthCell(w.length)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// ware is what is bought as one thing, whatever it is for.
type ware struct {
	kind   derive.PartKind
	name   string
	count  int
	length float64
	uses   []use
}

// use is one thing that a ware is for.
type use struct {
	what  string
	zones []string // none for what does not belong to a zone
}

// wares joins the parts of one kind and name, kind by kind, else in the order of the parts.
func wares(parts []derive.Part) []*ware {
	var list []*ware
	for _, p := range parts {
		i := slices.IndexFunc(list, func(w *ware) bool { return w.kind == p.Kind && w.name == p.Name })
		if i < 0 {
			i = len(list)
			list = append(list, &ware{kind: p.Kind, name: p.Name})
		}
		w := list[i]
		w.count, w.length = w.count+p.Count, w.length+p.Length
		w.use(p)
	}
	slices.SortStableFunc(list, func(a, b *ware) int { return int(a.kind) - int(b.kind) })
	return list
}

func (w *ware) use(p derive.Part) {
	i := slices.IndexFunc(w.uses, func(u use) bool { return u.what == p.For })
	if i < 0 {
		i = len(w.uses)
		w.uses = append(w.uses, use{what: p.For})
	}
	if p.Zone != nil {
		w.uses[i].zones = append(w.uses[i].zones, p.Zone.Decl.Name.Value)
	}
}

// purpose tells all uses: "opens the zone (zones fruiting, leaves)".
func (w *ware) purpose() string {
	words := make([]string, len(w.uses))
	for i, u := range w.uses {
		words[i] = u.what
		switch len(u.zones) {
		case 0:
		case 1:
			words[i] += " (zone " + u.zones[0] + ")"
		default:
			words[i] += " (zones " + strings.Join(u.zones, ", ") + ")"
		}
	}
	return strings.Join(words, "; ")
}
