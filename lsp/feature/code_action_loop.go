package feature

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"haulm/lang/diag"
	"haulm/lang/format"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// maxAround bounds how many lines before and after the place are looked through for calls like the one
// there.
const maxAround = 200

// loop offers to write calls that follow each other and differ in a few values as one call in a loop over
// those values; of a single call that is selected, a loop over the one place of its row.
func (a *actor) loop() {
	f := a.doc.File
	first, last := int(a.in.Start.Line), int(a.in.End.Line)
	if last-first > maxAround {
		return
	}
	l := &looper{actor: a, part: partAt(f, max(first-maxAround, 1), min(last+maxAround, f.Lines()+1))}
	l.list = l.part.statements()
	from, to := l.selected()
	if from < 0 || l.shape(from) == nil {
		return
	}
	isChosen := to > from+1
	for from > 0 && !isChosen && l.follows(from-1) {
		from--
	}
	for to < len(l.list) && !isChosen && l.follows(to-1) {
		to++
	}
	for i := from; i+1 < to; i++ {
		if !l.follows(i) {
			return
		}
	}
	switch {
	case to > from+1:
		l.values(from, to)
		l.offer(from, to, fmt.Sprintf("Turn these %d calls of %s into a loop", to-from, l.shape(from).callee))
	case a.in.Start != a.in.End:
		l.place(from)
		l.offer(from, to, "Turn this call of "+l.shape(from).callee+" into a loop over places")
	}
}

type looper struct {
	actor *actor
	part  *Part
	list  []statement
	slots []slot
}

// slot is a stretch of the first call that a variable takes the place of.
type slot struct {
	start, end int // byte offsets
	name       string
	values     []string // one for each call
}

// shaped is a call as far as it is compared with another.
type shaped struct {
	callee string
	args   []shapedArg
}

type shapedArg struct {
	name       string
	start, end int     // of the value
	call       *shaped // when the value is a call and nothing else
}

// selected gives the statements that the selection touches; -1 for none.
func (l *looper) selected() (from, to int) {
	f := l.actor.doc.File
	start, end := f.Offset(l.actor.in.Start), f.Offset(l.actor.in.End)
	from = -1
	for i := range l.list {
		s := &l.list[i]
		if beginOfLine(f.Text, s.start()) <= end && start <= endOfLine(f.Text, s.end()) {
			if from < 0 {
				from = i
			}
			to = i + 1
		}
	}
	if from >= 0 && to > from+1 && beginOfLine(f.Text, l.list[to-1].start()) == end {
		to-- // the selection ends where the line begins
	}
	return from, to
}

func (l *looper) inText(from, to int) string {
	return l.actor.doc.File.Text[l.list[from].start():l.list[to-1].end()]
}

// shape reads a statement that is one call; nil for any other.
func (l *looper) shape(i int) *shaped {
	code := l.list[i].code
	if l.part.text(code[0]) == "load" {
		return nil
	}
	return l.call(code)
}

// call reads tokens that are one call and nothing else.
func (l *looper) call(code []syntax.Token) *shaped {
	open := slices.IndexFunc(code, func(t syntax.Token) bool { return t.Kind == syntax.Opener })
	if open < 1 || l.part.text(code[open]) != "(" || closingOf(code, open) != len(code)-1 || !isCallee(code, open-1, l.part) {
		return nil
	}
	for i, t := range code[:open] {
		if i%2 == 0 && t.Kind != syntax.Word || i%2 == 1 && l.part.text(t) != "." {
			return nil
		}
	}
	c := &shaped{callee: l.part.File.Text[code[0].Start:code[open-1].End]}
	depth, from := 0, open+1
	for i := open + 1; i < len(code); i++ {
		switch {
		case code[i].Kind == syntax.Opener:
			depth++
		case code[i].Kind == syntax.Closer && i < len(code)-1:
			depth--
		case depth == 0 && (l.part.text(code[i]) == "," || i == len(code)-1):
			if i > from {
				c.args = append(c.args, l.arg(code[from:i]))
			}
			from = i + 1
		}
	}
	return c
}

