package eval

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"haulm/stdlib/quantity"
	"haulm/stdlib/season"

	"go.starlark.net/starlark"
	"go.starlark.net/syntax"
)

// quantityValue is a quantity as the plan holds it.
type quantityValue struct {
	quantity.Quantity
	ev *evaluator
}

var (
	_ starlark.HasBinary  = quantityValue{}
	_ starlark.HasUnary   = quantityValue{}
	_ starlark.Comparable = quantityValue{}
)

func (q quantityValue) String() string        { return q.ev.units.Format(q.Quantity) }
func (q quantityValue) Type() string          { return q.Dim.Name() }
func (q quantityValue) Freeze()               {}
func (q quantityValue) Truth() starlark.Bool  { return q.SI != 0 }
func (q quantityValue) Hash() (uint32, error) { return hashOf(math.Float64bits(q.SI)), nil }

// CompareSameType serves sorted, min and max; the comparison operators go through compare.
func (q quantityValue) CompareSameType(op syntax.Token, y starlark.Value, _ int) (bool, error) {
	c, err := q.Cmp(y.(quantityValue).Quantity)
	if err != nil {
		return false, err
	}
	return threeway(op, c), nil
}

func (q quantityValue) Unary(op syntax.Token) (starlark.Value, error) {
	switch op {
	case syntax.MINUS:
		return quantityValue{q.Scale(-1), q.ev}, nil
	case syntax.PLUS:
		return q, nil
	}
	return nil, nil
}

// Binary serves both sides: 30 * ft, ft * 30. What does not go together gives a poison value that
// carries the fault to the argument it reaches.
func (q quantityValue) Binary(op syntax.Token, y starlark.Value, side starlark.Side) (starlark.Value, error) {
	switch y := y.(type) {
	case quantityValue:
		return q.withQuantity(op, y, side)
	case starlark.Int, starlark.Float:
		n, _ := starlark.AsFloat(y)
		return q.withNumber(op, n, side)
	case starlark.String:
		if d, err := season.Parse(string(y)); err == nil {
			return dateValue{Date: d, ev: q.ev}.Binary(op, q, !side)
		}
	case poison:
		return y, nil
	}
	return nil, nil
}

func (q quantityValue) withQuantity(op syntax.Token, y quantityValue, side starlark.Side) (starlark.Value, error) {
	l, r := q.Quantity, y.Quantity
	if side == starlark.Right {
		l, r = r, l
	}
	var out quantity.Quantity
	var err error
	switch op {
	case syntax.PLUS:
		out, err = l.Add(r)
	case syntax.MINUS:
		out, err = l.Sub(r)
	case syntax.STAR:
		out, err = l.Mul(r)
	case syntax.SLASH:
		out, err = l.Div(r)
		if err == nil && out.Dim == quantity.Ratio {
			return starlark.Float(out.SI), nil
		}
	case syntax.SLASHSLASH:
		out, err = l.Div(r)
		if err == nil && out.Dim == quantity.Ratio && !math.IsInf(out.SI, 0) && !math.IsNaN(out.SI) {
			return starlark.NumberToInt(starlark.Float(math.Floor(out.SI + 1e-9)))
		}
		if err == nil {
			return nil, fmt.Errorf("cannot divide %s into whole numbers of %s", l.Dim.Noun(), r.Dim.Noun())
		}
	default:
		return nil, nil
	}
	if err != nil {
		return q.ev.fault(wrongDimension, err.Error(), ""), nil
	}
	return quantityValue{out, q.ev}, nil
}

func (q quantityValue) withNumber(op syntax.Token, n float64, side starlark.Side) (starlark.Value, error) {
	number := quantity.Of(n, quantity.Ratio)
	var out quantity.Quantity
	var err error
	switch {
	case op == syntax.STAR:
		out, err = q.Mul(number)
	case op == syntax.SLASH && side == starlark.Left:
		out, err = q.Div(number)
	case op == syntax.SLASH:
		out, err = number.Div(q.Quantity)
	case op == syntax.PLUS || op == syntax.MINUS:
		return q.ev.fault(bareNumber, fmt.Sprintf("%s and the bare number %s cannot be added or subtracted",
			q.Dim.Noun(), trimNumber(n)), q.ev.unitHelp(trimNumber(n), Type{Dim: q.Dim}, Limits{})), nil
	default:
		return nil, nil
	}
	if err != nil {
		return q.ev.fault(wrongDimension, err.Error(), ""), nil
	}
	return quantityValue{out, q.ev}, nil
}

// dateValue is a civil date as the plan holds it.
type dateValue struct {
	season.Date
	ev   *evaluator
	from *Frost // that it was reckoned from, nil for none
}

var (
	_ starlark.HasBinary  = dateValue{}
	_ starlark.HasAttrs   = dateValue{}
	_ starlark.Comparable = dateValue{}
)

