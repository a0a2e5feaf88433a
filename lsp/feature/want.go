package feature

import (
	"haulm/lang/eval"
	"haulm/lang/syntax"
	"haulm/stdlib/quantity"
)

// want is what belongs at a place in a call.
type want struct {
	call    *Call
	builtin *eval.Builtin // nil when the call is of a function of the plan's own, or of none that is known
	param   *eval.Param   // that the place is a value of; nil when not known
	fresh   bool          // nothing of the argument stands before the place but the word being typed
	named   bool          // the place is behind "name ="
	from    int           // byte offset where the value begins
	begins  bool          // nothing of the value stands before the place but the word being typed
}

// wanted tells what belongs at a place of a part; the call is nil outside calls.
func (n *names) wanted(p *Part, offset, wordStart int) want {
	w := want{call: p.Call(offset), from: wordStart}
	if w.call == nil {
		return w
	}
	if n.named(w.call.Name) == nil || w.call.Receiver != "" {
		w.builtin = w.call.Builtin()
	}
	w.fresh = true
	if i := w.call.Arg; i < len(w.call.Args) {
		a := w.call.Args[i]
		w.named = a.Name != "" && p.File.Offset(a.Key.End) < offset
		if a.Value.Start != a.Value.End {
			w.from = p.File.Offset(a.Value.Start)
		}
		w.fresh = a.Star == "" && !w.named && w.from >= wordStart
		if a.Name != "" && !w.named {
			return w // the cursor is in the name of the argument
		}
	}
	w.begins = w.from >= wordStart
	if w.builtin != nil {
		w.param = w.call.Param(w.builtin, w.call.Arg)
	}
	return w
}

// dimension gives the dimension that the next factor must have for the value to be one of the
// parameter's; false when that cannot be told.
func (w *want) dimension(n *names, p *Part, tokens []syntax.Token) (quantity.Dimension, bool) {
	goal, ok := goalOf(w.param)
	if w.param != nil && !ok {
		return quantity.Dimension{}, false
	}
	return nextFactor(n, p, tokens, w.from, goal, ok)
}

// takes tells whether a whole value of a kind belongs at the place.
func (w *want) takes(kind string) bool {
	return w.param != nil && w.begins && w.param.Type.Takes(kind)
}

func goalOf(p *eval.Param) (quantity.Dimension, bool) {
	if p == nil {
		return quantity.Dimension{}, false
	}
	switch p.Type.Kind {
	case eval.KindQuantity, eval.KindMonths:
		return p.Type.Dim, !p.Type.Spread
	case eval.KindDays, eval.KindDate:
		return quantity.Time, true
	}
	return quantity.Dimension{}, false
}

// level is a sum inside one pair of brackets.
type level struct {
	goal    quantity.Dimension
	has     bool // the goal is known
	product quantity.Quantity
	divide  bool // the next factor divides
	empty   bool // no factor of the product stands there yet
}

// nextFactor follows a value from its beginning to the end of the tokens.
func nextFactor(n *names, p *Part, tokens []syntax.Token, from int, goal quantity.Dimension, has bool) (quantity.Dimension, bool) {
	one := quantity.Of(1, quantity.Ratio)
	stack := []level{{goal: goal, has: has, product: one, empty: true}}
	for _, t := range tokens {
		if t.Start < from {
			continue
		}
		top := &stack[len(stack)-1]
		switch text := p.text(t); text {
		case "(":
			g, known := top.need()
			stack = append(stack, level{goal: g, has: known, product: one, empty: true})
		case ")":
			if len(stack) == 1 {
				return quantity.Dimension{}, false
			}
			inner := top.product
			stack = stack[:len(stack)-1]
			stack[len(stack)-1].take(inner)
		case "*":
			top.divide = false
		case "/":
			top.divide = true
		case "+", "-":
			if !top.has && !top.empty {
				top.goal, top.has = top.product.Dim, true
			}
			top.product, top.divide, top.empty = one, false, true
		default:
			q := one
			if u, ok := quantity.UnitNamed(text); ok && n.named(text) == nil {
				q = u.Of(1)
			}
			top.take(q)
		}
	}
	return stack[len(stack)-1].need()
}

func (l *level) take(q quantity.Quantity) {
	next, err := l.product.Mul(q)
	if l.divide {
		next, err = l.product.Div(q)
	}
	if err == nil {
		l.product = next
	}
	l.empty, l.divide = false, false
}

// need is the dimension of the next factor.
func (l *level) need() (quantity.Dimension, bool) {
	if !l.has {
		return quantity.Dimension{}, false
	}
	goal := quantity.Of(1, l.goal)
	if l.goal == quantity.Temperature {
		return l.goal, l.empty
	}
	next, err := goal.Div(l.product)
	if l.divide {
		next, err = l.product.Div(goal)
	}
	return next.Dim, err == nil
}
