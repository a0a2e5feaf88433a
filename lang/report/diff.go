package report

import (
	"bufio"
	"io"
	"slices"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diff"
	"haulm/stdlib/quantity"
)

// DiffText writes what changed between two farms for people: plot by plot every change with its values before and
// after and what it makes of plants, water and the rest, then the totals, what to buy, and the findings that came
// and went. Lines are broken at the width; 0 is no limit.
func DiffText(d *diff.Diff, w io.Writer, width int) error {
	t := &diffText{d: d, out: bufio.NewWriter(w), width: width}
	if d.Same() {
		t.line("", "", "Nothing changed.")
		return t.out.Flush()
	}
	t.line("", "", diffTitle(d)+": "+diffTally(d))
	for _, g := range diffGroups(d.Changes) {
		t.out.WriteByte('\n')
		t.line("", "", g.name)
		for _, c := range g.changes {
			t.change(c, g.name)
		}
	}
	t.table(t.totalsTable())
	t.table(t.goodsTable())
	t.findings("Findings gained", d.Gained)
	t.findings("Findings lost", d.Lost)
	return t.out.Flush()
}

// DiffStat writes one line for each plot in which something changed, and one for what belongs to no plot.
func DiffStat(d *diff.Diff, w io.Writer) error {
	t := &diffText{d: d, out: bufio.NewWriter(w)}
	if d.Same() {
		t.line("", "", "Nothing changed.")
		return t.out.Flush()
	}
	for _, g := range diffGroups(d.Changes) {
		words := []string{diff.TallyTypes(g.changes)}
		for _, total := range d.Totals {
			by := int64(0)
			for _, c := range g.changes {
				for _, e := range c.Effects {
					if e.Total == total {
						by += e.New - e.Old
					}
				}
			}
			if t.shows(total, by) {
				words = append(words, total.Name+" "+t.by(total, by))
			}
		}
		gained, lost := 0, 0
		for _, c := range g.changes {
			gained, lost = gained+len(c.Gained), lost+len(c.Lost)
		}
		if gained > 0 {
			words = append(words, countOf(gained, "finding")+" gained")
		}
		if lost > 0 {
			words = append(words, countOf(lost, "finding")+" lost")
		}
		t.line("", "", g.name+": "+strings.Join(words, "; "))
	}
	return t.out.Flush()
}

// diffText is a diff being written as text.
type diffText struct {
	d     *diff.Diff
	out   *bufio.Writer
	width int
}

func (t *diffText) units() quantity.System { return diffUnits(t.d) }

func diffUnits(d *diff.Diff) quantity.System {
	if d.New.Facts != nil && d.New.Facts.Farm != nil {
		return d.New.Facts.Farm.Units
	}
	return quantity.US
}

// line writes words after a lead; lines that they are broken into hang under the first one's words.
func (t *diffText) line(indent, lead, words string) {
	words = printable(words)
	room := t.width - len([]rune(indent+lead))
	lines := []string{words}
	if t.width > 0 && room >= narrowText {
		lines = breakLines(words, room)
	}
	for i, l := range lines {
		if i > 0 {
			lead = strings.Repeat(" ", len([]rune(lead)))
		}
		t.out.WriteString(indent + lead + l + "\n")
	}
}

// diffGroup is the changes of one plot, or of the whole farm.
type diffGroup struct {
	name    string
	plot    *derive.Plot
	changes []*diff.Change
}

const wholeFarm = "The whole farm"

// diffGroups cuts the changes, which come plot by plot, into those of each.
func diffGroups(changes []*diff.Change) []diffGroup {
	var groups []diffGroup
	for _, c := range changes {
		name := wholeFarm
		if c.Plot != nil {
			name = c.Plot.Decl.Name.Value
		}
		if n := len(groups); n > 0 && groups[n-1].plot == c.Plot {
			groups[n-1].changes = append(groups[n-1].changes, c)
			continue
		}
		groups = append(groups, diffGroup{name, c.Plot, []*diff.Change{c}})
	}
	return groups
}

