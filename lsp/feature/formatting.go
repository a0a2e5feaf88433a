package feature

import (
	"strings"

	"haulm/lang/diag"
	"haulm/lang/format"
	"haulm/lang/source"
)

// Format gives the changes that lay the file out. In a file with broken statements those that are whole
// are laid out; an error says what kept every one of them from it.
func (d *Doc) Format() ([]diag.Edit, error) {
	text, err := format.Format(d.File)
	if err == nil {
		return lineEdits(d.File, 0, len(d.File.Text), text), nil
	}
	edits, laid := d.formatParts(d.whole().split())
	if laid == 0 {
		return nil, err
	}
	return edits, nil
}

// FormatIn gives the changes that lay out the statements that a stretch touches, as far as they are whole.
func (d *Doc) FormatIn(in source.Span) []diag.Edit {
	edits, _ := d.formatParts(d.within(in))
	return edits
}

// formatParts lays statements out one by one and counts those that could be.
func (d *Doc) formatParts(parts []*Part) (edits []diag.Edit, laid int) {
	for _, p := range parts {
		code := p.code()
		if len(code) == 0 {
			continue
		}
		text := d.File.Text
		start, end := beginOfLine(text, code[0].Start), endOfLine(text, code[len(code)-1].End)
		out, err := format.Format(source.New(d.File.Path, text[start:end]))
		if err != nil {
			continue
		}
		laid++
		if d.lineEnd() == "\r\n" {
			out = strings.ReplaceAll(strings.ReplaceAll(out, "\r\n", "\n"), "\n", "\r\n")
		}
		edits = append(edits, lineEdits(d.File, start, end, strings.TrimRight(out, "\r\n"))...)
	}
	return edits, laid
}

// maxTable bounds the work of telling lines that stayed from those that changed.
const maxTable = 4 << 20

// lineEdits gives the edits that make a stretch of a file a new text. Lines that stay are left alone, so
// that a cursor in them stays where it is.
func lineEdits(f *source.File, start, end int, text string) []diag.Edit {
	before, after := strings.SplitAfter(f.Text[start:end], "\n"), strings.SplitAfter(text, "\n")
	for len(before) > 0 && len(after) > 0 && before[0] == after[0] {
		start += len(before[0])
		before, after = before[1:], after[1:]
	}
	for len(before) > 0 && len(after) > 0 && before[len(before)-1] == after[len(after)-1] {
		before, after = before[:len(before)-1], after[:len(after)-1]
	}
	var edits []diag.Edit
	i, j := 0, 0
	change := func(toI, toJ int) {
		if toI > i || toJ > j {
			was := strings.Join(before[i:toI], "")
			edits = append(edits, diag.Edit{Span: f.Span(start, start+len(was)), Text: strings.Join(after[j:toJ], "")})
			start += len(was)
		}
		i, j = toI, toJ
	}
	for _, pair := range common(before, after) {
		change(pair[0], pair[1])
		start += len(before[i])
		i, j = i+1, j+1
	}
	change(len(before), len(after))
	return edits
}

// common gives the pairs of lines that two texts have in common, the most there are in one order; none
// when there are too many lines to tell.
func common(a, b []string) [][2]int {
	n, m := len(a), len(b)
	if n == 0 || m == 0 || n > maxTable/m {
		return nil
	}
	length := make([]int32, (n+1)*(m+1)) // of what the rests from i and j on have in common
	at := func(i, j int) *int32 { return &length[i*(m+1)+j] }
	for i := n - 1; i >= 0; i-- {
		for j := m - 1; j >= 0; j-- {
			*at(i, j) = max(*at(i+1, j), *at(i, j+1))
			if a[i] == b[j] {
				*at(i, j) = *at(i+1, j+1) + 1
			}
		}
	}
	var pairs [][2]int
	for i, j := 0, 0; i < n && j < m; {
		switch {
		case a[i] == b[j]:
			pairs = append(pairs, [2]int{i, j})
			i, j = i+1, j+1
		case *at(i+1, j) >= *at(i, j+1):
			i++
		default:
			j++
		}
	}
	return pairs
}
