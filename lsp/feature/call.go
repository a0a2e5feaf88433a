package feature

import (
	"slices"

	"haulm/lang/eval"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Call is a call as it stands in the text, complete or still being written.
type Call struct {
	Name     string      // what is called: "row"; of a method its last name: "variety"
	NameSpan source.Span // of Name
	Receiver string      // what stands before the dot of a method, "" for a plain call
	Span     source.Span // from the callee to the closing bracket, or to the end of what is there
	Open     int         // byte offset of the opening bracket
	Close    int         // byte offset of the closing bracket, -1 while there is none
	Args     []Arg
	Arg      int   // index of the argument that the place asked for stands in; len(Args) for none
	Outer    *Call // the call in whose arguments this one stands
}

// Arg is one argument of a Call.
type Arg struct {
	Name  string      // "" when it is given by its place
	Key   source.Span // of the name
	Value source.Span // of what is given, empty where nothing is written yet
	Star  string      // "*" or "**" of an argument that is spread
}

// Call gives the innermost call of the part whose brackets are around a byte offset; nil when there is
// none. It reads tokens, so the text may be broken.
func (p *Part) Call(offset int) *Call {
	code := p.code()
	var open []int // indexes of the brackets open at the offset
	for i, t := range code {
		if t.Start >= offset {
			break
		}
		switch t.Kind {
		case syntax.Opener:
			open = append(open, i)
		case syntax.Closer:
			if len(open) > 0 {
				open = open[:len(open)-1]
			}
		}
	}
	var call *Call
	for _, i := range open {
		if c := p.callAt(code, i, offset); c != nil {
			c.Outer = call
			call = c
		}
	}
	return call
}

// Calls gives every call of the part in the order of their opening brackets.
func (p *Part) Calls() []*Call {
	code := p.code()
	var calls []*Call
	for i, t := range code {
		if t.Kind == syntax.Opener {
			if c := p.callAt(code, i, t.Start); c != nil {
				calls = append(calls, c)
			}
		}
	}
	return calls
}

// code is the part's tokens without its comments.
func (p *Part) code() []syntax.Token {
	return slices.DeleteFunc(slices.Clone(p.Tokens), func(t syntax.Token) bool { return t.Kind == syntax.Comment })
}

// callAt reads the call whose opening bracket is token i; nil when that is the bracket of something else.
func (p *Part) callAt(code []syntax.Token, i, offset int) *Call {
	if p.text(code[i]) != "(" || i == 0 || !isCallee(code, i-1, p) {
		return nil
	}
	name := code[i-1]
	c := &Call{Name: p.text(name), NameSpan: p.span(name.Start, name.End), Open: code[i].Start, Close: -1}
	start := name.Start
	if i >= 3 && p.text(code[i-2]) == "." {
		from := p.receiver(code, i-3)
		start = code[from].Start
		c.Receiver = p.File.Text[start:code[i-3].End]
	}
	end := p.arguments(c, code, i+1, offset)
	c.Span = p.span(start, end)
	return c
}

// isCallee tells whether token i can be called and is not the name of a function being defined.
func isCallee(code []syntax.Token, i int, p *Part) bool {
	if text := p.text(code[i]); code[i].Kind != syntax.Word || syntax.IsKeyword(text) && text != "load" {
		return false
	}
	return i == 0 || p.text(code[i-1]) != "def"
}

// receiver gives the first token of the chain a.b(c).d that ends at token i.
func (p *Part) receiver(code []syntax.Token, i int) int {
	for {
		if code[i].Kind == syntax.Closer {
			i = opening(code, i)
			if i > 0 && code[i-1].Kind == syntax.Word {
				i--
			}
		}
		if i < 2 || p.text(code[i-1]) != "." {
			return i
		}
		i -= 2
	}
}

// opening gives the token of the bracket that token i closes, 0 when there is none.
func opening(code []syntax.Token, i int) int {
	for depth := 0; i > 0; i-- {
		switch code[i].Kind {
		case syntax.Closer:
			depth++
		case syntax.Opener:
			if depth--; depth == 0 {
				return i
			}
		}
	}
	return 0
}

// arguments reads the arguments of a call from token i on and gives the byte offset where the call ends.
func (p *Part) arguments(c *Call, code []syntax.Token, i, offset int) (end int) {
	depth, from := 0, i
	end = code[i-1].End
	c.Arg = -1
	add := func(to, stop int, more bool) {
		if offset <= stop && c.Arg < 0 {
			c.Arg = len(c.Args)
		}
		switch {
		case to > from:
			c.Args = append(c.Args, p.argument(code[from:to]))
		case more:
			c.Args = append(c.Args, Arg{Value: p.span(stop, stop)}) // nothing between two commas
		}
	}
	for ; i < len(code); i++ {
		t := code[i]
		switch {
		case t.Kind == syntax.Opener:
			depth++
		case t.Kind == syntax.Closer && depth == 0:
			add(i, t.Start, false)
			c.Close = t.Start
			return t.End
		case t.Kind == syntax.Closer:
			depth--
		case depth == 0 && p.text(t) == ",":
			add(i, t.Start, true)
			from = i + 1
		}
		end = t.End
	}
	add(i, max(end, offset), false)
	return end
}

// argument reads one argument from its tokens.
func (p *Part) argument(tokens []syntax.Token) Arg {
	var a Arg
	first, last := tokens[0], tokens[len(tokens)-1]
	switch text := p.text(first); {
	case text == "*" || text == "**":
		a.Star = text
		tokens = tokens[1:]
	case len(tokens) > 1 && first.Kind == syntax.Word && p.text(tokens[1]) == "=":
		a.Name, a.Key = text, p.span(first.Start, first.End)
		tokens = tokens[2:]
	}
	if len(tokens) == 0 {
		a.Value = p.span(last.End, last.End)
		return a
	}
	a.Value = p.span(tokens[0].Start, last.End)
	return a
}

func (p *Part) span(start, end int) source.Span { return p.File.Span(start, end) }

// Builtin gives the built-in function, or the method of a crop, that the call means where nothing else
// has that name; nil for none.
func (c *Call) Builtin() *eval.Builtin {
	for _, b := range eval.Builtins() {
		if b.Name == c.Name && b.IsMethod() == (c.Receiver != "") {
			return b
		}
	}
	return nil
}

// Param gives the parameter that argument i stands for; nil when the built-in has none for it.
func (c *Call) Param(b *eval.Builtin, i int) *eval.Param {
	if i < len(c.Args) && c.Args[i].Name != "" {
		return b.Param(c.Args[i].Name)
	}
	if i < b.Free && (i >= len(c.Args) || c.Args[i].Star == "") {
		return &b.Params[i]
	}
	return nil
}
