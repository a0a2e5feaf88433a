package eval

import (
	"go.starlark.net/starlark"
)

// shallow is the cells that a copy of a value's own storage takes.
func shallow(v starlark.Value) int {
	switch v := v.(type) {
	case starlark.String:
		return len(v)/16 + 1
	case starlark.Bytes:
		return len(v)/16 + 1
	case starlark.Sequence:
		return v.Len() + 1
	}
	return 1
}

// sizeOf counts the values that a deep comparison may visit.
func sizeOf(v starlark.Value) int {
	return measureDeep(v, maxVisited, 0, func(starlark.Value) int { return 1 })
}

// printed is the length of a value's text: a small value can hold a large one many times.
func printed(v starlark.Value) int {
	return measureDeep(v, maxText, 0, func(v starlark.Value) int {
		switch v := v.(type) {
		case starlark.String:
			return len(v) + 2
		case starlark.Bytes:
			return 4*len(v) + 3
		case starlark.Int:
			return bits(v)/3 + 2
		}
		return 24
	})
}

const (
	maxVisited = 4_000_000 // values that one comparison may visit
	maxText    = 64 << 20  // bytes of one value's text
	beyond     = 1 << 50   // what a size counts as when it is out of bounds
)

// maxNesting is the depth of lists in lists beyond which a value counts as out of bounds: what walks it
// (printing, comparing) would need a stack as deep.
const maxNesting = 200

// measureDeep sums a weight over a value and all that it holds; at the limit it stops and gives beyond.
func measureDeep(v starlark.Value, limit, depth int, weight func(starlark.Value) int) int {
	if depth > maxNesting {
		return beyond
	}
	sum := weight(v)
	add := func(x starlark.Value) bool {
		if sum < limit {
			sum += measureDeep(x, limit-sum, depth+1, weight)
		}
		return sum < limit
	}
	switch v := v.(type) {
	case *starlark.List:
		for i := 0; i < v.Len() && add(v.Index(i)); i++ {
		}
	case starlark.Tuple:
		for i := 0; i < v.Len() && add(v.Index(i)); i++ {
		}
	case *starlark.Dict:
		for _, kv := range v.Items() {
			if !add(kv[0]) || !add(kv[1]) {
				break
			}
		}
	}
	if sum >= limit {
		return beyond
	}
	return sum
}

// guardedUniverse are Starlark's own functions whose results can be far larger than their arguments, each
// charged before it runs.
func (ev *evaluator) guardedUniverse() starlark.StringDict {
	out := starlark.StringDict{}
	for _, name := range []string{"list", "tuple", "set", "sorted", "reversed", "enumerate", "zip", "dict"} {
		out[name] = ev.guarded(name, func(args starlark.Tuple, kwargs []starlark.Tuple) int {
			made := len(kwargs)
			for _, a := range args {
				made += 2 * shallow(a)
			}
			return made
		})
	}
	for _, name := range []string{"str", "repr", "print", "fail"} {
		out[name] = ev.guarded(name, func(args starlark.Tuple, _ []starlark.Tuple) int {
			made := 0
			for _, a := range args {
				made += printed(a)
			}
			return made / 16
		})
	}
	out["getattr"] = starlark.NewBuiltin("getattr",
		func(t *starlark.Thread, _ *starlark.Builtin, args starlark.Tuple, kwargs []starlark.Tuple) (starlark.Value, error) {
			v, err := starlark.Call(t, starlark.Universe["getattr"], args, kwargs)
			if err != nil {
				return nil, err
			}
			return ev.method(starlark.Tuple{v})
		})
	return out
}

func (ev *evaluator) guarded(name string, cost func(starlark.Tuple, []starlark.Tuple) int) starlark.Value {
	inner := starlark.Universe[name].(*starlark.Builtin)
	return starlark.NewBuiltin(name,
		func(t *starlark.Thread, _ *starlark.Builtin, args starlark.Tuple, kwargs []starlark.Tuple) (starlark.Value, error) {
			if !ev.charge(cost(args, kwargs)) {
				return nil, errCells
			}
			return starlark.Call(t, inner, args, kwargs)
		})
}