// diffTitle gives "Ferry Bank, 2027", or both names where they differ.
func diffTitle(d *diff.Diff) string {
	was, is := (&mapper{facts: orEmpty(d.Old.Facts)}).farmTitle(), (&mapper{facts: orEmpty(d.New.Facts)}).farmTitle()
	if was == is {
		return is
	}
	return was + " to " + is
}

func diffTally(d *diff.Diff) string {
	words := []string{countOf(len(d.Changes), "change")}
	if len(d.Gained) > 0 {
		words = append(words, countOf(len(d.Gained), "finding")+" gained")
	}
	if len(d.Lost) > 0 {
		words = append(words, countOf(len(d.Lost), "finding")+" lost")
	}
	return strings.Join(words, ", ")
}

// typesText gives "moved, resized".
func typesText(c *diff.Change) string {
	words := make([]string, len(c.Types))
	for i, typ := range c.Types {
		words[i] = typ.String()
	}
	return strings.Join(words, ", ")
}

// sign marks a change so that the eye finds what came and went.
func sign(c *diff.Change) string {
	switch {
	case c.Is(diff.Added):
		return "+"
	case c.Is(diff.Removed):
		return "−"
	case c.Is(diff.Moved):
		return "→"
	}
	return "~"
}

// diffSubject names what changed, without the plot that the group is headed by.
func diffSubject(c *diff.Change, group string) string {
	thing := c.Thing()
	if thing.Kind == "farm" {
		return thing.Title
	}
	if thing.Kind == "plot" {
		return "the plot"
	}
	switch { // what is gone is called by the name that its plot had
	case thing.Item.Row != nil:
		group = thing.Item.Row.Plot.Decl.Name.Value
	case thing.Item.Planting != nil:
		group = thing.Item.Planting.Row.Plot.Decl.Name.Value
	}
	return strings.Replace(thing.Title, group+", ", "", 1)
}

// headline says what happened to what: "row 3, kale: moved, rescheduled (the same crop in the same plot)".
func (t *diffText) headline(c *diff.Change, group string) string {
	head := diffSubject(c, group)
	if head != "" {
		head += ": "
	}
	head += typesText(c)
	if about := diffAbout(c); about != "" {
		head += ", " + about
	}
	if c.Grounds != "" {
		head += " (" + c.Grounds + ")"
	}
	return head
}

func (t *diffText) change(c *diff.Change, group string) {
	t.line("  ", sign(c)+" ", t.headline(c, group))
	for _, a := range c.Aspects {
		t.line("      ", "", aspectText(a))
	}
	for _, line := range t.follows(c) {
		t.line("      ", "⇒ ", line)
	}
}

// follows says what a change makes of the totals and of the findings, in a line each.
func (t *diffText) follows(c *diff.Change) []string {
	var lines []string
	var words []string
	for _, e := range c.Effects {
		if t.shows(e.Total, e.New-e.Old) {
			words = append(words, e.Total.Name+" "+t.by(e.Total, e.New-e.Old))
		}
	}
	if len(words) > 0 {
		lines = append(lines, strings.Join(words, ", "))
	}
	if len(c.Gained) > 0 {
		lines = append(lines, codesText("gained", c.Gained))
	}
	if len(c.Lost) > 0 {
		lines = append(lines, codesText("lost", c.Lost))
	}
	return lines
}

func codesText(what string, list []*diff.Finding) string {
	var codes []string
	for _, f := range list {
		if !slices.Contains(codes, f.Code()) {
			codes = append(codes, f.Code())
		}
	}
	return countOf(len(list), "finding") + " " + what + ": " + strings.Join(codes, ", ")
}

// diffAbout says in a few words what came or went.
func diffAbout(c *diff.Change) string {
	if !c.Is(diff.Added) && !c.Is(diff.Removed) && !c.Is(diff.Split) && !c.Is(diff.Joined) {
		return ""
	}
	item := c.Thing().Item
	switch {
	case item.Planting != nil:
		p := item.Planting
		text := countOf(p.Plants, "plant")
		if p.Plant.IsSet() {
			text += " on " + p.Plant.Long(p.Plant.Year())
		}
		return text
	case item.Row != nil && len(item.Row.Plantings) == 0:
		return "nothing planted"
	case item.Plot != nil:
		return countOf(len(item.Plot.Rows), "row") + ", " + countOf(item.Plot.Plants, "plant")
	}
	return ""
}

