package syntax

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

type kind uint8

const (
	word   kind = iota // name or keyword
	number             // integer or float
	text               // string or bytes
	opener             // ( [ {
	closer             // ) ] }
	sign               // operator or other punctuation
	stray              // a character that plans do not have
)

type fault uint8

const (
	sound      fault = iota
	unclosed         // text without its closing quote
	tooLong          // number with more than maxDigits digits
	noSuchSign       // stray
)

// token is a piece of code between spaces; start and end are byte offsets.
type token struct {
	start, end int32
	kind       kind
	fault      fault
	first      bool // the first of its line, which does not continue the one before by a backslash
}

type comment struct{ start, end int32 }

// tokenize cuts the text from a byte offset on. It agrees with Starlark's scanner on where tokens begin
// and end as far as that scanner goes, and goes on where it stops. An unclosed triple quote swallows the
// rest of the text, unless it begins at one of the given offsets: those end with their line.
func tokenize(s string, from int, endWithLine ...int) ([]token, []comment) {
	c := cutter{s: s, at: from, lineStart: true, cut: endWithLine}
	c.tokens = make([]token, 0, (len(s)-from)/4+1)
	for c.next() {
	}
	return c.tokens, c.comments
}

type cutter struct {
	s         string
	at        int
	lineStart bool
	cut       []int
	tokens    []token
	comments  []comment
}

func (c *cutter) add(k kind, end int, f fault) {
	c.tokens = append(c.tokens, token{start: int32(c.at), end: int32(end), kind: k, fault: f, first: c.lineStart})
	c.lineStart = false
	c.at = end
}

// next cuts one token, comment or stretch of space; false at the end.
func (c *cutter) next() bool {
	if c.at >= len(c.s) {
		return false
	}
	switch b := c.s[c.at]; {
	case b == ' ' || b == '\t':
		c.at++
	case b == '\n' || b == '\r':
		c.at += newline(c.s[c.at:])
		c.lineStart = true
	case b == '#':
		end := lineEnd(c.s, c.at)
		c.comments = append(c.comments, comment{int32(c.at), int32(end)})
		c.at = end
	case b == '\\':
		if n := newline(c.s[c.at+1:]); n > 0 {
			c.at += 1 + n
		} else {
			c.add(stray, c.at+1, noSuchSign)
		}
	case b == '"' || b == '\'':
		c.quoted(c.at)
	case b == '(' || b == '[' || b == '{':
		c.add(opener, c.at+1, sound)
	case b == ')' || b == ']' || b == '}':
		c.add(closer, c.at+1, sound)
	case isDigit(b) || b == '.' && c.at+1 < len(c.s) && isDigit(c.s[c.at+1]):
		c.number()
	case isWord(b):
		c.word()
	case b >= utf8.RuneSelf:
		r, size := utf8.DecodeRuneInString(c.s[c.at:])
		if unicode.IsLetter(r) {
			c.word()
		} else {
			c.add(stray, c.at+size, noSuchSign)
		}
	default:
		if n := signLength(c.s[c.at:]); n > 0 {
			c.add(sign, c.at+n, sound)
		} else {
			c.add(stray, c.at+1, noSuchSign)
		}
	}
	return true
}

func (c *cutter) word() {
	if n := prefixLength(c.s[c.at:]); n > 0 {
		c.quoted(c.at + n)
		return
	}
	end := c.at
	for end < len(c.s) {
		if b := c.s[end]; isWord(b) {
			end++
			continue
		} else if b < utf8.RuneSelf {
			break
		}
		r, size := utf8.DecodeRuneInString(c.s[end:])
		if !unicode.IsLetter(r) {
			break
		}
		end += size
	}
	c.add(word, end, sound)
}

// prefixLength measures the r, b or rb before a quote that s begins with.
func prefixLength(s string) int {
	n := 0
	if s[n] == 'r' {
		n++
	}
	if n < len(s) && s[n] == 'b' {
		n++
	}
	if n < len(s) && (s[n] == '"' || s[n] == '\'') {
		return n
	}
	return 0
}

func (c *cutter) number() {
	s, end := c.s, c.at
	run := func(ok func(byte) bool) {
		for end < len(s) && ok(s[end]) {
			end++
		}
	}
	isOneOf := func(set string) bool { return end < len(s) && strings.IndexByte(set, s[end]) >= 0 }
	if s[end] == '0' && end+1 < len(s) && strings.IndexByte("xXoObB", s[end+1]) >= 0 {
		digits := isDigit
		if s[end+1] == 'x' || s[end+1] == 'X' {
			digits = isHex
		}
		end += 2
		run(digits)
	} else {
		run(isDigit)
		if isOneOf(".") {
			end++
			run(isDigit)
		}
		if isOneOf("eE") {
			end++
			if isOneOf("+-") {
				end++
			}
			run(isDigit)
		}
	}
	f := sound
	if end-c.at > maxDigits {
		f = tooLong
	}
	c.add(number, end, f)
}

// quoted cuts a text whose opening quote stands at the offset.
func (c *cutter) quoted(at int) {
	s, quote := c.s, c.s[at]
	triple := at+2 < len(s) && s[at+1] == quote && s[at+2] == quote
	end, run := at+1, 0
	if triple {
		for _, cut := range c.cut {
			if cut == c.at {
				c.add(text, lineEnd(s, at), unclosed)
				return
			}
		}
		end = at + 3
	}
	for end < len(s) {
		switch b := s[end]; {
		case b == quote:
			end++
			run++
			if !triple || run == 3 {
				c.add(text, end, sound)
				return
			}
		case b == '\\' && end+1 < len(s):
			end += 1 + max(newline(s[end+1:]), 1)
			run = 0
		case !triple && (b == '\n' || b == '\r'):
			c.add(text, end, unclosed)
			return
		default:
			end++
			run = 0
		}
	}
	c.add(text, end, unclosed)
}

// newline is the length of the line end that s begins with, 0 for none.
func newline(s string) int {
	switch {
	case strings.HasPrefix(s, "\r\n"):
		return 2
	case s != "" && (s[0] == '\n' || s[0] == '\r'):
		return 1
	}
	return 0
}

// lineEnd is the offset at which the line of an offset ends, before its line end.
func lineEnd(s string, at int) int {
	if n := strings.IndexAny(s[at:], "\r\n"); n >= 0 {
		return at + n
	}
	return len(s)
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

func isWord(b byte) bool {
	return 'a' <= b && b <= 'z' || 'A' <= b && b <= 'Z' || b == '_' || isDigit(b)
}

// signLength is the length of the operator that s begins with, 0 for none.
func signLength(s string) int {
	switch s[0] {
	case ',', '.', ':', ';', '~':
		return 1
	case '!':
		if strings.HasPrefix(s, "!=") {
			return 2
		}
		return 0
	case '=', '+', '-', '%', '&', '|', '^':
		if strings.HasPrefix(s[1:], "=") {
			return 2
		}
		return 1
	case '*', '/', '<', '>':
		n := 1
		if len(s) > 1 && s[1] == s[0] {
			n = 2
		}
		if len(s) > n && s[n] == '=' && s[:n] != "**" {
			n++
		}
		return n
	}
	return 0
}
