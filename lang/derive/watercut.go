package derive

import (
	"fmt"
	"math"

	"haulm/stdlib/quantity"
)

// fold is the tape that is folded back at a row's end and slid into a sleeve, 6 in, and clearance the bare tape
// to keep between the fold and the emitters beside it, 1 in (both common practice).
const fold, clearance = 6 * 0.0254, 0.0254

// cutTape gives the cut of a tape for a row of a length. The tape is cut from the roll midway between two
// emitters, so the first of the row stands half a spacing from its head. A slit tape whose fold would hold
// an emitter is laid a little longer or shorter than the row, whichever moves it less, until the fold lies
// between two emitters.
func cutTape(length, spacing float64, slit bool) Cut {
	c := Cut{Laid: length, Head: spacing / 2, Fold: fold, MustClear: slit}
	c.Caught = c.before(length+fold, spacing) - c.before(length, spacing)
	if slit && c.Caught > 0 {
		c.clear(length, spacing)
	}
	c.Emitters = c.before(c.Laid, spacing)
	c.InFold = c.before(c.Laid+c.Fold, spacing) - c.Emitters
	c.Moved = c.Laid - length
	c.Length = c.Laid + c.Fold
	return c
}

// before counts the emitters up to a place along the tape.
func (c *Cut) before(at, spacing float64) int {
	return max(0, int(math.Floor((at-c.Head)/spacing+tolerance))+1)
}

// clear moves the fold between two emitters, where they leave room for it.
func (c *Cut) clear(length, spacing float64) {
	free := spacing - c.Fold
	if free <= 0 {
		return
	}
	clear := min(clearance, free/2)
	first := c.Head + float64(c.before(length, spacing))*spacing // the one the fold would begin with
	last := c.Head + float64(c.before(length+c.Fold, spacing)-1)*spacing
	longer, shorter := last+clear, first-clear-c.Fold
	c.Laid = longer
	if length-shorter < longer-length && c.before(shorter, spacing) > 0 {
		c.Laid = shorter
	}
}

// layTape gives the row its tapes and their cut, or the reason why it has none that work.
func (r *RowWater) layTape() {
	r.Tapes = max(1, min(r.Row.Decl.Tapes.Value, mostTapes))
	if r.Unsolved = r.Zone.tapeProblem(); r.Unsolved != "" {
		return
	}
	tape := r.Zone.Decl.Tape
	spacing := given(&tape.EmitterSpacing, quantity.Length)
	if n := r.Row.Length / spacing; !(n < mostEmitters) {
		r.Unsolved = fmt.Sprintf("%s would hold more than %d emitters", r.Row.Name(), mostEmitters)
		return
	}
	if r.Row.Length < spacing/2 {
		r.Unsolved = fmt.Sprintf("%s is shorter than half the distance between two emitters", r.Row.Name())
		return
	}
	r.Cut = cutTape(r.Row.Length, spacing, tape.Emitter.Value == "slit")
	z := r.Zone
	z.Length += float64(r.Tapes) * r.Cut.Laid
	z.Nominal += float64(r.Tapes) * r.Cut.Laid * given(&tape.Flow, quantity.LineFlow)
}

// mostEmitters and mostTapes bound what is believed of one row; a kilometer of the closest tape has a tenth of
// the emitters.
const mostEmitters, mostTapes = 100_000, 100

// tapeProblem tells what the zone's tape lacks; "" when nothing.
func (z *ZoneWater) tapeProblem() string {
	t := z.Decl.Tape
	switch {
	case t == nil:
		return "the zone has no tape"
	case math.IsNaN(given(&t.EmitterSpacing, quantity.Length)):
		return "the tape's emitter spacing is not known"
	case math.IsNaN(given(&t.Flow, quantity.LineFlow)):
		return "the tape's flow is not known"
	case math.IsNaN(given(&t.At, quantity.Pressure)):
		return "the pressure of the tape's flow is not known"
	case math.IsNaN(given(&t.InsideDiameter, quantity.Length)):
		return "the tape's inside diameter is not known"
	case !(t.Exponent.Value >= 0 && t.Exponent.Value <= 1):
		return "the tape's exponent does not lie from 0 to 1"
	}
	return ""
}
