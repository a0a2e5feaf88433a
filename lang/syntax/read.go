package syntax

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"haulm/lang/diag"
)

const (
	mark = "\ufeff"
	// MaxFileSize is the most bytes that a file of a plan may have.
	MaxFileSize = 8 << 20

	// Digits of a number: Starlark's integers have no limit, and reading one takes time by the square of
	// its length.
	maxDigits = 1000
)

// readable finds what keeps a whole file from being read.
func (t *Tree) readable() bool {
	text := t.File.Text
	if len(text) > MaxFileSize {
		t.Findings = append(t.Findings, diag.Diagnostic{
			Rule: ruleTooLarge,
			Message: fmt.Sprintf("the file has more than %s bytes (8 MiB), the most a plan's file may have",
				thousands(MaxFileSize)),
			Primary: diag.Label{Span: t.File.Span(0, 0)},
			Help:    "split it into several files and load them",
		})
		return false
	}
	if !utf8.ValidString(text) {
		at := firstInvalid(text)
		p := t.File.Point(at)
		help := "save the file with the encoding UTF-8"
		if strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff") {
			help = "the file looks like UTF-16; " + help
		}
		t.Findings = append(t.Findings, diag.Diagnostic{
			Rule: ruleNotUTF8,
			Message: fmt.Sprintf("byte %s of the file, on line %s, is 0x%02X, which is not UTF-8",
				thousands(at+1), thousands(int(p.Line)), text[at]),
			Primary: diag.Label{Span: t.File.Span(at, at+1)},
			Help:    help,
		})
		return false
	}
	if strings.HasPrefix(text, mark) {
		span := t.File.Span(0, len(mark))
		t.Findings = append(t.Findings, diag.Diagnostic{
			Rule:    ruleByteOrderMark,
			Message: "the file begins with a byte order mark, which plans do not need",
			Primary: diag.Label{Span: span},
			Fixes:   []diag.Fix{{Title: "Take the byte order mark out", Edits: []diag.Edit{{Span: span}}, Safe: true}},
		})
	}
	return true
}

func firstInvalid(text string) int {
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return len(text)
}

// markSize is the number of bytes before the first that is text.
func markSize(text string) int {
	if strings.HasPrefix(text, mark) {
		return len(mark)
	}
	return 0
}

// hasLongNumber tells whether the text may hold a number of more digits than allowed, by looking at one
// byte in maxDigits. It may be wrong about a long word or text, never about a number.
func hasLongNumber(text string) bool {
	for i := maxDigits; i < len(text); i += maxDigits {
		if !isHex(text[i]) {
			continue
		}
		from, to := i, i
		for from > 0 && isHex(text[from-1]) {
			from--
		}
		for to < len(text) && isHex(text[to]) {
			to++
		}
		if to-from > maxDigits {
			return true
		}
	}
	return false
}

func isHex(b byte) bool { return isDigit(b) || 'a' <= b && b <= 'f' || 'A' <= b && b <= 'F' }

func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
