package check

import (
	"fmt"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/solve"
	"haulm/lang/source"
)

// Limits of a solved move: how many rows one fix may shift along, and how many rows a plot may have for
// the whole of it to be searched. They keep the work for each finding bounded on any plan.
const (
	movedAtMost    = 12
	searchedAtMost = 40
)

// move is a row's new place across the plot.
type move struct {
	row *derive.Row
	to  float64
}

// makeRoom works out where a row must go for it and its neighbour to stand far enough apart, and says
// so in words that end a message, with the fix where the text allows one. The words call the later row
// it.
func (p *pass) makeRoom(pl *derive.Plot, late, early *derive.Row, it string) (string, []diag.Fix) {
	if !p.sole(&late.Decl.Decl) {
		return p.spread(pl, late, early)
	}
	for _, try := range [...]struct{ row, from *derive.Row }{{late, early}, {early, late}} {
		moves, ok := p.shift(pl, try.row, try.from)
		if !ok {
			continue
		}
		far := "farther"
		if try.row != late {
			it = rowHere(try.row)
		}
		if moves[0].to < try.row.Center {
			far = "nearer the first side"
		}
		words := fmt.Sprintf(". Move %s to %s or %s", it, p.long(moves[0].to), far)
		title := fmt.Sprintf("Move %s to %s", rowHere(try.row), p.long(moves[0].to))
		if n := len(moves) - 1; n > 0 {
			beyond := fmt.Sprintf(", and %s beyond it along", count(n, "the row", "the %d rows"))
			words, title = words+beyond, title+beyond
		}
		return words, p.moveFix(title, moves)
	}
	if to, ok := p.elsewhere(pl, late); ok {
		title := fmt.Sprintf("Move %s to %s", rowHere(late), p.long(to))
		return fmt.Sprintf(". Move %s to %s, the nearest place free", it, p.long(to)), p.moveFix(title, []move{{late, to}})
	}
	return fmt.Sprintf(". There is no room to move either of them in %s", plotName(pl.Decl)), nil
}

// count puts a number of things in words.
func count(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return fmt.Sprintf(many, n)
}

// spread says how far apart the rows of one call must stand, and changes the distance of a call of
// rows when they all fit.
func (p *pass) spread(pl *derive.Plot, late, early *derive.Row) (string, []diag.Fix) {
	a, b := early, late
	if a.Center > b.Center {
		a, b = b, a
	}
	if placeOf(early.Decl.Call) != placeOf(late.Decl.Call) {
		return fmt.Sprintf(". They need %s from center to center", p.long(p.roundUp(p.apart(a, b)))), nil
	}
	need := p.roundUp(p.apart(a, b))
	words := fmt.Sprintf(". Set them %s apart, center to center", p.long(need))
	arg, ok := argumentNamed(late.Decl.Call, "apart")
	if late.Decl.Kind != "rows" || !ok {
		return words, nil
	}
	laid := p.laidBy(pl, late.Decl.Call)
	if !laid.atOnce {
		return words, nil
	}
	edge := laid.first.Right + float64(laid.rows-1)*need
	if pl.Decl != nil && edge > pl.Decl.Width.Value.SI+slack {
		fit := derive.FitAt(need, pl.Decl.Width.Value.SI-laid.first.Right)
		return fmt.Sprintf(". At the %s they need, center to center, %s has room for %d of the %d",
			p.long(need), plotName(pl.Decl), fit, laid.rows), nil
	}
	edits := rewrite(late.Decl.Call, arg, p.expr(need))
	if edits == nil {
		return words, nil
	}
	return words, []diag.Fix{{Title: fmt.Sprintf("Set the rows %s apart", p.long(need)), Edits: edits}}
}

// laid is what one call in the text laid out in a plot.
type laid struct {
	first  *derive.Row // the one nearest to the first side
	rows   int
	atOnce bool // the call ran once, not in a helper called twice
}

type laidKey struct {
	plot *derive.Plot
	call place
}

