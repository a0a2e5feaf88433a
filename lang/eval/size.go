package eval

import (
	"slices"

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

// lookedThrough is what a function that looks at all of a value goes through, as maxWalked counts it.
func lookedThrough(v starlark.Value) int {
	switch v := v.(type) {
	case starlark.String:
		return len(v)/2 + 1
	case starlark.Bytes:
		return len(v)/2 + 1
	}
	return shallow(v)
}

// sizeOf counts the values, and stretches of text, that a deep comparison may visit.
func sizeOf(v starlark.Value) int {
	return measureDeep(v, maxVisited, 0, func(v starlark.Value) int {
		if text, ok := v.(starlark.String); ok {
			return len(text)/64 + 1 // compared many bytes at a time
		}
		return 1
	})
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

// isEndless tells whether a value holds itself, or lists inside lists deeper than can be walked.
func isEndless(v starlark.Value) bool { return endless(v, map[starlark.Value]bool{}, 0) }

// endless goes down a value; seen has the lists and dicts above (true) and those found sound (false).
func endless(v starlark.Value, seen map[starlark.Value]bool, depth int) bool {
	var inside []starlark.Value
	switch v := v.(type) {
	case *starlark.List:
		for i := range v.Len() {
			inside = append(inside, v.Index(i))
		}
	case *starlark.Dict:
		for _, kv := range v.Items() {
			inside = append(inside, kv[1])
		}
	case starlark.Tuple:
		return depth > maxNesting || slices.ContainsFunc(v, func(x starlark.Value) bool { return endless(x, seen, depth+1) })
	default:
		return false
	}
	if above, known := seen[v]; known {
		return above
	}
	seen[v] = true
	if depth > maxNesting || slices.ContainsFunc(inside, func(x starlark.Value) bool { return endless(x, seen, depth+1) }) {
		return true
	}
	seen[v] = false
	return false
}

// guardedUniverse are Starlark's own functions that make, or look through, far more than a step's worth.
// Each is charged before it runs.
func (ev *evaluator) guardedUniverse() starlark.StringDict {
	out := starlark.StringDict{}
	guard := func(charge func(starlark.Tuple, []starlark.Tuple) error, names ...string) {
		for _, name := range names {
			inner := starlark.Universe[name].(*starlark.Builtin)
			out[name] = starlark.NewBuiltin(name,
				func(t *starlark.Thread, _ *starlark.Builtin, args starlark.Tuple, kwargs []starlark.Tuple) (starlark.Value, error) {
					if err := charge(args, kwargs); err != nil {
						return nil, err
					}
					return starlark.Call(t, inner, args, kwargs)
				})
		}
	}
	guard(func(args starlark.Tuple, kwargs []starlark.Tuple) error {
		made := len(kwargs)
		for _, a := range args {
			made += 2 * shallow(a)
		}
		return ev.charge(made)
	}, "list", "tuple", "set", "sorted", "reversed", "enumerate", "zip", "dict")
	guard(func(args starlark.Tuple, _ []starlark.Tuple) error {
		made := 0
		for _, a := range args {
			made += printed(a)
		}
		return ev.charge(made/16, args...)
	}, "str", "repr", "print", "fail")
	guard(func(args starlark.Tuple, _ []starlark.Tuple) error {
		looked := 0
		for _, a := range args {
			looked += product(lookedThrough(a), 4) // each is compared, with a key perhaps
		}
		return ev.walk(looked)
	}, "all", "any", "max", "min", "hash")
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
