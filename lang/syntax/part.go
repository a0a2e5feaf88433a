package syntax

import (
	"slices"

	"haulm/lang/source"
)

// Kind of a Token.
type Kind uint8

// The kinds of tokens.
const (
	Word    Kind = iota // name or keyword
	Number              // integer or float
	Text                // string or bytes, with its quotes
	Opener              // ( [ {
	Closer              // ) ] }
	Sign                // operator or other punctuation
	Stray               // a character that plans do not have
	Comment             // from # to the end of the line
)

// Token is a piece of text between spaces; Start and End are byte offsets in the file.
type Token struct {
	Start, End int
	Kind       Kind
	Sound      bool // false for a text without its closing quote, and for what Starlark refuses
	First      bool // the first of its line but for comments, and not continued from the line before by a backslash
}

// Tokens cuts the stretch of a file between two byte offsets into tokens, comments among them. It never
// fails. The stretch should not begin inside a text or a comment.
func Tokens(f *source.File, start, end int) []Token {
	start = max(start, markSize(f.Text))
	tokens, comments := tokenize(f.Text[:max(start, min(end, len(f.Text)))], start)
	out := make([]Token, 0, len(tokens)+len(comments))
	for _, t := range tokens {
		for len(comments) > 0 && comments[0].start < t.start {
			out = append(out, commentToken(comments[0]))
			comments = comments[1:]
		}
		out = append(out, Token{Start: int(t.start), End: int(t.end), Kind: Kind(t.kind), Sound: t.fault == sound, First: t.first})
	}
	for _, c := range comments {
		out = append(out, commentToken(c))
	}
	return out
}

// IsKeyword tells whether a word is one of the language's own, or kept for it, and so no name.
func IsKeyword(word string) bool {
	return slices.Contains(keywords, word) || slices.Contains(reserved, word)
}

func commentToken(c comment) Token {
	return Token{Start: int(c.start), End: int(c.end), Kind: Comment, Sound: true}
}