func (d dateValue) Type() string          { return "date" }
func (d dateValue) Freeze()               {}
func (d dateValue) Truth() starlark.Bool  { return true }
func (d dateValue) Hash() (uint32, error) { return hashOf(uint64(d.Date)), nil }
func (d dateValue) AttrNames() []string   { return []string{"day", "month", "year"} }

func (d dateValue) Attr(name string) (starlark.Value, error) {
	switch name {
	case "year":
		return starlark.MakeInt(d.Year()), nil
	case "month":
		return starlark.MakeInt(int(d.Month())), nil
	case "day":
		return starlark.MakeInt(d.Day()), nil
	}
	return nil, nil
}

func (d dateValue) CompareSameType(op syntax.Token, y starlark.Value, _ int) (bool, error) {
	return threeway(op, d.DaysSince(y.(dateValue).Date)), nil
}

func (d dateValue) Binary(op syntax.Token, y starlark.Value, side starlark.Side) (starlark.Value, error) {
	switch y := y.(type) {
	case quantityValue:
		if y.Dim != quantity.Time || (op == syntax.MINUS && side == starlark.Right) ||
			(op != syntax.PLUS && op != syntax.MINUS) {
			return d.ev.fault(wrongDimension, fmt.Sprintf("a date and %s do not go together here", y.Dim.Noun()),
				"add or take away a time, such as 2 * weeks"), nil
		}
		n := math.Round(y.SI / 86400)
		if math.Abs(n) > 400_000 || math.IsNaN(n) {
			return d.ev.fault(outOfRange, "that date is too far away", ""), nil
		}
		if op == syntax.MINUS {
			n = -n
		}
		return dateValue{d.Add(int(n)), d.ev, d.from}, nil
	case dateValue:
		if op == syntax.MINUS {
			a, b := d, y
			if side == starlark.Right {
				a, b = y, d
			}
			return quantityValue{quantity.Days(float64(a.DaysSince(b.Date))), d.ev}, nil
		}
	case starlark.Int, starlark.Float:
		if op == syntax.PLUS || op == syntax.MINUS {
			n, _ := starlark.AsFloat(y)
			return d.ev.fault(bareNumber, "a date cannot take the bare number "+trimNumber(n),
				fmt.Sprintf("write %s * days or %s * weeks", trimNumber(n), trimNumber(n))), nil
		}
	case poison:
		return y, nil
	}
	return nil, nil
}

// poison stands for a value that could not be had; whatever is done with it gives poison again, without
// a further finding.
type poison struct {
	fault *fault // nil when the finding is already made
}

var (
	_ starlark.HasBinary       = poison{}
	_ starlark.HasUnary        = poison{}
	_ starlark.HasAttrs        = poison{}
	_ starlark.HasSetField     = poison{}
	_ starlark.HasSetKey       = poison{}
	_ starlark.IterableMapping = poison{}
	_ starlark.Callable        = poison{}
)

func (p poison) String() string          { return "unknown" }
func (p poison) Type() string            { return "unknown" }
func (p poison) Freeze()                 {}
func (p poison) Truth() starlark.Bool    { return false }
func (p poison) Hash() (uint32, error)   { return 0, nil }
func (p poison) Name() string            { return "unknown" }
func (p poison) AttrNames() []string     { return nil }
func (p poison) Items() []starlark.Tuple { return nil }

func (p poison) Attr(string) (starlark.Value, error)              { return p, nil }
func (p poison) SetField(string, starlark.Value) error            { return nil }
func (p poison) SetKey(_, _ starlark.Value) error                 { return nil }
func (p poison) Get(starlark.Value) (starlark.Value, bool, error) { return p, true, nil }
func (p poison) Iterate() starlark.Iterator                       { return starlark.Tuple{}.Iterate() }
func (p poison) Unary(syntax.Token) (starlark.Value, error)       { return p, nil }

func (p poison) Binary(syntax.Token, starlark.Value, starlark.Side) (starlark.Value, error) {
	return p, nil
}

func (p poison) CallInternal(*starlark.Thread, starlark.Tuple, []starlark.Tuple) (starlark.Value, error) {
	return p, nil
}

func hashOf(bits uint64) uint32 { return uint32(bits ^ bits>>32) }

func threeway(op syntax.Token, c int) bool {
	switch op {
	case syntax.EQL:
		return c == 0
	case syntax.NEQ:
		return c != 0
	case syntax.LT:
		return c < 0
	case syntax.LE:
		return c <= 0
	case syntax.GT:
		return c > 0
	}
	return c >= 0
}

func trimNumber(v float64) string {
	if math.Abs(v) >= 1e15 {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func article(noun string) string {
	if strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

func quoteList(words []string, last string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = strconv.Quote(w)
	}
	return list(quoted, last)
}

func list(words []string, last string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " " + last + " " + words[n-1]
	}
}
