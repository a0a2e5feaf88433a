package feature

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/solve"
	"haulm/lang/source"
	"haulm/stdlib/quantity"
)

// solved offers the spacing, number or length at which the planting at the place comes out.
func (a *actor) solved() {
	call, p := a.planting()
	if p == nil {
		return
	}
	s := &solver{actor: a, call: call, planting: p, units: a.doc.units()}
	decl := p.Decl
	verb := "Plant "
	if decl.Direct {
		verb = "Sow "
	}
	switch {
	case decl.Count.Given:
		if n, ok := solve.GreatestCount(p); ok && n != decl.Count.Value && (n < decl.Count.Value || !crowds(p)) {
			s.offer("count", strconv.Itoa(n), verb+s.inAll(strconv.Itoa(n))+", as many as fit")
		}
		s.spacing()
	case decl.Length.Given:
		if v, ok := solve.GreatestLength(p, s.units); ok && differ(v, decl.Length.Value.SI) && (v < decl.Length.Value.SI || !crowds(p)) {
			s.offer("length", s.expr(v), verb+s.long(v)+", as much as fits")
		}
	case decl.Fill.Given && p.Placed():
		s.offer("fill", "", "Write the number out: "+s.inAll(counted(p.PerLine, "plant")))
	}
	if crop := decl.Crop; p.Placed() && decl.Spacing.Given {
		r := crop.InRow.Told(s.units)
		v, ok := solve.SpacingWithin(p.Spacing, &r, s.units)
		if ok && differ(v, p.Spacing) && (v < p.Spacing || !crowds(p)) {
			s.offer("spacing", s.expr(v), fmt.Sprintf("Set spacing to %s, the nearest that suits %s", s.short(v), crop.Title()))
		}
	}
}

// planting gives the call of plant or sow at the place and the one planting that it made.
func (a *actor) planting() (*Call, *derive.Planting) {
	calls := a.part.Calls()
	at := -1
	for i, c := range calls {
		if b := c.Builtin(); b != nil && isPlanting(b) && meet(c.Span, a.in) {
			at = i
		}
	}
	if at < 0 {
		return nil, nil
	}
	facts := a.doc.past(a.part, calls)
	things := facts.things(at)
	if facts.stale || len(things) != 1 || things[0].Planting == nil || things[0].Through {
		return nil, nil
	}
	return calls[at], things[0].Planting
}

type solver struct {
	actor    *actor
	call     *Call
	planting *derive.Planting
	units    quantity.System
}

// spacing offers the widest spacing at which the plants counted fit, when it suits the crop.
func (s *solver) spacing() {
	p := s.planting
	v, ok := solve.LargestSpacing(p, s.units)
	if r := p.Decl.Crop.InRow.Told(s.units); r.Known() && (v < r.Low || v > r.High) {
		return
	}
	if ok && differ(v, p.Spacing) && (v < p.Spacing || !crowds(p)) {
		s.offer("spacing", s.expr(v), fmt.Sprintf("Set spacing to %s, the widest at which %s fit", s.short(v), s.inAll(counted(p.PerLine, "plant"))))
	}
}

// crowds tells whether a planting that takes more of its row pushes along another, declared after it.
func crowds(p *derive.Planting) bool {
	return slices.ContainsFunc(p.Row.Plantings, func(q *derive.Planting) bool {
		return q.Decl.Order > p.Decl.Order && q.Overlaps(p)
	})
}

// inAll adds to a number for each line of how many lines it is.
func (s *solver) inAll(text string) string {
	if lines := len(s.planting.Row.Lines); lines > 1 {
		text += fmt.Sprintf(" in each of %d lines", lines)
	}
	return text
}

func (s *solver) expr(v float64) string  { return s.units.Expr(quantity.Meters(v)) }
func (s *solver) short(v float64) string { return s.units.Short(quantity.Meters(v)) }
func (s *solver) long(v float64) string  { return s.units.Format(quantity.Meters(v)) }

func differ(a, b float64) bool { return math.Abs(a-b) > 1e-6 }

// offer gives an argument a new value, or adds it behind the one that says how much is planted. A fill
// becomes a count.
func (s *solver) offer(name, text, title string) {
	if edit, ok := s.edit(name, text); ok {
		s.actor.add(Action{Title: title, Kind: ActionRewrite, Edits: []diag.Edit{edit}})
	}
}

func (s *solver) edit(name, text string) (diag.Edit, bool) {
	args := s.call.Args
	if i := slices.IndexFunc(args, func(a Arg) bool { return a.Name == name }); i >= 0 {
		a := args[i]
		if name == "fill" {
			span := source.Span{File: a.Key.File, Start: a.Key.Start, End: a.Value.End}
			return diag.Edit{Span: span, Text: "count = " + strconv.Itoa(s.planting.PerLine)}, true
		}
		return diag.Edit{Span: a.Value, Text: text}, true
	}
	amount := slices.IndexFunc(args, func(a Arg) bool { return isAmount(a.Name) })
	if amount < 0 || slices.ContainsFunc(args, func(a Arg) bool { return a.Star != "" }) {
		return diag.Edit{}, false
	}
	f, a := s.call.Span.File, args[amount]
	start := f.Offset(a.Key.Start)
	space := indentOf(f.Text, start)
	if beginOfLine(f.Text, start)+len(space) == start { // on a line of its own, where a remark may follow it
		return diag.Edit{Span: f.Span(start, start), Text: name + " = " + text + "," + s.actor.doc.lineEnd() + space}, true
	}
	end := f.Offset(a.Value.End)
	return diag.Edit{Span: f.Span(end, end), Text: ", " + name + " = " + text}, true
}
