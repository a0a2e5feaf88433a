package feature

import (
	"cmp"
	"slices"

	"haulm/lang/source"
)

// nameTable holds bindings by name, the one that counts of each, and finds a few of many quickly.
type nameTable struct {
	list      []binding
	index     map[string]int
	loads     []int            // those that a load binds
	byCall    map[string][]int // those whose value is a call of a plain name, by that name
	byInitial map[byte][]int   // by the letter that a word of the name begins with
	sorted    []int            // by place
}

func newNameTable() *nameTable {
	return &nameTable{index: map[string]int{}, byCall: map[string][]int{}, byInitial: map[byte][]int{}}
}

// add takes a binding in unless its name is there already.
func (t *nameTable) add(b binding) {
	if _, ok := t.index[b.name]; !ok && b.name != "" {
		t.index[b.name] = len(t.list)
		t.list = append(t.list, b)
	}
}

func (t *nameTable) named(name string) *binding {
	if i, ok := t.index[name]; ok {
		return &t.list[i]
	}
	return nil
}

// topTable finds the names bound at the top of a file, each as it is bound last.
func topTable(f *source.File) *nameTable {
	t := newNameTable()
	list := topBindings(f)
	slices.Reverse(list)
	for _, b := range list {
		t.add(b)
	}
	t.sort()
	return t
}

// sort makes the table ready for candidates.
func (t *nameTable) sort() {
	t.sorted = make([]int, len(t.list))
	for i := range t.list {
		t.sorted[i] = i
	}
	slices.SortFunc(t.sorted, func(a, b int) int { return cmp.Compare(t.list[a].at, t.list[b].at) })
	for _, i := range t.sorted {
		b := &t.list[i]
		if b.kind == loaded {
			t.loads = append(t.loads, i)
		}
		if b.call {
			t.byCall[b.chain] = append(t.byCall[b.chain], i)
		}
		for k := range len(b.name) {
			if k == 0 || b.name[k-1] == '_' {
				list := t.byInitial[lower(b.name[k])]
				if len(list) == 0 || list[len(list)-1] != i {
					t.byInitial[lower(b.name[k])] = append(list, i)
				}
			}
		}
	}
}

func lower(b byte) byte {
	if 'A' <= b && b <= 'Z' {
		return b + 'a' - 'A'
	}
	return b
}

// maxNear bounds the names that are looked at of a file with very many.
const maxNear = 250

// candidates gives the names that the typed text does not rule out, those bound nearest to a place of
// the file first: of very many only near ones, with those that a load binds and those that the built-ins
// giving the kind made.
func (t *nameTable) candidates(at int, typed, kind string) []int {
	if len(t.list) <= maxNear || t.sorted == nil {
		var found []int
		for i := range t.list {
			if matches(t.list[i].name, typed) {
				found = append(found, i)
			}
		}
		return found
	}
	all := t.sorted
	if typed != "" && typed[0] < 0x80 {
		all = t.byInitial[lower(typed[0])]
	}
	found := t.choose(nil, t.near(all, at), typed)
	found = t.choose(found, t.loads, typed)
	for _, b := range builtinsGiving(kind) {
		found = t.choose(found, t.near(t.byCall[b], at), typed)
	}
	return found
}

// choose adds those of a list that the typed text does not rule out.
func (t *nameTable) choose(found, list []int, typed string) []int {
	for _, i := range list {
		if matches(t.list[i].name, typed) && !slices.Contains(found, i) {
			found = append(found, i)
		}
	}
	return found
}

// near gives the names of a list, which is in the order of places, that stand nearest to a place.
func (t *nameTable) near(list []int, at int) []int {
	if len(list) <= maxNear {
		return list
	}
	after, _ := slices.BinarySearchFunc(list, at, func(i, at int) int { return cmp.Compare(t.list[i].at, at) })
	before := after - 1
	found := make([]int, 0, maxNear)
	for len(found) < maxNear {
		switch {
		case before < 0:
			found = append(found, list[after])
			after++
		case after >= len(list) || at-t.list[list[before]].at <= t.list[list[after]].at-at:
			found = append(found, list[before])
			before--
		default:
			found = append(found, list[after])
			after++
		}
	}
	return found
}
