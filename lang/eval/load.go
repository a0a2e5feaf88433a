package eval

import (
	"errors"
	"path"
	"strconv"
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/stdlib/star"

	"go.starlark.net/starlark"
	starsyntax "go.starlark.net/syntax"
)

// load serves the load statement. It never fails: what cannot be had is poison, with a finding.
func (ev *evaluator) load(t *starlark.Thread, name string) (starlark.StringDict, error) {
	from := ev.modules[ev.loading[len(ev.loading)-1]]
	stmt := from.ready.loadAt(t.CallFrame(0).Pos.Line, name)
	span := from.ready.span(stmt.Module)
	dict, problem := ev.loaded(from, name)
	if problem != nil {
		problem.Primary.Span = span
		if meant := moduleMeant(name, stmt); problem.Rule == loadNotFound && meant != "" {
			text := strconv.Quote(meant)
			problem.help("did you mean %s?", text).fix(false, "Write "+text, diag.Edit{Span: span, Text: text})
		}
		ev.report(problem)
		return allPoison(stmt), nil
	}
	return ev.pick(from, stmt, name, dict), nil
}

// loaded gives the names that a module offers.
func (ev *evaluator) loaded(from *module, name string) (starlark.StringDict, *found) {
	if strings.ContainsAny(name, "./") {
		return ev.loadFile(from, name)
	}
	if name == cropModule {
		return ev.cropNames(), nil
	}
	if text, ok := star.Module(name); ok {
		key := libraryMark + name
		m := ev.modules[key]
		if m == nil {
			m = &module{path: key, file: source.New(key, text)}
			ev.modules[key] = m
			ev.run(m)
		}
		return m.globals, nil
	}
	return nil, finding(loadNotFound, source.Span{}, "there is no module called %q", name).
		help("modules to load are %s; a file of your own is loaded by its path: load(\"./%s.star\", ...)",
			quoteList(append([]string{cropModule}, star.Names()...), "and"), name)
}

// libraryMark begins the paths of what every plan can load, "haulm:dates": no file has them.
const libraryMark = "haulm:"

// IsLibrary tells the path of a module of the standard library from that of a file.
func IsLibrary(path string) bool { return strings.HasPrefix(path, libraryMark) }

// beside gives the path in the plan of a file named in another, "" when it leads out of the plan.
func beside(from *module, name string) string {
	target := path.Join(path.Dir(from.path), name)
	if path.IsAbs(name) || target == ".." || strings.HasPrefix(target, "../") {
		return ""
	}
	return target
}

func leadsOut(name string) *found {
	return finding(loadOutside, source.Span{}, "%s leads out of the plan's folder", name).
		help("keep both in one git work tree, or name the folder that holds both with --root")
}

// readBeside reads a file named in a module.
func (ev *evaluator) readBeside(from *module, name string) (string, *found) {
	target := beside(from, name)
	if target == "" {
		return "", leadsOut(name)
	}
	return ev.readAt(from, target)
}

// readAt reads a file of the plan that a module names.
func (ev *evaluator) readAt(from *module, target string) (string, *found) {
	text, err := ev.read(target)
	if errors.Is(err, errOutside) {
		return "", finding(loadOutside, source.Span{}, "%s leads out of the plan's folder through a link", target).
			help("put a copy of the file below the plan's folder, or name the folder that holds both with --root")
	}
	if err != nil {
		return "", finding(loadNotFound, source.Span{}, "cannot load %s: %s", target, err).
			help("paths are relative to the file that names them: %s", from.path)
	}
	return text, nil
}

func (ev *evaluator) loadFile(from *module, name string) (starlark.StringDict, *found) {
	target := beside(from, name)
	if target == "" {
		return nil, leadsOut(name)
	}
	if m := ev.modules[target]; m != nil {
		if m.loading {
			return nil, finding(loadCycle, source.Span{}, "%s loads itself: %s", target, ev.cycle(target)).
				help("move what both need into a third file")
		}
		return m.globals, nil
	}
	if len(ev.loading) >= maxLoadDepth {
		return nil, finding(loadTooDeep, source.Span{}, "files load one another more than %d deep", maxLoadDepth).
			help("load the files you need from farm.star itself")
	}
	text, problem := ev.readBeside(from, name)
	if problem != nil {
		return nil, problem
	}
	m := ev.open(target, text)
	ev.run(m)
	return m.globals, nil
}

func (ev *evaluator) cycle(target string) string {
	for i, p := range ev.loading {
		if p == target {
			return strings.Join(append(append([]string{}, ev.loading[i:]...), target), " loads ")
		}
	}
	return target
}

// pick gives a load statement what it asks for; a name the module does not offer is poison, with a finding.
func (ev *evaluator) pick(from *module, stmt *starsyntax.LoadStmt, name string, dict starlark.StringDict) starlark.StringDict {
	out := dict
	for i, id := range stmt.From {
		if dict.Has(id.Name) {
			continue
		}
		if len(out) == len(dict) {
			out = make(starlark.StringDict, len(dict)+1)
			for k, v := range dict {
				out[k] = v
			}
		}
		out[id.Name] = poison{}
		ev.report(ev.noneToLoad(from.ready, stmt, i, name, dict))
	}
	return out
}

func allPoison(stmt *starsyntax.LoadStmt) starlark.StringDict {
	out := starlark.StringDict{}
	for _, id := range stmt.From {
		out[id.Name] = poison{}
	}
	return out
}
