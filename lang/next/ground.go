package next

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/lang/report"
)

// unit is a row, or the rows of one call, with everything that is said of them alone.
type unit struct {
	call      *eval.Call
	rows      []*farm.Row
	followers []*eval.Call
}

// ground writes the section of a plot.
func (w *writer) ground(p *farm.Plot) {
	w.plot = p
	var units []*unit
	var head, tail []*eval.Call
	of := map[*farm.Row]*unit{}
	for _, c := range w.calls {
		if w.sectionOf(c) != groundSection || w.plotSection(c) != p || w.inlined(c) {
			continue
		}
		switch c.Of.Name {
		case "row", "rows":
			for _, u := range w.unitsOf(c) {
				units = append(units, u)
				for _, r := range u.rows {
					of[r] = u
				}
			}
		case "soil_test", "soil", "plot", "history", "credit":
			head = append(head, c)
		default:
			tail = append(tail, c)
		}
	}
	if slices.ContainsFunc(units, func(u *unit) bool { return w.l.turn[u.rows[0].Plot] > 0 }) {
		slices.SortStableFunc(units, func(a, b *unit) int {
			x, y := w.placeOf(a.rows[0]).At.Value.SI, w.placeOf(b.rows[0]).At.Value.SI
			switch {
			case x < y:
				return -1
			case x > y:
				return 1
			}
			return 0
		})
	}
	tail = slices.DeleteFunc(tail, func(c *eval.Call) bool {
		u := onlyUnit(c, of)
		if u != nil {
			u.followers = append(u.followers, c)
		}
		return u != nil
	})
	for _, u := range units {
		slices.SortStableFunc(u.followers, func(a, b *eval.Call) int { return rank(a) - rank(b) })
	}
	w.put("", "# "+report.InComment(p.Name.Value)+".")
	for _, line := range w.told[p] {
		w.put("# " + line)
	}
	for _, c := range head {
		w.call(c)
	}
	for _, said := range w.grown[p] {
		w.put("history(" + w.thing(p) + ", " + said + ")")
	}
	w.units(p, units)
	for _, c := range tail {
		w.call(c)
	}
}

// rank puts what is said of a row in order: what grows there, what holds it up, all else.
func rank(c *eval.Call) int {
	switch c.Of.Name {
	case "plant", "sow":
		return 0
	case "trellis":
		return 1
	}
	return 2
}

// onlyUnit is the unit that a call speaks of when it speaks of one alone.
func onlyUnit(c *eval.Call, of map[*farm.Row]*unit) *unit {
	var only *unit
	for i := range c.Args {
		for _, t := range c.Args[i].Things {
			var u *unit
			switch t := t.(type) {
			case *farm.Plot:
				return nil
			case *farm.Row:
				u = of[t]
			case *farm.Planting:
				u = of[t.Row]
			default:
				continue
			}
			if u == nil || only != nil && u != only {
				return nil
			}
			only = u
		}
	}
	return only
}

// unitsOf are the units of a call of row or rows: one, or one for each row where the rows of the plot move.
func (w *writer) unitsOf(c *eval.Call) []*unit {
	var units []*unit
	u := &unit{call: c}
	for _, g := range c.Gave {
		r := g.(*farm.Row)
		if w.l.turn[r.Plot] > 0 {
			units = append(units, &unit{call: c, rows: []*farm.Row{r}})
		}
		u.rows = append(u.rows, r)
	}
	if len(units) > 0 {
		return units
	}
	return []*unit{u}
}

// units writes the rows of a plot with what stands in them. Equal neighbors are written once, in a loop.
func (w *writer) units(p *farm.Plot, units []*unit) {
	for i := 0; i < len(units); {
		u := units[i]
		w.put("")
		if w.isList(u) {
			w.list(p, u)
			i++
			continue
		}
		template, ok := w.template(u)
		j := i + 1
		for ok && j < len(units) && !w.isList(units[j]) {
			next, fine := w.template(units[j])
			if !fine || !slices.Equal(next, template) {
				break
			}
			j++
		}
		if !ok || j == i+1 {
			w.single(p, u)
			i++
			continue
		}
		var at []string
		for _, u := range units[i:j] {
			at = append(at, w.atText(u))
		}
		w.put("for at in [" + strings.Join(at, ", ") + "]:")
		w.inLoop(u, "at")
		w.numbers[p] += j - i
		i = j
	}
}

func (w *writer) isList(u *unit) bool {
	return u.call.Of.Name == "rows" && w.l.turn[u.rows[0].Plot] == 0
}

// list writes rows that one call gives, and what stands in each of them.
func (w *writer) list(p *farm.Plot, u *unit) {
	w.comments(u.call, "")
	w.numbers[p] += len(u.rows)
	name := w.take(w.names[p]+" rows", "beds")
	line := w.callText(u.call, u.call.Args)
	if len(u.followers) == 0 && !slices.ContainsFunc(u.rows, func(r *farm.Row) bool { return w.refs[r] > 0 }) {
		w.put(line)
		return
	}
	w.put(name + " = " + line)
	for i, r := range u.rows {
		w.names[r] = name + "[" + strconv.Itoa(i) + "]"
	}
	for i := 0; i < len(u.followers); {
		first, many := w.run(u, u.followers[i:])
		if many < 2 {
			w.call(u.followers[i])
			i++
			continue
		}
		part := name
		if many < len(u.rows) {
			part = fmt.Sprintf("%s[%d:%d]", name, first, first+many)
		}
		w.put("for r in " + part + ":")
		c := u.followers[i]
		w.comments(c, "    ")
		w.put("    " + w.ofRow(c, u.rows[first], "r"))
		i += many
	}
}