func (l *looper) arg(code []syntax.Token) shapedArg {
	var a shapedArg
	if len(code) > 2 && code[0].Kind == syntax.Word && l.part.text(code[1]) == "=" {
		a.name = l.part.text(code[0])
		code = code[2:]
	}
	a.start, a.end = code[0].Start, code[len(code)-1].End
	a.call = l.call(code)
	return a
}

// follows tells whether statement i and the one after it are calls of one shape with nothing between them.
func (l *looper) follows(i int) bool {
	if i < 0 || i+1 >= len(l.list) || l.list[i].indent != l.list[i+1].indent {
		return false
	}
	a, b := l.shape(i), l.shape(i+1)
	text := l.part.File.Text
	if a == nil || b == nil || hasComment(l.part, l.list[i].start(), endOfLine(text, l.list[i+1].end())) ||
		strings.Trim(text[l.list[i].end():l.list[i+1].start()], " \t\r\n") != "" {
		return false
	}
	return l.alike(a, b)
}

// alike tells whether two calls could be one in a loop: what differs is given at the same places, and
// declares nothing itself.
func (l *looper) alike(a, b *shaped) bool {
	if a.callee != b.callee || len(a.args) != len(b.args) {
		return false
	}
	text := l.part.File.Text
	for i := range a.args {
		x, y := &a.args[i], &b.args[i]
		vx, vy := text[x.start:x.end], text[y.start:y.end]
		switch {
		case x.name != y.name:
			return false
		case vx == vy:
		case x.call != nil && y.call != nil && x.call.callee == y.call.callee && !isPlainValue(vx):
			if !l.alike(x.call, y.call) {
				return false
			}
		case !isPlainValue(vx) || !isPlainValue(vy):
			return false
		}
	}
	return true
}

// isPlainValue tells whether an argument's text is a value that can be reckoned before the loop as well as
// in it: no call but of date, degf and degc.
func isPlainValue(text string) bool {
	f := source.New("", text)
	tokens := syntax.Tokens(f, 0, len(text))
	for i, t := range tokens {
		word := text[t.Start:t.End]
		next := i+1 < len(tokens) && text[tokens[i+1].Start] == '('
		if word == "lambda" || word == "for" || t.Kind == syntax.Comment ||
			strings.HasPrefix(word, "*") && i == 0 ||
			t.Kind == syntax.Word && next && !isOneOf(word, []string{"date", "degf", "degc", "in", "and", "or", "not"}) {
			return false
		}
	}
	return true
}

// values finds what differs between calls of one shape.
func (l *looper) values(from, to int) {
	shapes := make([]*shaped, 0, to-from)
	for i := from; i < to; i++ {
		shapes = append(shapes, l.shape(i))
	}
	l.differing(shapes)
}

func (l *looper) differing(calls []*shaped) {
	text := l.part.File.Text
	first := calls[0]
	for i, a := range first.args {
		values := make([]string, len(calls))
		inner := make([]*shaped, len(calls))
		for j, c := range calls {
			values[j], inner[j] = text[c.args[i].start:c.args[i].end], c.args[i].call
		}
		switch {
		case !slices.ContainsFunc(values, func(v string) bool { return v != values[0] }):
		case isPlainValue(values[0]):
			l.slots = append(l.slots, slot{a.start, a.end, l.argName(first.callee, i, a.name), values})
		default:
			l.differing(inner)
		}
	}
}

// argName is what an argument is called; of one given by its place that is its parameter's name.
func (l *looper) argName(callee string, i int, name string) string {
	if b := builtinNamed(callee); name == "" && b != nil && i < len(b.Params) {
		return b.Params[i].Name
	}
	if name == "" {
		return "value"
	}
	return name
}

