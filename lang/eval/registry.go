package eval

import (
	"slices"
	"sync"

	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/star"

	"go.starlark.net/starlark"
)

// Builtins lists every function a plan can call without loading it, and the crops' variety method last,
// in the order of the reference.
func Builtins() []*Builtin { return registry().list }

type builtins struct {
	list    []*Builtin
	names   map[string]*Builtin
	variety *Builtin
}

var registry = sync.OnceValue(func() *builtins {
	r := &builtins{names: map[string]*Builtin{}}
	r.list = slices.Concat(farmBuiltins(), groundBuiltins(), pastBuiltins(), plantingBuiltins(), nurseryBuiltins(),
		supportBuiltins(), protectionBuiltins(), feedingBuiltins(), stockBuiltins(), laborBuiltins(), recordBuiltins(), waterBuiltins(), valueBuiltins())
	for _, b := range r.list {
		r.names[b.Name] = b
	}
	r.variety = varietyBuiltin()
	r.list = append(r.list, r.variety)
	return r
})

func isBuiltin(name string) bool { return registry().names[name] != nil }

// predeclared is what every file of a plan sees besides Starlark's own names.
func (ev *evaluator) predeclared() starlark.StringDict {
	names := ev.operators()
	for name, v := range ev.guardedUniverse() {
		names[name] = v
	}
	for _, u := range quantity.Units() {
		names[u.Name] = quantityValue{u.Of(1), ev}
	}
	for name, b := range registry().names {
		names[name] = ev.wrap(b, nil)
	}
	return names
}

const cropModule = "crops"

// Module is a set of names that a plan can load.
type Module struct {
	Name  string
	Names []string // sorted
}

// Modules lists the modules of the standard library with what they offer.
func Modules() []Module {
	list := []Module{{Name: cropModule, Names: cropIdents()}}
	for _, name := range star.Names() {
		list = append(list, Module{Name: name, Names: star.Offers(name)})
	}
	return list
}

func cropIdents() []string {
	var names []string
	for _, c := range crops.All() {
		names = append(names, c.Ident)
	}
	slices.Sort(names)
	return names
}

// moduleOffering finds the module of the standard library that has a name to load.
func moduleOffering(name string) (string, bool) {
	for _, m := range Modules() {
		if slices.Contains(m.Names, name) {
			return m.Name, true
		}
	}
	return "", false
}
