package report

import (
	"bufio"
	"io"
	"slices"
	"strings"

	"haulm/lang/source"
)

const (
	columnGap  = 2
	narrowText = 8  // a column of names is never squeezed below this
	shortText  = 16 // nor below this to make room for another column
	widestText = 40 // names longer than this are broken, even where there is room
	dash       = "—"

	cautionWidth = 100 // of a caution where the lines have no limit
)

// WriteText writes the table in aligned columns for lines of so many terminal columns; 0 is no limit.
// Where it does not fit, the least needed columns are left out, and a last line says which; then
// names are broken over several lines.
func (t Table) WriteText(w io.Writer, width int) error {
	out := bufio.NewWriter(w)
	if len(t.Rows) == 0 {
		out.WriteString("The plan has no " + strings.ReplaceAll(t.Name, "_", " ") + ".\n")
		return out.Flush()
	}
	g := t.grid()
	left := g.fit(width)
	g.writeRow(out, g.heads, true)
	g.writeRule(out)
	for _, row := range g.rows {
		g.writeRow(out, row, false)
	}
	if g.totals != nil {
		g.writeRule(out)
		g.writeRow(out, g.totals, false)
	}
	if len(left) > 0 {
		note := "Not shown, for want of room: " + strings.Join(left, ", ") + "; the csv form has every column."
		for _, line := range breakLines(note, max(width, narrowText)) {
			out.WriteString(line + "\n")
		}
	}
	if t.caution != "" {
		wide := width
		if wide == 0 {
			wide = cautionWidth
		}
		out.WriteByte('\n')
		for part := range strings.SplitSeq(t.caution, "\n") {
			for _, line := range breakLines(part, max(wide, narrowText)) {
				out.WriteString(line + "\n")
			}
		}
	}
	return out.Flush()
}

// grid is a table as text, with the columns that are shown and their widths.
type grid struct {
	columns []*Column
	widths  []int
	heads   []string
	rows    [][]string
	totals  []string
}

func (t *Table) grid() *grid {
	g := &grid{rows: make([][]string, len(t.Rows))}
	if t.Totals != nil {
		g.totals = []string{}
	}
	for i := range t.Columns {
		col := &t.Columns[i]
		if !col.in(inText) || col.optional && !t.anyKnown(i) {
			continue
		}
		g.columns = append(g.columns, col)
		g.heads = append(g.heads, col.Head)
		widest := 0 // heads are broken between words
		for word := range strings.FieldsSeq(col.Head) {
			widest = max(widest, source.TextColumns(word))
		}
		for j := range t.Rows {
			text := t.print(col, &t.Rows[j][i])
			if text == "" {
				text = dash
			}
			g.rows[j] = append(g.rows[j], text)
			widest = max(widest, source.TextColumns(text))
		}
		if t.Totals != nil {
			text := t.print(col, &t.Totals[i])
			g.totals = append(g.totals, text)
			widest = max(widest, source.TextColumns(text))
		}
		if !col.Right {
			widest = min(widest, widestText)
		}
		g.widths = append(g.widths, widest)
	}
	return g
}

func (t *Table) anyKnown(column int) bool {
	for _, row := range t.Rows {
		if !row[column].none() {
			return true
		}
	}
	return false
}

// fit leaves columns out and squeezes names until the lines are no wider than asked, as far as that can
// be done. It returns the heads of the columns left out.
func (g *grid) fit(width int) []string {
	if width <= 0 || g.width() <= width {
		return nil
	}
	natural := slices.Clone(g.widths)
	for g.width() > width && g.squeeze(shortText) {
	}
	order := make([]int, 0, len(g.columns))
	room := width + columnGap
	for i, col := range g.columns {
		if col.keep > 0 {
			order = append(order, i)
		} else {
			room -= g.widths[i] + columnGap
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return g.columns[b].keep - g.columns[a].keep })
	out := make([]bool, len(g.columns))
	for _, i := range order {
		if need := g.widths[i] + columnGap; need <= room {
			room -= need
		} else {
			out[i] = true
		}
	}
	var heads []string
	for i := len(out) - 1; i >= 0; i-- {
		if out[i] {
			heads = append(heads, g.heads[i])
			g.drop(i)
			natural = slices.Delete(natural, i, i+1)
		}
	}
	slices.Reverse(heads)
	for g.width() > width && g.squeeze(narrowText) {
	}
	for i := range g.widths { // room that is left goes back to the names
		g.widths[i] = min(natural[i], g.widths[i]+max(0, width-g.width()))
	}
	return heads
}

func (g *grid) width() int {
	sum := (len(g.widths) - 1) * columnGap
	for _, w := range g.widths {
		sum += w
	}
	return sum
}

func (g *grid) drop(at int) {
	g.columns = slices.Delete(g.columns, at, at+1)
	g.widths = slices.Delete(g.widths, at, at+1)
	g.heads = slices.Delete(g.heads, at, at+1)
	if g.totals != nil {
		g.totals = slices.Delete(g.totals, at, at+1)
	}
	for i := range g.rows {
		g.rows[i] = slices.Delete(g.rows[i], at, at+1)
	}
}

// squeeze takes one character off the widest column of names; false when none is wider than least.
func (g *grid) squeeze(least int) bool {
	at := -1
	for i, col := range g.columns {
		if !col.Right && g.widths[i] > least && (at < 0 || g.widths[i] > g.widths[at]) {
			at = i
		}
	}
	if at < 0 {
		return false
	}
	g.widths[at]--
	return true
}

func (g *grid) writeRule(out *bufio.Writer) {
	for i, w := range g.widths {
		if i > 0 {
			out.WriteString(strings.Repeat(" ", columnGap))
		}
		out.WriteString(strings.Repeat("─", w))
	}
	out.WriteByte('\n')
}

// writeRow writes one row, over as many lines as its longest name needs; heads stand at the foot of theirs.
func (g *grid) writeRow(out *bufio.Writer, row []string, atFoot bool) {
	cells := make([][]string, len(row))
	lines := 1
	for i, text := range row {
		cells[i] = []string{text}
		if source.TextColumns(text) > g.widths[i] {
			cells[i] = breakLines(text, g.widths[i])
		}
		lines = max(lines, len(cells[i]))
	}
	for n := range lines {
		var line strings.Builder
		for i := range cells {
			if i > 0 {
				line.WriteString(strings.Repeat(" ", columnGap))
			}
			text, at := "", n
			if atFoot {
				at -= lines - len(cells[i])
			}
			if at >= 0 && at < len(cells[i]) {
				text = cells[i][at]
			}
			pad := strings.Repeat(" ", max(0, g.widths[i]-source.TextColumns(text)))
			if g.columns[i].Right {
				line.WriteString(pad + text)
			} else {
				line.WriteString(text + pad)
			}
		}
		out.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

// breakLines breaks a text at spaces into lines of at most so many columns, and within a word that is
// longer than a line.
func breakLines(text string, most int) []string {
	var lines []string
	line, have := "", 0
	for word := range strings.FieldsSeq(text) {
		need := source.TextColumns(word)
		if have > 0 && have+1+need > most {
			lines = append(lines, line)
			line, have = "", 0
		}
		if have > 0 {
			line += " "
			have++
		}
		for _, r := range word {
			n := source.Columns(r)
			if have > 0 && have+n > most {
				lines = append(lines, line)
				line, have = "", 0
			}
			line += string(r)
			have += n
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
