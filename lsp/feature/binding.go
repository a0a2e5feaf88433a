package feature

import (
	"strings"

	"haulm/lang/source"
	"haulm/lang/syntax"
)

// binding is one place where a text gives a name its meaning. It is read from tokens, so it is there in
// broken text too, and says only what a glance at the place can tell.
type binding struct {
	file  *source.File
	name  string
	at    int // byte offset of the name
	kind  bindingKind
	chain string // what the value begins with: "plot", "sweet.variety", "here.last_frost"; "" for anything else
	call  bool   // the chain is called
	value int    // byte offset of the value; of a function that of its def
	each  bool   // the name takes the parts of the value in turn
	load  *loadOf
}

type bindingKind uint8

const (
	assigned bindingKind = iota
	looped
	defined
	parameter
	loaded
)

// loadOf is what a load says of a name.
type loadOf struct{ module, name string }

// topBindings finds the names bound at the top of a file. Most lines are told by their first bytes; only
// loads, loops and conditions are cut into tokens.
func topBindings(f *source.File) []binding {
	var found []binding
	for n := 1; n <= f.Lines(); n++ {
		line := f.Line(n)
		if !beginsStatement(line) {
			continue
		}
		word := line[:nameLength(line)]
		rest := strings.TrimLeft(line[len(word):], " \t")
		at := source.Point{Line: int32(n), Col: 1}
		switch {
		case word == "def":
			start := f.Offset(at)
			name := rest[:nameLength(rest)]
			found = append(found, binding{file: f, name: name, at: start + len(line) - len(rest), kind: defined, value: start})
		case word == "load" || word == "for" || word == "if" || strings.HasPrefix(rest, ","):
			found = append(found, partAt(f, n, n+1).bindings()...)
		case strings.HasPrefix(rest, "=") && !strings.HasPrefix(rest, "=="):
			start := f.Offset(at)
			b := binding{file: f, name: word, at: start, kind: assigned, value: start + len(line) - len(rest) + 1}
			b.look()
			found = append(found, b)
		}
	}
	return found
}

// look reads what the value begins with.
func (b *binding) look() {
	text := b.file.Text
	for b.value < len(text) && (text[b.value] == ' ' || text[b.value] == '\t') {
		b.value++
	}
	b.chain, b.call = chainAt(text[b.value:])
}

// chainAt gives the names joined by dots that a text begins with, and whether they are called.
func chainAt(text string) (chain string, call bool) {
	n := 0
	for n < len(text) && (isNameByte(text[n]) || text[n] == '.') {
		n++
	}
	if n == 0 || isDigit(text[0]) || text[0] == '.' || syntax.IsKeyword(text[:n]) {
		return "", false
	}
	return text[:n], n < len(text) && text[n] == '('
}

// bindings finds every name that the part binds, those inside its functions and comprehensions too.
func (p *Part) bindings() []binding {
	code := p.code()
	s := &bindingScan{part: p, code: code}
	for i := range code {
		s.step(i)
	}
	return s.found
}

type bindingScan struct {
	part  *Part
	code  []syntax.Token
	depth int
	found []binding
}

func (s *bindingScan) text(i int) string {
	if i < 0 || i >= len(s.code) {
		return ""
	}
	return s.part.text(s.code[i])
}

func (s *bindingScan) isName(i int) bool {
	return i >= 0 && i < len(s.code) && s.code[i].Kind == syntax.Word && !syntax.IsKeyword(s.text(i))
}

func (s *bindingScan) step(i int) {
	t := s.code[i]
	switch {
	case t.Kind == syntax.Opener:
		s.depth++
	case t.Kind == syntax.Closer:
		s.depth = max(s.depth-1, 0)
	case s.text(i) == "for":
		s.loop(i)
	case s.text(i) == "lambda":
		s.params(i+1, ":")
	case !t.First || s.depth > 0:
	case s.text(i) == "def":
		if s.isName(i + 1) {
			s.found = append(s.found, binding{file: s.part.File, name: s.text(i + 1), at: s.code[i+1].Start, kind: defined, value: t.Start})
			s.params(i+3, ")")
		}
	case s.text(i) == "load":
		s.load(i + 1)
	default:
		s.assignment(i)
	}
}

