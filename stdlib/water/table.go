package water

import "haulm/stdlib/table"

// Range is a value as its source gives it; Low equals High where it gives one number.
type Range struct{ Low, High float64 }

// Mid is the middle of the range.
func (r Range) Mid() float64 { return (r.Low + r.High) / 2 }

// pair reads the columns name_low and name_high.
func pair(r table.Row, name string) Range {
	return Range{r.Number(name+"_low", 0), r.Number(name+"_high", 0)}
}
