package feeding

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// Program is a linear program as mixes make them: the least Cost x amounts, every amount at least 0, over rows whose
// coefficients and bounds are at least 0.
type Program struct {
	Cost []float64 // for each column; may be negative, to find the most of something
	Rows []ProgramRow
}

// ProgramRow bounds a sum over the columns from below or from above.
type ProgramRow struct {
	Name    string
	Over    []float64 // coefficient of each column
	AtLeast bool      // else at most
	Bound   float64
}

// Ways in which a program has no solution.
var (
	ErrInfeasible = errors.New("no amounts keep to every row")
	ErrUnbounded  = errors.New("the cost falls without end")
)

func (r ProgramRow) value(x []float64) float64 {
	sum := 0.0
	for j, v := range r.Over {
		sum += v * x[j]
	}
	return sum
}

// slackShare is how far a row may be missed, as a share of its bound: what rounding of binary fractions leaves.
const slackShare = 1e-9

// errNumbers is a program whose numbers are too far apart to be solved; it is no answer to whether it has a solution.
var errNumbers = errors.New("the amounts are too far apart to be worked out: look for a price or a share that cannot be meant")

// Solve gives the amounts of the least cost, a column's amount each, by the simplex method. The error is ErrInfeasible,
// ErrUnbounded, or tells what is wrong with the numbers. A row may be missed by one part in 10⁹ of its bound.
//
// The library's simplex wants equations of full rank, no empty row or column, and a feasible basis to start from. So
// rows and columns that settle themselves are taken out first, rows are scaled to a bound of 1 and columns to a
// largest coefficient of 1, and every row gets a slack of its own and, where it bounds from below, an
// artificial column, which together are a basis. A first run tells by the artificial columns alone whether there is a
// solution; in the second they cost a penalty, raised until none is left, which proves that the amounts are the best.
func (p Program) Solve() ([]float64, error) {
	if err := p.valid(); err != nil {
		return nil, err
	}
	s, err := p.settle()
	if err != nil {
		return nil, err
	}
	x := make([]float64, len(p.Cost))
	if len(s.columns) == 0 {
		return x, nil
	}
	amounts, err := s.run()
	if err != nil {
		return nil, err
	}
	for k, j := range s.columns {
		if amounts[k] > slackShare/10 {
			x[j] = amounts[k] * s.unit[k]
		}
	}
	return x, nil
}

func (p Program) valid() error {
	bad := func(v float64) bool { return !(v >= 0) || math.IsInf(v, 1) }
	for _, c := range p.Cost {
		if math.IsNaN(c) || math.IsInf(c, 0) {
			return fmt.Errorf("a cost of %g", c)
		}
	}
	for _, r := range p.Rows {
		if len(r.Over) != len(p.Cost) {
			return fmt.Errorf("row %q has %d coefficients for %d columns", r.Name, len(r.Over), len(p.Cost))
		}
		if bad(r.Bound) || slices.ContainsFunc(r.Over, bad) {
			return fmt.Errorf("row %q: coefficients and bound must be numbers of at least 0", r.Name)
		}
	}
	return nil
}

// scaled is a program without rows and columns that settle themselves, every bound 1.
type scaled struct {
	columns []int     // of the program, those that are left
	unit    []float64 // what 1 of each means
	cost    []float64
	rows    []ProgramRow
}

func (p Program) settle() (scaled, error) {
	var s scaled
	var rows []ProgramRow
	barred := make([]bool, len(p.Cost)) // by a limit of 0 on something that the column has
	for _, r := range p.Rows {
		switch {
		case r.Bound > 0:
			rows = append(rows, r)
		case !r.AtLeast:
			for j, v := range r.Over {
				barred[j] = barred[j] || v > 0
			}
		}
	}
	for j, c := range p.Cost {
		most, capped := 0.0, false
		for _, r := range rows {
			most = max(most, r.Over[j]/r.Bound)
			capped = capped || (!r.AtLeast && r.Over[j] > 0)
		}
		switch {
		case barred[j]:
		case c < 0 && !capped:
			return s, p.unbounded()
		case most > 0:
			s.columns, s.unit, s.cost = append(s.columns, j), append(s.unit, 1/most), append(s.cost, c/most)
		}
	}
	dearest := 0.0
	for _, c := range s.cost {
		dearest = max(dearest, math.Abs(c))
	}
	for k := range s.cost {
		if dearest > 0 {
			s.cost[k] /= dearest
		}
	}
	for _, r := range rows {
		over := make([]float64, len(s.columns))
		empty := true
		for k, j := range s.columns {
			over[k] = r.Over[j] / r.Bound * s.unit[k]
			empty = empty && over[k] == 0
		}
		if !empty {
			s.rows = append(s.rows, ProgramRow{r.Name, over, r.AtLeast, 1})
		} else if r.AtLeast {
			return s, ErrInfeasible
		}
	}
	return s, nil
}

// unbounded tells a program whose cost falls without end from one that has no solution at all.
func (p Program) unbounded() error {
	feasible := Program{Cost: make([]float64, len(p.Cost)), Rows: p.Rows}
	if _, err := feasible.Solve(); err != nil {
		return err
	}
	return ErrUnbounded
}

// penalties of the artificial columns, beside costs of at most 1.
var penalties = [...]float64{1e2, 1e4, 1e6}

func (s scaled) run() ([]float64, error) {
	none := make([]float64, len(s.columns))
	_, missed, err := s.simplex(none, 1)
	switch {
	case err != nil:
		return nil, errNumbers
	case missed > slackShare*float64(len(s.rows)):
		return nil, ErrInfeasible
	}
	for _, penalty := range penalties {
		x, missed, err := s.simplex(s.cost, penalty)
		if err == nil && missed <= slackShare*float64(len(s.rows)) {
			return x, nil
		}
	}
	return nil, errNumbers
}

// simplex runs the library once: the amounts of the columns, and by how much the rows are missed in all.
func (s scaled) simplex(cost []float64, penalty float64) (x []float64, missed float64, err error) {
	defer func() {
		if fault := recover(); fault != nil { // the library panics where a basis turns out singular
			err = errNumbers
		}
	}()
	n, m := len(s.columns), len(s.rows)
	wide := n + m
	for _, r := range s.rows {
		if r.AtLeast {
			wide++
		}
	}
	a := mat.NewDense(m, wide, nil)
	c, b, basis := make([]float64, wide), make([]float64, m), make([]int, m)
	copy(c, cost)
	artificial := n + m
	for i, r := range s.rows {
		for k, v := range r.Over {
			a.Set(i, k, v)
		}
		b[i] = 1
		if !r.AtLeast {
			a.Set(i, n+i, 1)
			basis[i] = n + i
			continue
		}
		a.Set(i, n+i, -1)
		a.Set(i, artificial, 1)
		basis[i], c[artificial] = artificial, penalty
		artificial++
	}
	const settled = 1e-11 // the largest reduced cost that counts as none
	_, all, err := lp.Simplex(c, a, b, settled*penalty, basis)
	if err != nil {
		return nil, 0, err
	}
	for _, v := range all[n+m:] {
		missed += v
	}
	return all[:n], missed, nil
}
