// Package eval runs a plan and builds the declared farm from it. In go an fs.FS and the name of the plan's
// first file; out come a farm.Farm, findings, the files read and what the plan printed.
//
// It never reads the clock, the environment or the operating system's files, and never stops at the
// first fault: a bad argument becomes a finding and a poison value that keeps later faults quiet, a
// failing statement is dropped and the rest of its file is run again from there.
//
// The way through the package: registry.go lists the built-in functions; prepare.go makes a parsed file ready
// to run (and finds what can be seen without running); module.go runs files and load.go their loads; bind.go
// checks the arguments of one call against the registry; declare_*.go turn checked arguments into lang/farm;
// slips.go, unknown.go, load_meant.go, meant.go and words.go find what a name, an argument or a failing
// statement was meant to be, and say so; guard.go keeps a plan inside its limits, with method.go and size.go,
// which count what Starlark's own operations make and look through. trace.go notes the calls for those who write a
// plan anew.
package eval

import (
	"context"
	"io/fs"

	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/lang/source"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"

	"go.starlark.net/starlark"
)

// LogLine is one line that the plan printed, with the call that printed it.
type LogLine struct {
	Span source.Span
	Text string
}

// Result of running a plan.
type Result struct {
	Farm     *farm.Farm
	Files    []*source.File // in the order they were reached, the entry first
	Accepts  []syntax.Accept
	Findings []diag.Diagnostic
	Log      []LogLine
	Trouble  error // set when the entry could not be read at all
}

// Run evaluates the plan that starts at entry, a slash-separated path in fsys. It returns when the plan
// ends, a limit is reached or ctx is done.
func Run(ctx context.Context, fsys fs.FS, entry string) *Result {
	return run(ctx, fsys, entry, &years{read: map[string]*Result{}, run: run})
}

// Trace is Run that also notes every call of a built-in as it was understood, in the order of the calls; those of
// the earlier plans that the plan looks back to too.
func Trace(ctx context.Context, fsys fs.FS, entry string) (*Result, []Call) {
	var calls []Call
	result := run(ctx, fsys, entry, &years{read: map[string]*Result{}, run: run, trace: &calls})
	return result, calls
}

// run evaluates one plan of a chain of years.
func run(ctx context.Context, fsys fs.FS, entry string, y *years) *Result {
	ev := newEvaluator(ctx, fsys)
	ev.years = y
	y.reading = append(y.reading, entry)
	defer func() { y.reading = y.reading[:len(y.reading)-1] }()
	if ctx.Err() != nil {
		ev.stop(errTime)
	}
	defer context.AfterFunc(ctx, func() { ev.thread.Cancel(errTime.Error()) })()
	ev.runEntry(entry)
	ev.finish()
	return ev.result
}

// evaluator holds what one run shares.
type evaluator struct {
	ctx     context.Context
	fsys    fs.FS
	result  *Result
	farm    *farm.Farm
	units   quantity.System
	thread  *starlark.Thread
	names   starlark.StringDict // what every plan file sees besides the Starlark universe
	modules map[string]*module
	loading []string            // paths of the files being loaded, outermost first
	crops   starlark.StringDict // handles of the table's crops, made when first loaded
	rows    map[*farm.Plot]int  // declared so far
	years   *years
	pending []*fault // faults in arithmetic, reported where they reach an argument or at the end
	budget  budget
	guesses int // names that unknown ones were set beside
	order   int
	farms   int
	noFarm  bool // a call of farm was refused: that finding says why there is none
	variety *Builtin
	call    call    // reused by every call of a built-in
	last    *module // the module of the last call, which is usually that of the next
}

func newEvaluator(ctx context.Context, fsys fs.FS) *evaluator {
	ev := &evaluator{
		ctx:     ctx,
		fsys:    fsys,
		farm:    &farm.Farm{},
		modules: map[string]*module{},
		rows:    map[*farm.Plot]int{},
	}
	ev.result = &Result{Farm: ev.farm}
	ev.thread = &starlark.Thread{
		Name:  "plan",
		Load:  ev.load,
		Print: ev.print,
	}
	ev.budget.arm(ev)
	ev.variety = varietyBuiltin()
	ev.names = ev.predeclared()
	return ev
}

// finish reports what only shows at the end.
func (ev *evaluator) finish() {
	ev.reportFaults()
	if ev.farms == 0 {
		ev.reportNoFarm()
	}
	if !ev.farm.Turning.Given {
		ev.farm.Turning = ev.farm.Access
	}
}

func (ev *evaluator) report(f *found) {
	ev.result.Findings = append(ev.result.Findings, f.Diagnostic)
}

func (ev *evaluator) print(t *starlark.Thread, msg string) {
	span, _, _ := ev.callSite()
	ev.result.Log = append(ev.result.Log, LogLine{Span: span, Text: msg})
}
