package quantity

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// tokenKind tells the parts of the text of a quantity.
type tokenKind uint8

const (
	endToken tokenKind = iota
	numberToken
	wordToken  // a unit's spelling or part of it, or "per"
	powerToken // a whole number raised: "^2", "²", the 2 of "ft2"
	slashToken
	minusToken
	otherToken // a character that belongs to no quantity
)

type token struct {
	kind       tokenKind
	text       string // in lower case; digits alone for numbers and powers
	start, end int    // bytes in the text read
}

// vulgar are the fractions that have a character of their own.
var vulgar = map[rune]string{'¼': "1/4", '½': "1/2", '¾': "3/4", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8"}

// scan cuts the text into tokens, the last of which is an endToken. Thousands may be grouped with
// commas.
func scan(text string) []token {
	var tokens []token
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		start := i
		add := func(kind tokenKind, length int, as string) {
			i = start + length
			tokens = append(tokens, token{kind, as, start, i})
		}
		switch {
		case unicode.IsSpace(r):
			i += size
		case isDigit(r) || r == '.':
			n := numberLength(text[i:])
			add(numberToken, n, strings.ReplaceAll(text[i:i+n], ",", ""))
		case vulgar[r] != "":
			add(numberToken, size, vulgar[r])
		case r == '/':
			add(slashToken, size, "/")
		case r == '-' || r == '−':
			add(minusToken, size, "-")
		case r == '²':
			add(powerToken, size, "2")
		case r == '³':
			add(powerToken, size, "3")
		case r == '^':
			n := 1 + len(digits(text[i+1:]))
			add(powerToken, n, text[i+1:i+n])
		case r == '°' || r == '%' || r == '"' || r == '\'' || r == '″' || r == '′':
			add(wordToken, size, mark(r))
		case unicode.IsLetter(r) || r == '_':
			n := wordLength(text[i:])
			add(wordToken, n, strings.ToLower(text[i:i+n]))
			if n := raisedDigit(text[i:]); n > 0 {
				start = i
				add(powerToken, n, text[i:i+n])
			}
		default:
			add(otherToken, size, text[i:i+size])
		}
	}
	return append(tokens, token{kind: endToken, start: len(text), end: len(text)})
}

// mark gives the unit that a character of its own stands for.
func mark(r rune) string {
	switch r {
	case '"', '″':
		return "in"
	case '\'', '′':
		return "ft"
	}
	return string(r)
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

func digits(text string) string {
	n := 0
	for n < len(text) && isDigit(rune(text[n])) {
		n++
	}
	return text[:n]
}

// numberLength measures a decimal with grouped thousands, fraction and exponent.
func numberLength(text string) int {
	n := len(digits(text))
	for n > 0 && n < len(text) && text[n] == ',' && len(digits(text[n+1:])) == 3 {
		n += 4
	}
	if n < len(text) && text[n] == '.' {
		n += 1 + len(digits(text[n+1:]))
	}
	if n < len(text) && (text[n] == 'e' || text[n] == 'E') {
		sign := 0
		if n+1 < len(text) && (text[n+1] == '+' || text[n+1] == '-') {
			sign = 1
		}
		if d := len(digits(text[n+1+sign:])); d > 0 {
			n += 1 + sign + d
		}
	}
	return n
}

// wordLength measures letters, with a hyphen where letters stand on both its sides.
func wordLength(text string) int {
	n := 0
	for n < len(text) {
		r, size := utf8.DecodeRuneInString(text[n:])
		if r == '-' && n > 0 {
			if next, _ := utf8.DecodeRuneInString(text[n+1:]); !unicode.IsLetter(next) {
				return n
			}
		} else if !unicode.IsLetter(r) && r != '_' {
			return n
		}
		n += size
	}
	return n
}

// raisedDigit tells whether a word is followed at once by a 2 or 3 that means a square or a cube, as in
// "ft2" but not in "2ft3in".
func raisedDigit(text string) int {
	d := digits(text)
	if d != "2" && d != "3" {
		return 0
	}
	if r, _ := utf8.DecodeRuneInString(text[1:]); r == '.' || r == ',' || unicode.IsLetter(r) {
		return 0
	}
	return 1
}
