package next

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/eval"
	"haulm/lang/farm"
)

// writer writes a draft as plan text in one layout.
type writer struct {
	*draft
	l     *layout
	names map[any]string
	taken map[string]bool
	loads map[string]bool         // crops of the table that are spoken of
	place map[*farm.Row]*farm.Row // where what a row holds goes to: that row's place
	b     strings.Builder
	line  int          // lines written
	plots []*farm.Plot // whose section each line belongs to, nil for none
	notes []noted      // accept comments, by line
	plot  *farm.Plot   // whose section is being written

	numbers map[*farm.Plot]int // rows with a name of their own so far
}

// noted is an accept comment with the line that it stands in.
type noted struct {
	line int
	call *eval.Call
	code string
}

// text is a plan as a writer wrote it.
type text struct {
	string
	plots []*farm.Plot // whose section each line, from 0, belongs to
	notes []noted
}

// write writes the draft.
func (d *draft) write(l *layout) *text {
	w := &writer{
		draft: d, l: l, names: map[any]string{}, taken: reserved(), loads: map[string]bool{}, place: d.places(l),
		numbers: map[*farm.Plot]int{},
	}
	for _, s := range []struct {
		of    section
		title string
	}{
		{placeSection, ""},
		{waterSection, "Water."},
		{productSection, "What is fed and sprayed. Labels are the law; a new container may say otherwise."},
		{nurserySection, "The nursery."},
		{cropSection, "Varieties and crops of our own."},
	} {
		w.section(s.of, s.title)
	}
	for _, p := range d.farm.Plots {
		w.ground(p)
	}
	w.plot = nil
	w.section(restSection, "Work, sales and stock.")
	w.ownTasks()
	return w.finish()
}

// finish puts what goes before everything else there.
func (w *writer) finish() *text {
	head := w.header
	if len(w.loads) > 0 {
		var words []string
		for name := range w.loads {
			words = append(words, strconv.Quote(name))
		}
		slices.Sort(words)
		head += "load(\"crops\", " + strings.Join(words, ", ") + ")\n\n"
	}
	before := strings.Count(head, "\n")
	t := &text{string: head + w.b.String(), plots: append(make([]*farm.Plot, before), w.plots...), notes: w.notes}
	for i := range t.notes {
		t.notes[i].line += before
	}
	return t
}

// put writes lines.
func (w *writer) put(lines ...string) {
	for _, l := range lines {
		w.b.WriteString(l + "\n")
		w.line++
		w.plots = append(w.plots, w.plot)
	}
}

// section writes the calls of a section in their order.
func (w *writer) section(of section, title string) {
	first := true
	for _, c := range w.calls {
		if w.sectionOf(c) != of || w.inlined(c) {
			continue
		}
		if first && title != "" {
			w.put("", "# "+title)
		}
		first = false
		if of == placeSection {
			w.put("")
		}
		w.call(c)
	}
}

// call writes one call as a statement.
func (w *writer) call(c *eval.Call) {
	w.comments(c, "")
	if w.isOut(c) {
		loads := maps.Clone(w.loads)
		w.put("# " + w.callText(c, c.Args))
		w.loads = loads
		return
	}
	line := w.callText(c, c.Args)
	w.put(w.assigned(c) + line)
	if c.Of.Name == "farm" && w.previous != "" {
		w.put("", "# What stood where: rotation is judged by it.", "previous("+strconv.Quote(w.previous)+")", "")
	}
}

// assigned begins a statement whose value something speaks of.
func (w *writer) assigned(c *eval.Call) string {
	if len(c.Gave) != 1 {
		return ""
	}
	_, isPlot := c.Gave[0].(*farm.Plot)
	if w.refs[c.Gave[0]] == 0 && !(isPlot && len(w.l.to) > 0) { // rows may come to a plot that had none
		return ""
	}
	words, otherwise := speaking(c, c.Gave[0])
	if p, ok := c.Gave[0].(*farm.Planting); ok && p.Row != nil && p.Crop != nil {
		words = w.names[p.Row] + " " + p.Crop.Name
	}
	name := w.take(words, otherwise)
	w.names[c.Gave[0]] = name
	return name + " = "
}

// callText writes a call with some arguments.
func (w *writer) callText(c *eval.Call, args []eval.Arg) string {
	of := c.Of.Name
	if c.On != nil {
		of = w.thing(c.On) + "." + of
	}
	return of + "(" + strings.Join(w.argTexts(c, c.Of, args), ", ") + ")"
}

func (w *writer) argTexts(c *eval.Call, of *eval.Builtin, args []eval.Arg) []string {
	var texts []string
	free := true
	for i := range args {
		a := &args[i]
		if w.leavesOut(c, a) {
			continue
		}
		free = free && i < of.Free && of.Params[i].Name == a.Param.Name
		text := ""
		if to, ok := w.instead(c, a); ok {
			text = to
		} else {
			text = w.argText(c, a)
		}
		if !free {
			text = a.Param.Name + " = " + text
		}
		texts = append(texts, text)
	}
	if o := w.own[c]; o != nil {
		for _, a := range o.args {
			texts = append(texts, a.name+" = "+a.text)
		}
	}
	if of.Name == "rows" {
		texts = append(texts, w.zoneText(c.Gave[len(c.Gave)/2].(*farm.Row))...)
	}
	return texts
}

// thing is how the text speaks of something declared.
func (w *writer) thing(t any) string {
	if p, ok := t.(*farm.Plot); ok && w.names[p] == "" {
		return strconv.Quote(p.Name.Value)
	}
	if name := w.names[t]; name != "" {
		return name
	}
	if crop, ok := t.(*farm.Crop); ok && !crop.Call.IsValid() {
		w.loads[crop.Ident] = true
		return crop.Ident
	}
	if c := w.gave[t]; c != nil {
		return w.callText(c, c.Args)
	}
	return "None"
}

// comments writes what is told beside a call: what was changed, and what is accepted.
func (w *writer) comments(c *eval.Call, indent string) {
	for _, text := range w.remarks(c) {
		w.put(indent + "# " + text)
	}
	for _, a := range w.accepts[c] {
		w.notes = append(w.notes, noted{w.line, c, a.code})
		w.put(indent + "# accept: " + a.code + " — " + a.reason)
	}
}
