// Package format lays out plans in one way. In goes a file that can be read; out comes its text with the
// same statements and comments, or the text as it was and an error.
//
// The layout is that of buildtools' printer, which keeps the grower's own line breaks. Around it stand
// prepare.go, which writes what the printer would refuse or spoil in a way that it keeps; wrap.go, which
// breaks calls that run past the margin; and same.go, which reads the result again and holds that it
// means what the file meant.
package format

import (
	"errors"
	"fmt"
	"strings"

	"github.com/bazelbuild/buildtools/build"

	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/lang/syntax"
)

// Format lays a file's text out. Lines end with "\n", or with "\r\n" if all the file's lines do. A file
// that cannot be read, or whose meaning or comments a new layout would change, is given back as it is
// with an error that names the place.
func Format(f *source.File) (string, error) {
	tree := syntax.Parse(f)
	for _, d := range tree.Findings {
		if d.Rule.Severity == diag.Error {
			return f.Text, fmt.Errorf("%s: %s", d.Primary.Span, d.Message)
		}
	}
	plain := prepare(f)
	out, err := layout(f.Path, plain)
	if err != nil {
		return f.Text, err
	}
	if err := same(tree, source.New(f.Path, out)); err != nil {
		return f.Text, err
	}
	if usesCRLF(f.Text) {
		out = strings.ReplaceAll(out, "\n", "\r\n")
	}
	return out, nil
}

// maxRounds bounds the layouts of one text: each breaks calls one level further in, and brackets can be
// nested less deep than this.
const maxRounds = 100

// layout prints a text again and again: until nothing that is too long can be broken, and until the
// layout of the layout is itself.
func layout(path, text string) (string, error) {
	for round := range maxRounds {
		tree, err := parse(path, text)
		if err != nil {
			return "", err
		}
		if round > 0 { // only a layout tells how long its lines are
			wrap(tree)
		}
		out, err := print(tree)
		if err != nil {
			return "", fmt.Errorf("%s: %w", path, err)
		}
		if round > 0 && out == text {
			return out, nil
		}
		text = out
	}
	return "", fmt.Errorf("%s: this file cannot be laid out (its layout does not come to rest)", path)
}

func parse(path, text string) (*build.File, error) {
	tree, err := build.ParseDefault(path, []byte(text))
	var bad build.ParseError
	if errors.As(err, &bad) {
		return nil, fmt.Errorf("%s:%d:%d: this cannot be laid out (%s)", path, bad.Pos.Line, bad.Pos.LineRune, bad.Message)
	}
	if err != nil {
		return nil, err
	}
	doubleQuotes(tree)
	return tree, nil
}

// print runs the printer, which panics where it meets what it does not know.
func print(tree *build.File) (out string, err error) {
	defer func() {
		if e := recover(); e != nil {
			err = fmt.Errorf("this file cannot be laid out (%v)", e)
		}
	}()
	return string(build.FormatWithoutRewriting(tree)), nil
}

// usesCRLF tells whether every line of a text ends with "\r\n".
func usesCRLF(text string) bool {
	n := strings.Count(text, "\r\n")
	return n > 0 && n == strings.Count(text, "\n") && n == strings.Count(text, "\r")
}
