// Package syntax reads the text of a plan. In goes a source.File; out comes a tree of the statements
// that can be read, the pieces that cannot, findings, and the accept comments.
//
// A clean file costs one run of Starlark's parser. Only when that fails is the text cut into pieces,
// each of which is parsed on its own:
//
//	token.go    cuts the text into tokens; it never fails and marks what Starlark would refuse
//	split.go    cuts the tokens into statements
//	mend.go     parses each, cutting again where an open bracket or quote swallowed what follows
//	explain.go  turns a statement that does not parse into one finding (with marks.go, expected.go,
//	            refused.go and prose.go)
//	paper.go    recognises what is written as on paper: 4'6", May 24, cherry tomato (with paper_*.go)
//	accept.go   finds the accept comments and the statements they stand for
//	part.go     hands out the tokens of a stretch of a file, for whoever looks at a few lines
//	scope.go    finds what each name of a file means, from a tree of its own: resolving changes one
//
// Parsing never panics and never gives up on a file because of one statement. The parser's
// package is called star wherever it is used.
package syntax

import (
	"strings"

	"haulm/lang/diag"
	"haulm/lang/source"

	star "go.starlark.net/syntax"
)

// Tree is what could be read of a file.
type Tree struct {
	File     *source.File
	Root     *star.File // the good statements, in order, positions right for the whole file; never nil
	Bad      []Piece    // the statements that could not be read, in order
	Findings []diag.Diagnostic
	Accepts  []Accept
}

// Piece is a statement that could not be read.
type Piece struct {
	Span  source.Span
	Names []string // what it would have bound at the top of the file, as far as can be told; sorted
}

// Options of the dialect: sets, loops and conditions at the top of a file, and names given twice are
// allowed; while and recursion are not.
func Options() *star.FileOptions {
	return &star.FileOptions{Set: true, TopLevelControl: true, GlobalReassign: true}
}

// Parse reads a file. Every finding lies within the file.
func Parse(f *source.File) *Tree {
	t := &Tree{File: f, Root: &star.File{Path: f.Path, Options: Options()}}
	if !t.readable() {
		return t
	}
	r := &reader{tree: t, text: f.Text}
	r.read()
	t.Findings = append(t.Findings, r.findings...)
	t.accepts(r)
	return t
}

// reader carries a file through the parsing of its pieces.
type reader struct {
	tree     *Tree
	text     string // the file's, but for zero bytes in comments: they would end Starlark's scan unseen
	tokens   []token
	comments []comment
	scanned  bool // tokens and comments are there
	findings []diag.Diagnostic
	mends    int             // texts ended at their line's end
	reread   int             // tokens read again after a cut
	proseEnd int             // the token after the last remark without its #, which the last finding is about
	farm     *farmWords      // nil until asked for
	joined   map[string]bool // what lines bind, words joined by underscores; nil until asked for
}

// read parses the whole text at once or, if that cannot be done, piece by piece.
func (r *reader) read() {
	if !strings.Contains(r.text, "\x00") && !hasLongNumber(r.text) {
		if stmts, err := r.parse(markSize(r.text), len(r.text)); err == nil {
			r.keep(stmts, len(r.text))
			return
		}
	}
	r.scan()
	r.pieces()
}

// parse gives the stretch of text from start to end to Starlark's parser.
func (r *reader) parse(start, end int) ([]star.Stmt, *star.Error) {
	return parseText(r.tree.File.Path, r.text[start:end], r.tree.File.Point(start))
}

func parseText(path, text string, at source.Point) ([]star.Stmt, *star.Error) {
	portion := star.FilePortion{Content: []byte(text), FirstLine: at.Line, FirstCol: at.Col}
	file, err := Options().Parse(path, portion, 0)
	if err != nil {
		if e, ok := err.(star.Error); ok {
			return nil, &e
		}
		return nil, &star.Error{Pos: star.MakePosition(&path, at.Line, at.Col), Msg: err.Error()}
	}
	return file.Stmts, nil
}

func (r *reader) scan() {
	if !r.scanned {
		r.tokens, r.comments = tokenize(r.text, markSize(r.text))
		r.blankZeros()
		r.scanned = true
	}
}

// blankZeros hides zero bytes in comments from Starlark's scanner, which would take one for the end.
func (r *reader) blankZeros() {
	if !strings.Contains(r.text, "\x00") {
		return
	}
	text := []byte(r.text)
	for _, c := range r.comments {
		copy(text[c.start:], strings.ReplaceAll(r.text[c.start:c.end], "\x00", " "))
	}
	r.text = string(text)
}

func (r *reader) span(start, end int) source.Span { return r.tree.File.Span(start, end) }

func (r *reader) report(rule *diag.Rule, span source.Span, message string) *diag.Diagnostic {
	r.findings = append(r.findings, diag.Diagnostic{Rule: rule, Message: message, Primary: diag.Label{Span: span}})
	return &r.findings[len(r.findings)-1]
}