// place makes a slot of the place of the row that a planting's own call makes.
func (l *looper) place(i int) {
	for _, a := range l.shape(i).args {
		if a.call == nil {
			continue
		}
		for _, inner := range a.call.args {
			if text := l.part.File.Text[inner.start:inner.end]; inner.name == "at" && isPlainValue(text) {
				l.slots = append(l.slots, slot{inner.start, inner.end, "at", []string{text}})
				return
			}
		}
	}
}

func (l *looper) offer(from, to int, title string) {
	whole := l.inText(from, to)
	if len(l.slots) == 0 || strings.Contains(whole, `"""`) || strings.Contains(whole, "'''") || strings.Contains(whole, "\\\n") {
		return
	}
	file := l.part.File
	start := beginOfLine(file.Text, l.list[from].start())
	indent := indentOf(file.Text, start)
	text := strings.ReplaceAll(l.text(from, indent), "\r\n", "\n")
	if indent == "" {
		if laid, err := format.Format(source.New(file.Path, text)); err == nil {
			text = strings.TrimRight(laid, "\n")
		}
	}
	text = strings.ReplaceAll(text, "\n", l.actor.doc.lineEnd())
	span := l.actor.doc.between(start, l.list[to-1].end())
	l.actor.add(Action{Title: title, Kind: ActionExtract, Edits: []diag.Edit{{Span: span, Text: text}}})
}

// text writes the loop.
func (l *looper) text(from int, indent string) string {
	names := l.variables(l.list[from].start())
	var heads, lines []string
	for i := range l.slots {
		if names[i] != "" {
			heads = append(heads, names[i])
		}
	}
	for row := range l.slots[0].values {
		var values []string
		for i := range l.slots {
			if names[i] != "" {
				values = append(values, l.slots[i].values[row])
			}
		}
		line := strings.Join(values, ", ")
		if len(values) > 1 {
			line = "(" + line + ")"
		}
		lines = append(lines, line)
	}
	head := indent + "for " + strings.Join(heads, ", ") + " in "
	list := "[" + strings.Join(lines, ", ") + "]"
	if utf8.RuneCountInString(head+list) >= maxLine {
		inner := "\n" + indent + indentBy
		list = "[" + inner + strings.Join(lines, ","+inner) + ",\n" + indent + "]"
	}
	return head + list + ":\n" + indent + indentBy + strings.ReplaceAll(l.body(from, names), "\n", "\n"+indentBy)
}

// body is the first call with the variables in it.
func (l *looper) body(from int, names []string) string {
	text := l.part.File.Text
	at := l.list[from].start()
	var b strings.Builder
	for i, s := range l.slots {
		b.WriteString(text[at:s.start])
		name := names[i]
		if name == "" {
			name = names[l.twin(i)]
		}
		b.WriteString(name)
		at = s.end
	}
	b.WriteString(text[at:l.list[from].end()])
	return b.String()
}

// twin gives the first slot with the same values.
func (l *looper) twin(i int) int {
	return slices.IndexFunc(l.slots, func(s slot) bool { return slices.Equal(s.values, l.slots[i].values) })
}

// variables names the slots after their arguments, in words that mean nothing else there; a slot that has
// the values of one before it shares its variable and gets "".
func (l *looper) variables(at int) []string {
	in := l.actor.doc.namesAt(l.actor.doc.Part(l.part.File.Point(at)), at)
	names := make([]string, len(l.slots))
	for i, s := range l.slots {
		if l.twin(i) < i {
			continue
		}
		name := s.name
		for n := 1; l.isTaken(in, name) || slices.Contains(names, name); n++ {
			name = "each_" + s.name
			if n > 1 {
				name += "_" + strconv.Itoa(n)
			}
		}
		names[i] = name
	}
	return names
}

// isTaken tells whether a name means something already; the variable of another loop may be used again.
func (l *looper) isTaken(in *names, name string) bool {
	b := in.named(name)
	return b != nil && b.kind != looped || syntax.IsKeyword(name) || known(name)
}
