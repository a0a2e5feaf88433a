// Package quantity is how Haulm counts the physical world: a number in SI units with a vector of
// dimensions. In go numbers with unit names and text such as "2 ft 6 in"; out come quantities whose
// sums and products are checked, and the words a grower would write for them.
package quantity

import "fmt"

// Quantity is a value in SI base units (m, kg, s, K, rad, money) with its dimension.
type Quantity struct {
	SI  float64
	Dim Dimension
}

// Of gives the quantity of v SI base units with dimension d.
func Of(v float64, d Dimension) Quantity { return Quantity{SI: v, Dim: d} }

// Meters gives a length of v meters.
func Meters(v float64) Quantity { return Quantity{SI: v, Dim: Length} }

// Days gives a time of v days.
func Days(v float64) Quantity { return Quantity{SI: v * 86400, Dim: Time} }

// MismatchError says that an operation was asked of two dimensions that do not go together.
type MismatchError struct {
	Op          string
	Left, Right Dimension
}

func (e *MismatchError) Error() string {
	switch e.Op {
	case "+":
		return fmt.Sprintf("cannot add %s to %s", e.Right.Noun(), e.Left.Noun())
	case "-":
		return fmt.Sprintf("cannot take %s from %s", e.Right.Noun(), e.Left.Noun())
	case "*":
		return fmt.Sprintf("cannot multiply %s by %s", e.Left.Noun(), e.Right.Noun())
	case "/":
		return fmt.Sprintf("cannot divide %s by %s", e.Left.Noun(), e.Right.Noun())
	}
	return fmt.Sprintf("cannot compare %s with %s", e.Left.Noun(), e.Right.Noun())
}

// Add gives q + r. A temperature takes an interval; two temperatures have no sum.
func (q Quantity) Add(r Quantity) (Quantity, error) {
	switch {
	case q.Dim == Temperature && r.Dim == Interval:
		return Of(q.SI+r.SI, Temperature), nil
	case q.Dim == Interval && r.Dim == Temperature:
		return Of(q.SI+r.SI, Temperature), nil
	case q.Dim != r.Dim || q.Dim == Temperature:
		return Quantity{}, &MismatchError{"+", q.Dim, r.Dim}
	}
	return Of(q.SI+r.SI, q.Dim), nil
}

// Sub gives q - r. The difference of two temperatures is an interval.
func (q Quantity) Sub(r Quantity) (Quantity, error) {
	switch {
	case q.Dim == Temperature && r.Dim == Temperature:
		return Of(q.SI-r.SI, Interval), nil
	case q.Dim == Temperature && r.Dim == Interval:
		return Of(q.SI-r.SI, Temperature), nil
	case q.Dim != r.Dim:
		return Quantity{}, &MismatchError{"-", q.Dim, r.Dim}
	}
	return Of(q.SI-r.SI, q.Dim), nil
}

// Mul gives q * r; a temperature on a scale has no product.
func (q Quantity) Mul(r Quantity) (Quantity, error) {
	d, ok := q.Dim.plus(r.Dim, 1)
	if !ok || q.Dim[AxisLevel] != 0 || r.Dim[AxisLevel] != 0 {
		return Quantity{}, &MismatchError{"*", q.Dim, r.Dim}
	}
	return Of(q.SI*r.SI, d), nil
}

// Div gives q / r, refused for temperatures on a scale. Dividing by zero gives an infinite quantity,
// which the callers' range checks refuse.
func (q Quantity) Div(r Quantity) (Quantity, error) {
	d, ok := q.Dim.plus(r.Dim, -1)
	if !ok || q.Dim[AxisLevel] != 0 || r.Dim[AxisLevel] != 0 {
		return Quantity{}, &MismatchError{"/", q.Dim, r.Dim}
	}
	return Of(q.SI/r.SI, d), nil
}

// Scale gives q times the bare number f.
func (q Quantity) Scale(f float64) Quantity { return Of(q.SI*f, q.Dim) }

// Cmp compares two quantities of one dimension: -1, 0 or 1. NaN counts as equal to anything; range checks
// refuse it first.
func (q Quantity) Cmp(r Quantity) (int, error) {
	if q.Dim != r.Dim {
		return 0, &MismatchError{"<", q.Dim, r.Dim}
	}
	switch {
	case q.SI < r.SI:
		return -1, nil
	case q.SI > r.SI:
		return 1, nil
	}
	return 0, nil
}