// assignment reads a = ..., and a, b = ....
func (s *bindingScan) assignment(i int) {
	var names []int
	for ; i < len(s.code); i++ {
		switch text := s.text(i); {
		case s.isName(i):
			if next := s.text(i + 1); next == "(" || next == "[" || next == "." {
				return // a call, or a part of something
			}
			names = append(names, i)
		case text == "," || text == "(" || text == ")" || text == "[" || text == "]":
		case text == "=" || text == "+=":
			for _, n := range names {
				b := binding{file: s.part.File, name: s.text(n), at: s.code[n].Start, kind: assigned, value: s.code[i].End, each: len(names) > 1}
				b.look()
				s.found = append(s.found, b)
			}
			return
		default:
			return
		}
		if i+1 < len(s.code) && s.code[i+1].First && s.depth == 0 {
			return
		}
	}
}

// loop reads for a, b in ....
func (s *bindingScan) loop(i int) {
	var names []int
	for i++; i < len(s.code) && (s.isName(i) || strings.Contains("(,)[]", s.text(i))); i++ {
		if s.isName(i) {
			names = append(names, i)
		}
	}
	for _, n := range names {
		b := binding{file: s.part.File, name: s.text(n), at: s.code[n].Start, kind: looped, each: true}
		if s.text(i) == "in" {
			b.value = s.code[i].End
			b.look()
		}
		s.found = append(s.found, b)
	}
}

// params reads parameters up to the word that ends them.
func (s *bindingScan) params(i int, end string) {
	depth, isValue := 0, false
	for ; i < len(s.code); i++ {
		text := s.text(i)
		switch {
		case depth == 0 && text == end:
			return
		case s.code[i].Kind == syntax.Opener:
			depth++
		case s.code[i].Kind == syntax.Closer:
			depth--
		case depth == 0 && (text == "=" || text == ","):
			isValue = text == "="
		case depth == 0 && s.isName(i) && !isValue:
			b := binding{file: s.part.File, name: text, at: s.code[i].Start, kind: parameter}
			if s.text(i+1) == "=" {
				b.value = s.code[i+1].End
				b.look()
			}
			s.found = append(s.found, b)
		}
	}
}

// load reads the arguments of a load from its opening bracket on.
func (s *bindingScan) load(i int) {
	if s.text(i) != "(" || s.text(i+1) == "" {
		return
	}
	module := unquoted(s.text(i + 1))
	for i += 2; i < len(s.code) && s.text(i) != ")"; i++ {
		switch {
		case s.code[i].Kind == syntax.Text && s.text(i-1) != "=":
			name := unquoted(s.text(i))
			s.found = append(s.found, binding{file: s.part.File, name: name, at: s.code[i].Start + 1, kind: loaded, load: &loadOf{module, name}})
		case s.isName(i) && s.text(i+1) == "=":
			s.found = append(s.found, binding{file: s.part.File, name: s.text(i), at: s.code[i].Start, kind: loaded, load: &loadOf{module, unquoted(s.text(i + 2))}})
		}
	}
}

// unquoted gives what stands between the quotes of a text, which may lack its last one. Names and paths
// hold nothing that is written otherwise than it reads.
func unquoted(text string) string {
	start, end := quotes(text)
	return text[start:end]
}

// quotes gives where a text's content begins and ends in it.
func quotes(text string) (start, end int) {
	for start < len(text) && text[start] != '"' && text[start] != '\'' {
		start++
	}
	if start == len(text) {
		return start, start
	}
	quote := text[start : start+1]
	if strings.HasPrefix(text[start:], strings.Repeat(quote, 3)) {
		quote = strings.Repeat(quote, 3)
	}
	start += len(quote)
	end = len(text)
	if len(text)-len(quote) >= start && strings.HasSuffix(text, quote) {
		end -= len(quote)
	}
	return start, end
}