// ofRow writes a call as it reads where a row goes by another name.
func (w *writer) ofRow(c *eval.Call, r *farm.Row, name string) string {
	own := w.names[r]
	w.names[r] = name
	defer func() { w.names[r] = own }()
	return w.callText(c, c.Args)
}

// run counts how many of the calls, from the first, are the same but for the row, which goes on by one.
func (w *writer) run(u *unit, calls []*eval.Call) (first, many int) {
	text := ""
	for i, c := range calls {
		r := oneRow(c)
		if r == nil || len(c.Gave) == 1 && w.refs[c.Gave[0]] > 0 || w.isOut(c) {
			return first, many
		}
		at := slices.Index(u.rows, r)
		said := strings.Join(w.remarks(c), "\n") + acceptText(w.accepts[c]) + w.ofRow(c, r, "r")
		switch {
		case i == 0:
			first, text = at, said
		case at != first+i || said != text:
			return first, many
		}
		many++
	}
	return first, many
}

// oneRow is the row that a call speaks of, nil when it speaks of none or of more.
func oneRow(c *eval.Call) *farm.Row {
	var one *farm.Row
	for i := range c.Args {
		for _, t := range c.Args[i].Things {
			switch t := t.(type) {
			case *farm.Planting:
				return nil
			case *farm.Row:
				if one != nil {
					return nil
				}
				one = t
			}
		}
	}
	return one
}

// single writes one row and what stands in it.
func (w *writer) single(p *farm.Plot, u *unit) {
	r := u.rows[0]
	w.numbers[p]++
	w.comments(u.call, "")
	line := w.rowText(u, w.atText(u))
	if len(u.followers) == 0 && w.refs[r] == 0 {
		w.put(line)
		return
	}
	words := w.names[p] + " " + strconv.Itoa(w.numbers[p])
	if r.Name.Value != "" {
		words = r.Name.Value
	}
	w.names[r] = w.take(words, "the_row")
	w.put(w.names[r] + " = " + line)
	for _, c := range u.followers {
		w.call(c)
	}
}

// template is what a row and what stands in it look like but for the row's place; not ok where something else
// speaks of them.
func (w *writer) template(u *unit) (lines []string, ok bool) {
	r := u.rows[0]
	used := len(u.followers)
	for _, c := range u.followers {
		if oneRow(c) != r || len(c.Gave) == 1 && w.refs[c.Gave[0]] > 0 || w.isOut(c) {
			return nil, false
		}
		lines = append(lines, strings.Join(w.remarks(c), "\n")+acceptText(w.accepts[c]), w.ofRow(c, r, "r"))
	}
	if used != w.refs[r] || u.call.Arg("name") != nil {
		return nil, false
	}
	return append(lines, acceptText(w.accepts[u.call]), w.rowText(u, "at")), true
}

// inLoop writes a row and what stands in it in the body of a loop over the rows' places.
func (w *writer) inLoop(u *unit, at string) {
	w.comments(u.call, "    ")
	line := w.rowText(u, at)
	if len(u.followers) == 0 {
		w.put("    " + line)
		return
	}
	w.put("    r = " + line)
	for _, c := range u.followers {
		w.comments(c, "    ")
		w.put("    " + w.ofRow(c, u.rows[0], "r"))
	}
}

// atText is the place of a unit's row.
func (w *writer) atText(u *unit) string {
	r := w.placeOf(u.rows[0])
	if a := w.gave[r].Arg("at"); a != nil {
		return w.argText(w.gave[r], a)
	}
	at := w.gave[r].Of.Param("first")
	return w.quantityText(at, r.At.Value)
}

// rowText writes the call of a row: the bed as it was, in the place that it has now.
func (w *writer) rowText(u *unit, at string) string {
	r := u.rows[0]
	place := w.gave[w.placeOf(r)]
	row := rowBuiltin()
	texts := []string{w.thing(w.l.target(r.Plot)), "at = " + at}
	for i := range row.Params[2:] {
		p := &row.Params[i+2]
		from := u.call
		if p.Name == "start" || p.Name == "length" {
			from = place
		}
		if p.Name == "zone" {
			texts = append(texts, w.zoneText(r)...)
		} else if a := from.Arg(p.Name); a != nil {
			texts = append(texts, p.Name+" = "+w.argText(from, a))
		}
	}
	return row.Name + "(" + strings.Join(texts, ", ") + ")"
}

func rowBuiltin() *eval.Builtin {
	list := eval.Builtins()
	return list[slices.IndexFunc(list, func(b *eval.Builtin) bool { return b.Name == "row" })]
}
