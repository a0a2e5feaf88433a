package eval

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"haulm/lang/source"

	"go.starlark.net/starlark"
	"go.starlark.net/syntax"
)

// Limits of one run. They are counted, not measured, so that one text always ends in one place.
const (
	maxSteps     = 20_000_000  // Starlark's own steps
	maxCells     = 64_000_000  // values and stretches of 16 bytes ever made
	maxWalked    = 200_000_000 // values and pairs of bytes looked through inside Starlark's own functions
	maxLoadDepth = 50
	maxIntBits   = 1 << 16
	tick         = 50_000 // steps between looks at the limits

	cellsPerDeclaration = 64
)

// budget counts what a run has used. Once spent is set the whole run ends.
type budget struct {
	cells  int
	walked int
	next   uint64
	spent  error
}

var (
	errSteps  = errors.New("steps")
	errWalked = errors.New("looking")
	errCells  = errors.New("memory")
	errTime   = errors.New("time")

	errEndless = fmt.Errorf("a list or dict here holds itself, or lists inside lists more than %d deep", maxNesting)
)

func (b *budget) arm(ev *evaluator) {
	b.next = tick
	ev.thread.SetMaxExecutionSteps(b.next)
	ev.thread.OnMaxSteps = func(t *starlark.Thread) {
		if t.ExecutionSteps() >= maxSteps {
			ev.stop(errSteps)
			return
		}
		b.next += tick
		t.SetMaxExecutionSteps(b.next)
	}
}

// stop ends the run at the next step.
func (ev *evaluator) stop(why error) {
	if ev.budget.spent == nil {
		ev.budget.spent = why
	}
	ev.thread.Cancel(why.Error())
}

// charge counts cells about to be made of some values; an error means that they must not be. A value that
// has no end only fails its statement.
func (ev *evaluator) charge(cells int, of ...starlark.Value) error {
	if cells < 0 || cells > maxCells-ev.budget.cells {
		if slices.ContainsFunc(of, isEndless) {
			return errEndless
		}
		ev.stop(errCells)
		return errCells
	}
	ev.budget.cells += cells
	return nil
}

// walk counts what a function of Starlark's own, a single step there, is about to look through; an error
// means that it must not.
func (ev *evaluator) walk(n int) error {
	if n < 0 || n > maxWalked-ev.budget.walked {
		ev.stop(errWalked)
		return errWalked
	}
	ev.budget.walked += n
	return nil
}

// isSpent tells whether the run is over before its end. The context ends it from outside.
func (ev *evaluator) isSpent() bool {
	if ev.budget.spent == nil && ev.ctx.Err() != nil {
		ev.budget.spent = errTime
	}
	return ev.budget.spent != nil
}

// overspent describes the limit that ended the run.
func (ev *evaluator) overspent(at source.Span) {
	switch ev.budget.spent {
	case errSteps:
		ev.report(finding(outOfSteps, at, "the plan did not end within %d million steps", maxSteps/1_000_000).
			help("a loop here runs too often; a farm of 100,000 rows needs about 2 million"))
	case errWalked:
		ev.report(finding(outOfSteps, at, "the plan looks through more than %d million values of its lists and texts", maxWalked/1_000_000).
			help("a loop here goes through a long list or text again and again"))
	case errCells:
		ev.report(finding(outOfMemory, at, "the plan makes more than a gigabyte of values").
			help("a text or list here grows out of hand"))
	case errTime:
		ev.report(finding(outOfTime, at, "the plan was stopped before it ended: its time ran out"))
	}
}

// operators are the calls that prepare puts in place of Starlark's own.
func (ev *evaluator) operators() starlark.StringDict {
	out := starlark.StringDict{opNothing: poison{}}
	for name, fn := range map[string]func(args starlark.Tuple) (starlark.Value, error){
		opCompare: ev.compare, opGrow: ev.grow, opRepeat: ev.repeat, opMethod: ev.method, opCopied: ev.copied,
	} {
		out[name] = starlark.NewBuiltin(name,
			func(_ *starlark.Thread, _ *starlark.Builtin, args starlark.Tuple, _ []starlark.Tuple) (starlark.Value, error) {
				return fn(args)
			})
	}
	return out
}

var tokens = map[string]syntax.Token{
	"==": syntax.EQL, "!=": syntax.NEQ, "<": syntax.LT, "<=": syntax.LE, ">": syntax.GT, ">=": syntax.GE,
	"in": syntax.IN, "not in": syntax.NOT_IN, "+": syntax.PLUS, "*": syntax.STAR, "%": syntax.PERCENT,
}