// aspectText gives "length: 42 ft → 44 ft".
func aspectText(a diff.Aspect) string {
	return a.Name + ": " + orNone(a.Old) + " → " + orNone(a.New)
}

func orNone(text string) string {
	if text == "" {
		return "none"
	}
	return text
}

// by gives a difference of a total with its sign.
func (t *diffText) by(total *diff.Total, steps int64) string {
	if steps < 0 {
		return "−" + totalText(t.units(), total, -steps)
	}
	return "+" + totalText(t.units(), total, steps)
}

// shows tells whether a difference is large enough to be seen as it is printed.
func (t *diffText) shows(total *diff.Total, steps int64) bool {
	return strings.ContainsAny(totalText(t.units(), total, max(steps, -steps)), "123456789")
}

// totalText prints an amount of a total.
func totalText(units quantity.System, total *diff.Total, steps int64) string {
	t := Table{units: units}
	x := total.Value(steps)
	cell := numberCell(x)
	switch {
	case total.Money:
		cell = moneyCell(x)
	case total.Dim == quantity.Volume: // in one unit, small or large, so that they can be added up by eye
		unit := t.unit("gal", "l")
		return decimal(quantity.Of(x, total.Dim).In(unit), 1) + " " + unit.Symbol
	case total.Dim != quantity.Ratio:
		cell = amountCell(quantity.Of(x, total.Dim))
	}
	return t.print(&Column{}, &cell)
}

// totalsTable lists the totals that differ.
func (t *diffText) totalsTable() Table {
	table := Table{Name: "totals", units: t.units(), Columns: []Column{
		{Head: "total", Key: "total"}, {Head: "before", Key: "old", Right: true}, {Head: "now", Key: "new", Right: true}, {Head: "change", Key: "change", Right: true},
	}}
	for _, total := range t.d.Totals {
		if t.shows(total, total.New-total.Old) {
			table.Rows = append(table.Rows, []Cell{textCell(total.Name), textCell(totalText(t.units(), total, total.Old)),
				textCell(totalText(t.units(), total, total.New)), textCell(t.by(total, total.New-total.Old))})
		}
	}
	return table
}

// goodsTable lists what to buy more or less of.
func (t *diffText) goodsTable() Table {
	table := Table{Name: "goods", units: t.units(), Columns: []Column{
		{Head: "bought", Key: "item"}, {Head: "before", Key: "old", Right: true}, {Head: "now", Key: "new", Right: true},
	}}
	for _, g := range t.d.Goods {
		table.Rows = append(table.Rows, []Cell{textCell(g.Name), textCell(t.goodText(g, g.Old)), textCell(t.goodText(g, g.New))})
	}
	return table
}

// goodText gives "2 rolls", "14 lb", "none".
func (t *diffText) goodText(g diff.Good, q quantity.Quantity) string {
	switch {
	case q.SI == 0:
		return "none"
	case g.Packed != "":
		return countOf(int(q.SI), g.Packed)
	}
	table, cell := Table{units: t.units()}, measureCell(q)
	return table.print(&Column{}, &cell)
}

func (t *diffText) table(table Table) {
	if len(table.Rows) == 0 {
		return
	}
	t.out.WriteByte('\n')
	table.WriteText(t.out, t.width) // the writer keeps its error until it is flushed
}

func (t *diffText) findings(head string, list []*diff.Finding) {
	if len(list) == 0 {
		return
	}
	t.out.WriteByte('\n')
	t.line("", "", head)
	for _, f := range list {
		t.line("  ", "", findingText(f))
	}
}

func findingText(f *diff.Finding) string {
	return f.Rule.Severity.String() + " " + f.Code() + ": " + f.Message
}
