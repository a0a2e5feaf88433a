package eval

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"haulm/lang/source"
	"haulm/lang/syntax"

	"go.starlark.net/resolve"
	"go.starlark.net/starlark"
	starsyntax "go.starlark.net/syntax"
)

// module is one file of the plan, or a module of the standard library.
type module struct {
	path    string
	file    *source.File
	ready   *prepared
	globals starlark.StringDict
	loading bool
}

// Bounds of going on after a failing statement: how often one file does, and the bytes that are read again
// for it.
const (
	maxRestarts = 100
	maxReread   = 32 << 20
)

func (ev *evaluator) runEntry(entry string) {
	text, err := ev.read(entry)
	if err != nil {
		ev.result.Trouble = fmt.Errorf("%s: %w", entry, err)
		return
	}
	m := ev.open(entry, text)
	ev.run(m)
}

// read gives the text of a file of the plan, or an error of a few words.
func (ev *evaluator) read(name string) (string, error) {
	// A pipe may never open, so it is asked for first where that can be done.
	if stat, ok := ev.fsys.(fs.StatFS); ok {
		if info, err := stat.Stat(name); err == nil && !info.IsDir() && !info.Mode().IsRegular() {
			return "", errors.New("this is no ordinary file")
		}
	}
	f, err := ev.fsys.Open(name)
	if err != nil {
		return "", plainError(err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return "", plainError(err)
	}
	if info.IsDir() {
		return "", errors.New("this is a folder, not a file")
	}
	var text strings.Builder
	text.Grow(int(min(info.Size(), syntax.MaxFileSize) + 1))
	if _, err := io.Copy(&text, io.LimitReader(f, syntax.MaxFileSize+1)); err != nil {
		return "", plainError(err)
	}
	return text.String(), nil
}

func plainError(err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return errors.New("there is no such file")
	case errors.Is(err, fs.ErrPermission):
		return errors.New("the file may not be read")
	case errors.Is(err, fs.ErrInvalid):
		return errors.New("that is not a path inside the plan's folder")
	case strings.Contains(err.Error(), "escapes"):
		return errOutside
	}
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	return err
}

var errOutside = errors.New("it leads out of the plan's folder")

// open registers a module for a text that has been read.
func (ev *evaluator) open(name, text string) *module {
	m := &module{path: name, file: source.New(name, text)}
	ev.modules[name] = m
	ev.result.Files = append(ev.result.Files, m.file)
	return m
}

// run executes a module to its end, past whatever fails.
func (ev *evaluator) run(m *module) {
	m.loading = true
	ev.loading = append(ev.loading, m.path)
	defer func() {
		m.loading = false
		ev.loading = ev.loading[:len(ev.loading)-1]
	}()
	m.ready = prepare(m.file)
	if m.ready.metric && ev.farms == 0 {
		ev.units = metricUnits
	}
	ev.result.Findings = append(ev.result.Findings, m.ready.findings...)
	ev.result.Accepts = append(ev.result.Accepts, m.ready.tree.Accepts...)

	r := &runner{ev: ev, m: m, seeds: starlark.StringDict{}, skip: map[int]bool{}}
	for n := 1; !r.attempt() && !ev.isSpent(); n++ {
		if n == maxRestarts || n*len(m.file.Text) > maxReread {
			r.giveUp(n)
			break
		}
		m.ready = prepare(m.file)
	}
	m.globals = r.seeds
	m.globals.Freeze()
}

// runner carries one module over its restarts.
type runner struct {
	ev    *evaluator
	m     *module
	seeds starlark.StringDict // what earlier attempts bound
	skip  map[int]bool        // statements that cannot be run
	from  int                 // statements before this have been run
}

// attempt compiles and runs what is left; true when nothing is.
func (r *runner) attempt() bool {
	stmts := r.remaining()
	known := r.ev.names
	unknown := map[string]bool{}
	root := &starsyntax.File{Path: r.m.path, Stmts: stmts, Options: syntax.Options()}
	prog, err := starlark.FileProgram(root, func(name string) bool {
		if strings.HasPrefix(name, seedMark) || known.Has(name) {
			return true
		}
		if starlark.Universe.Has(name) {
			return false
		}
		unknown[name] = true
		return true
	})
	if err != nil {
		return r.dropUnresolved(err)
	}
	if len(unknown) > 0 {
		r.ev.reportUnknown(r.m, stmts, unknown)
	}
	globals, err := prog.Init(r.ev.thread, r.environment(unknown))
	for name, v := range globals {
		r.seeds[name] = v
	}
	if err == nil {
		return true
	}
	return r.failed(err)
}