// laidBy gives what a call laid out in a plot. All calls of a plot are counted together: counting anew for
// each finding would take the square of the rows.
func (p *pass) laidBy(pl *derive.Plot, call source.Span) *laid {
	key := laidKey{pl, placeOf(call)}
	if l, ok := p.laid[key]; ok {
		return l
	}
	for _, r := range pl.Rows {
		if r.Decl == nil {
			continue
		}
		k := laidKey{pl, placeOf(r.Decl.Call)}
		l := p.laid[k]
		if l == nil {
			l = &laid{first: r, atOnce: true}
			p.laid[k] = l
		}
		l.rows++
		l.atOnce = l.atOnce && slices.Equal(l.first.Decl.Chain, r.Decl.Chain)
	}
	return p.laid[key]
}

// shift moves a row away from another until all demands between them are met, and the rows beyond it
// as far as they must then give way. It fails when the last of them would leave the plot.
func (p *pass) shift(pl *derive.Plot, row, from *derive.Row) ([]move, bool) {
	if pl.Decl == nil {
		return nil, false
	}
	i := row.Number - 1
	up := row.Center > from.Center || row.Center == from.Center && row.Number > from.Number
	at := map[*derive.Row]float64{row: p.clearOf(from, from.Center, row, up)}
	moves := []move{{row, at[row]}}
	step := 1
	if !up {
		step = -1
	}
	for k, still := i+step, 0; k >= 0 && k < len(pl.Rows) && still < lookAcross; k += step {
		r := pl.Rows[k]
		to := r.Center
		for j := k - step; j != i-step && (k-j)*step <= lookAcross; j -= step {
			other := pl.Rows[j]
			place, moved := at[other]
			if !moved || !other.Meets(r) {
				continue
			}
			if need := p.clearOf(other, place, r, up); up && need > to || !up && need < to {
				to = need
			}
		}
		if to == r.Center {
			still++
			continue
		}
		if still = 0; len(moves) == movedAtMost {
			return nil, false
		}
		at[r] = to
		moves = append(moves, move{r, to})
	}
	for _, m := range moves {
		left, right := m.to-(m.row.Center-m.row.Left), m.to+(m.row.Right-m.row.Center)
		if left < -slack || right > pl.Decl.Width.Value.SI+slack {
			return nil, false
		}
	}
	return moves, true
}

// elsewhere looks through the whole plot for the place nearest to a row where it meets all demands.
func (p *pass) elsewhere(pl *derive.Plot, r *derive.Row) (float64, bool) {
	if len(pl.Rows) > searchedAtMost {
		return 0, false
	}
	return solve.RowAt(r, func(other *derive.Row) float64 {
		switch {
		case !r.Meets(other):
			return 0
		case r.Center < other.Center:
			return p.apart(r, other)
		}
		return p.apart(other, r)
	}, p.units)
}

// clearOf gives the place of a row beyond another that stands at a given place.
func (p *pass) clearOf(other *derive.Row, at float64, r *derive.Row, up bool) float64 {
	if up {
		return p.roundUp(at + p.apart(other, r))
	}
	return p.roundDown(at - p.apart(r, other))
}

// moveFix writes moves as edits; none where one of the rows cannot be edited alone.
func (p *pass) moveFix(title string, moves []move) []diag.Fix {
	fix := diag.Fix{Title: title}
	for _, m := range moves {
		if m.row.Decl == nil || !m.row.Decl.At.Given {
			return nil
		}
		edits := edit(p, &m.row.Decl.Decl, &m.row.Decl.At, "at", p.expr(m.to))
		if edits == nil {
			return nil
		}
		fix.Edits = append(fix.Edits, edits...)
	}
	return []diag.Fix{fix}
}

// argumentNamed finds the value of a named argument in the text of a call.
func argumentNamed(call source.Span, name string) (source.Span, bool) {
	list, ok := argumentsOf(call)
	if !ok {
		return source.Span{}, false
	}
	for _, a := range list.args {
		if a.name == name {
			return list.edit(a.value, a.end, "").Span, true
		}
	}
	return source.Span{}, false
}
