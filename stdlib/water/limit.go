package water

import (
	"fmt"
	"math"
	"strconv"
)

// OutOfRange is a number that an equation cannot take.
type OutOfRange struct {
	Name      string  // "emitter exponent"
	Value     float64 // NaN when it was not given
	Unit      string  // of Value, Low and High; "" for a plain number
	Low, High float64 // infinite on a side that has no limit
	Above     bool    // Low itself is too low
	Advice    string  // a way out
}

// Error says what was given, what can be, and a way out.
func (e *OutOfRange) Error() string {
	must := "it must be "
	switch low, high := e.number(e.Low), e.number(e.High); {
	case math.IsInf(e.High, 1) && e.Above:
		must += "above " + low
	case math.IsInf(e.High, 1):
		must += "at least " + low
	case math.IsInf(e.Low, -1):
		must += "at most " + high
	case e.Above:
		must += "above " + low + " and at most " + high
	default:
		must += "from " + low + " to " + high
	}
	if math.IsNaN(e.Value) {
		return fmt.Sprintf("the %s is not known; %s: %s", e.Name, must, e.Advice)
	}
	return fmt.Sprintf("the %s is %s; %s: %s", e.Name, e.number(e.Value), must, e.Advice)
}

func (e *OutOfRange) number(v float64) string {
	text := strconv.FormatFloat(v, 'g', 4, 64)
	if e.Unit == "" {
		return text
	}
	return text + " " + e.Unit
}

// within gives an error unless low <= v <= high.
func within(name string, v float64, unit string, low, high float64, advice string) error {
	if v >= low && v <= high {
		return nil
	}
	return &OutOfRange{Name: name, Value: v, Unit: unit, Low: low, High: high, Advice: advice}
}

// above gives an error unless low < v <= high.
func above(name string, v float64, unit string, low, high float64, advice string) error {
	if v > low && v <= high && !math.IsInf(v, 1) {
		return nil
	}
	return &OutOfRange{Name: name, Value: v, Unit: unit, Low: low, High: high, Above: true, Advice: advice}
}

// clamp holds v between low and high.
func clamp(v, low, high float64) float64 { return max(low, min(v, high)) }