// compare serves the comparison operators: Starlark would silently say that 3 ft and 3 differ.
func (ev *evaluator) compare(args starlark.Tuple) (starlark.Value, error) {
	x, y, op := args[0], args[1], tokens[string(args[2].(starlark.String))]
	if err := ev.charge((sizeOf(x)+sizeOf(y))/8, x, y); err != nil {
		return nil, err
	}
	if op == syntax.IN || op == syntax.NOT_IN {
		return starlark.Binary(op, x, y)
	}
	if isPoison(x) || isPoison(y) {
		return starlark.Bool(op == syntax.NEQ), nil
	}
	x, y = asDates(x, y)
	if l, r, ok := unlike(x, y); ok {
		span, _, _ := ev.callSite()
		ev.report(finding(comparesQuantityWithNumber, span, "%s is compared with %s: they are never equal, nor more or less", l, r).
			help("give both a unit, or divide by a unit first: (x / ft) is a number"))
		return starlark.Bool(op == syntax.NEQ), nil
	}
	ok, err := starlark.Compare(op, x, y)
	return starlark.Bool(ok), err
}

// asDates reads an ISO text that is compared with a date.
func asDates(x, y starlark.Value) (starlark.Value, starlark.Value) {
	if d, ok := x.(dateValue); ok {
		if e, ok := dateOf(y, d.ev); ok {
			return d, e
		}
	}
	if e, ok := y.(dateValue); ok {
		if d, ok := dateOf(x, e.ev); ok {
			return d, e
		}
	}
	return x, y
}

// unlike tells when exactly one side is a quantity and the other a number, or their dimensions differ.
func unlike(x, y starlark.Value) (string, string, bool) {
	q, isQ := x.(quantityValue)
	r, isR := y.(quantityValue)
	switch {
	case isQ && isR:
		return q.Dim.Noun(), r.Dim.Noun(), q.Dim != r.Dim
	case isQ && isNumber(y):
		return q.Dim.Noun(), "the bare number " + y.String(), true
	case isR && isNumber(x):
		return "the bare number " + x.String(), r.Dim.Noun(), true
	}
	return "", "", false
}

func isNumber(v starlark.Value) bool {
	switch v.(type) {
	case starlark.Int, starlark.Float:
		return true
	}
	return false
}

func isPoison(v starlark.Value) bool {
	_, ok := v.(poison)
	return ok
}

// grow serves + between values that might be texts or lists, and checks before x += y.
func (ev *evaluator) grow(args starlark.Tuple) (starlark.Value, error) {
	x, y, op := args[0], args[1], string(args[2].(starlark.String))
	made := shallow(y)
	if _, inPlace := x.(*starlark.List); !inPlace || op == "+" {
		made += shallow(x)
	}
	if err := ev.charge(made); err != nil {
		return nil, err
	}
	if op == "+=" {
		return y, nil
	}
	return starlark.Binary(syntax.PLUS, x, y)
}

// repeat serves * and % between values that might be texts, lists or long numbers, and checks before
// x *= y and x %= y.
func (ev *evaluator) repeat(args starlark.Tuple) (starlark.Value, error) {
	x, y, op := args[0], args[1], string(args[2].(starlark.String))
	made := 1
	switch {
	case op[0] == '%':
		if text, ok := x.(starlark.String); ok {
			made = (len(text) + printed(y)*(1+countVerbs(string(text)))) / 16
		}
	case isNumber(x) && isNumber(y):
		a, aIsInt := x.(starlark.Int)
		b, bIsInt := y.(starlark.Int)
		if aIsInt && bIsInt && bits(a)+bits(b) > maxIntBits {
			return nil, fmt.Errorf("the product has more than %d binary digits", maxIntBits)
		}
	default:
		made = product(shallow(x), countOf(y))
		if n := product(shallow(y), countOf(x)); n > made {
			made = n
		}
	}
	if err := ev.charge(made, y); err != nil {
		return nil, err
	}
	switch op {
	case "*":
		return starlark.Binary(syntax.STAR, x, y)
	case "%":
		return starlark.Binary(syntax.PERCENT, x, y)
	}
	return y, nil
}

func countVerbs(format string) int {
	n := 0
	for _, r := range format {
		if r == '%' {
			n++
		}
	}
	return n
}

func bits(i starlark.Int) int { return i.BigInt().BitLen() }

// countOf is how often y would repeat a sequence.
func countOf(y starlark.Value) int {
	i, ok := y.(starlark.Int)
	if !ok {
		return 0
	}
	n, ok := i.Int64()
	if !ok || n > math.MaxInt32 {
		return math.MaxInt32
	}
	return max(int(n), 0)
}

// product multiplies two sizes; beyond what could ever be charged it stays there.
func product(a, b int) int {
	if a != 0 && b > beyond/a {
		return beyond
	}
	return a * b
}

// copied serves what is about to be sliced: a part of a list is a copy.
func (ev *evaluator) copied(args starlark.Tuple) (starlark.Value, error) {
	if _, isText := args[0].(starlark.String); isText {
		return args[0], nil
	}
	return args[0], ev.charge(shallow(args[0]))
}