// giveUp says that nothing is run after the last statement that failed.
func (r *runner) giveUp(failed int) {
	if r.from < len(r.m.ready.stmts) {
		r.ev.report(finding(cannotEvaluate, r.m.ready.span(r.m.ready.stmts[r.from]),
			"%d statements before this one failed, so the rest of the file was left out", failed).
			help("mend the first of them and check again"))
	}
}

// remaining lists the statements still to run: after a failure, what was bound before is bound again and
// functions are defined again, so that they see what follows.
func (r *runner) remaining() []starsyntax.Stmt {
	if r.from == 0 && len(r.skip) == 0 {
		return r.m.ready.stmts
	}
	var again, stmts []starsyntax.Stmt
	defined := map[string]bool{}
	for i, s := range r.m.ready.stmts {
		switch s := s.(type) {
		case *starsyntax.DefStmt:
			defined[s.Name.Name] = true
		case *starsyntax.LoadStmt:
			for _, to := range s.To {
				defined[to.Name] = true
			}
		default:
			if i < r.from {
				continue
			}
		}
		if !r.skip[i] {
			stmts = append(stmts, s)
		}
	}
	for _, name := range r.seeds.Keys() {
		if !defined[name] {
			again = append(again, &starsyntax.AssignStmt{
				Op:  starsyntax.EQ,
				LHS: &starsyntax.Ident{NamePos: starsyntax.MakePosition(&r.m.path, 1, 1), Name: name},
				RHS: &starsyntax.Ident{NamePos: starsyntax.MakePosition(&r.m.path, 1, 1), Name: seedMark + " " + name},
			})
		}
	}
	return append(again, stmts...)
}

func (r *runner) environment(unknown map[string]bool) starlark.StringDict {
	if len(unknown) == 0 && len(r.seeds) == 0 {
		return r.ev.names
	}
	env := make(starlark.StringDict, len(r.ev.names)+len(unknown)+len(r.seeds))
	for name, v := range r.ev.names {
		env[name] = v
	}
	for name := range unknown {
		env[name] = poison{}
	}
	for name, v := range r.seeds {
		env[seedMark+" "+name] = v
	}
	return env
}

// dropUnresolved reports what does not hold together before running, and leaves those statements out.
func (r *runner) dropUnresolved(err error) bool {
	list, ok := err.(resolve.ErrorList)
	if !ok {
		list = resolve.ErrorList{{Msg: err.Error()}}
	}
	progress := false
	for _, e := range list {
		text, help := plainWords(e.Msg)
		r.ev.report(finding(cannotEvaluate, r.m.ready.refusedAt(e.Pos), "%s", text).help("%s", help))
		if i := r.m.ready.statementAt(e.Pos.Line); i >= 0 && !r.skip[i] {
			r.skip[i], progress = true, true
			r.poisonNames(i)
		}
	}
	return !progress
}

// failed reports a statement that failed while running and goes on after it; true when there is nothing
// to go on with.
func (r *runner) failed(err error) bool {
	var ee *starlark.EvalError
	if !errors.As(err, &ee) {
		r.ev.report(finding(cannotEvaluate, source.Span{File: r.m.file}, "%s", err))
		return true
	}
	r.ev.reportFailure(ee)
	line := int32(0)
	for _, frame := range ee.CallStack {
		if frame.Name == "<toplevel>" && frame.Pos.Filename() == r.m.path {
			line = frame.Pos.Line
		}
	}
	i := r.m.ready.statementAt(line)
	if i < 0 {
		return true
	}
	r.skip[i] = true
	r.from = i + 1
	r.poisonNames(i)
	return false
}

// poisonNames makes the names that a dropped statement would have bound known, but without a value.
func (r *runner) poisonNames(i int) {
	bound := map[string]bool{}
	(&prepared{file: r.m.file, binds: bound}).stmtNames(r.m.ready.stmts[i])
	for name := range bound {
		if _, ok := r.seeds[name]; !ok {
			r.seeds[name] = poison{}
		}
	}
}
