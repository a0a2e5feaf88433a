package eval

import (
	"strings"
	"sync"

	"go.starlark.net/starlark"
)

// cheapMethods are those that look at none of what their value holds.
var cheapMethods = map[string]bool{
	"add": true, "append": true, "clear": true, "discard": true, "get": true, "popitem": true, "setdefault": true,
}

// askingMethods are those of texts that give no text back, besides those whose names begin with "is".
var askingMethods = map[string]bool{
	"count": true, "endswith": true, "find": true, "index": true, "rfind": true, "rindex": true, "startswith": true,
}

// isMethodName tells whether a name may be that of a method of Starlark's own whose work grows with its
// value.
func isMethodName(name string) bool { return methodNames()[name] && !cheapMethods[name] }

var methodNames = sync.OnceValue(func() map[string]bool {
	names := map[string]bool{}
	for _, v := range []starlark.HasAttrs{
		starlark.String(""), starlark.Bytes(""), &starlark.List{}, &starlark.Dict{}, &starlark.Set{},
	} {
		for _, name := range v.AttrNames() {
			names[name] = true
		}
	}
	return names
})

// method stands around the methods of texts, lists, dicts and sets: it charges for what a call of them
// will look through and make.
func (ev *evaluator) method(args starlark.Tuple) (starlark.Value, error) {
	bound, ok := args[0].(*starlark.Builtin)
	if !ok {
		return args[0], nil
	}
	var of starlark.Value
	switch receiver := bound.Receiver().(type) {
	case starlark.String, starlark.Bytes, *starlark.List, *starlark.Dict, *starlark.Set:
		of = receiver
	default:
		return args[0], nil
	}
	return starlark.NewBuiltin(bound.Name(),
		func(t *starlark.Thread, _ *starlark.Builtin, args starlark.Tuple, kwargs []starlark.Tuple) (starlark.Value, error) {
			if err := ev.chargeMethod(bound.Name(), of, args, kwargs); err != nil {
				return nil, err
			}
			return starlark.Call(t, bound, args, kwargs)
		}), nil
}

// chargeMethod counts what a call of a method will look through and make.
func (ev *evaluator) chargeMethod(name string, of starlark.Value, args starlark.Tuple, kwargs []starlark.Tuple) error {
	looked := lookedThrough(of)
	for _, a := range args {
		looked += lookedThrough(a)
	}
	if err := ev.walk(looked); err != nil {
		return err
	}
	return ev.charge(made(name, of, args, kwargs), args...)
}

// made is the cells that a call of a method makes.
func made(name string, of starlark.Value, args starlark.Tuple, kwargs []starlark.Tuple) int {
	text, isText := of.(starlark.String)
	switch {
	case !isText:
		n := 1
		for _, a := range args {
			n += shallow(a)
		}
		switch name {
		case "insert", "pop", "remove", "index":
			return n
		case "items":
			return n + 4*shallow(of) // a pair for each
		}
		return n + shallow(of)
	case strings.HasPrefix(name, "is") || askingMethods[name]:
		return 1
	case name == "join" && len(args) == 1:
		return (printed(args[0]) + product(len(text), shallow(args[0]))) / 16
	case name == "replace" || name == "format" || name == "join":
		bytes := len(text)
		for _, a := range args {
			n := printed(a)
			bytes += n + product(n, len(text)+1)
		}
		for _, kv := range kwargs {
			bytes += product(printed(kv[1]), len(text)+1)
		}
		return bytes / 16
	case strings.HasSuffix(name, "split") || name == "splitlines":
		return len(text) // as many parts as characters, at worst
	}
	return shallow(text)
}
