package water

import (
	"cmp"
	"fmt"
	"math"
)

// Lateral is a drip line in a row: a tube with emitters at even distances, closed at its end.
type Lateral struct {
	Diameter float64 // inside, m
	Spacing  float64 // from emitter to emitter, m
	Length   float64 // m
	First    float64 // from the inlet to the first emitter, m; Spacing when 0
	Emitter  Emitter
	Slope    float64 // m of rise on each m of tube, away from the inlet; negative downhill
	Law      Law     // Blasius fits tape
	C        float64 // of Hazen-Williams
	Barb     float64 // m of tube that lose as much as an emitter's barb in the stream; 0 for tape
}

// mostEmitters bounds what one line is solved for; a kilometer of tape has some ten thousand.
const mostEmitters = 1_000_000

// Emitters counts the emitters that the length holds, the last one at its very end included.
func (l Lateral) Emitters() int {
	return max(0, int(math.Floor((l.Length-l.first())/l.Spacing+1e-9))+1)
}

func (l Lateral) first() float64 {
	if l.First == 0 {
		return l.Spacing
	}
	return l.First
}

func (l Lateral) check() error {
	err := cmp.Or(
		checkDiameter(l.Diameter),
		above("emitter spacing", l.Spacing, "m", 0, 100, "take it from the tape's label"),
		above("length of the drip line", l.Length, "m", 0, 50_000, "give the length from the header to its end"),
		within("distance to the first emitter", l.First, "m", 0, l.Length, "it lies within the line"),
		l.Emitter.check(),
		within("slope of the drip line", l.Slope, "", -0.99, 0.99, "give m of rise on each m of tube: 0.02 for 2 %"),
		checkFriction(l.Law, l.C),
		within("length that stands for a barb", l.Barb, "m", 0, 10, "0 for tape, 0.1 to 0.4 m for barbed emitters"))
	if err != nil {
		return err
	}
	return within("number of emitters", (l.Length-l.first())/l.Spacing+1+1e-9, "", 1, mostEmitters,
		"give a line at least as long as its emitter spacing, and no more than a million emitters")
}

// Run is a drip line at work.
type Run struct {
	Pressure            float64 // at the inlet, Pa
	End                 float64 // at the last emitter, Pa
	Least, Most         float64 // at any emitter, Pa
	Flow                float64 // into the line, the sum of its emitters, m3/s
	LeastFlow, MostFlow float64 // of one emitter, m3/s
	Emitters            int
	Dry                 int     // emitters under Trickle, which give next to nothing
	EU                  float64 // emission uniformity of the line, percent, for one emitter to a plant
	Velocity            float64 // at the inlet, m/s
	Sweeps              int     // passes over the line that solving took
}

// MeanFlow of the emitters, m3/s.
func (r Run) MeanFlow() float64 { return r.Flow / float64(r.Emitters) }

// DryLine is the error of a line whose pressure does not reach all its emitters.
type DryLine struct {
	Dry, Emitters  int
	Pressure, Rise float64 // at the inlet, Pa; to the end, m
}

// Error says how many emitters are dry, and why: for rise or friction. A line that falls runs full to its end.
func (e *DryLine) Error() string {
	why := "the tube's friction uses it up: shorten the line, or take a wider tube"
	if climb := weight * e.Rise; climb > 0.2*e.Pressure {
		why = fmt.Sprintf("the line rises %.3g m to its end, which alone takes %.3g kPa: feed it from its upper end, or raise the pressure", e.Rise, climb/1000)
	}
	return fmt.Sprintf("%d of %d emitters get no water from %.3g kPa at the head of the line; %s", e.Dry, e.Emitters, e.Pressure/1000, why)
}

// Run solves the line for a pressure in Pa at its inlet, stepping from emitter to emitter: each passes its flow by
// q = K h^X, and between two the tube loses what its law asks for the flow of all emitters beyond, and what
// it rises. The pressure at the last emitter is found by Newton's rule, held between bounds. Errors: a value
// out of range, a pressure not above 0; *DryLine, with the run as it then is; a line so long for its bore
// that its end tells nothing of its inlet.
func (l Lateral) Run(pressure float64) (Run, error) {
	s, end, sweeps, err := l.solve(pressure)
	if err != nil {
		return Run{}, err
	}
	r := s.run(end, sweeps)
	r.Pressure = pressure
	return r, l.dry(r)
}

func (l Lateral) dry(r Run) error {
	if r.Dry == 0 {
		return nil
	}
	return &DryLine{r.Dry, r.Emitters, r.Pressure, l.Slope * (l.first() + float64(r.Emitters-1)*l.Spacing)}
}

// Outlet is one emitter of a line at work.
type Outlet struct {
	At       float64 // m from the inlet
	Pressure float64 // Pa
	Flow     float64 // m3/s
}

// Profile gives the emitters along the line for a pressure at its inlet, as Run does: all of them when most is
// 0, else evenly chosen ones, the first and the last among them, at least 2.
func (l Lateral) Profile(pressure float64, most int) ([]Outlet, error) {
	s, end, _, err := l.solve(pressure)
	if err != nil {
		return nil, err
	}
	all := s.outlets(end)
	if most == 0 || len(all) <= max(2, most) {
		return all, nil
	}
	most = max(2, most)
	chosen := make([]Outlet, most)
	for i := range chosen {
		chosen[i] = all[i*(len(all)-1)/(most-1)]
	}
	return chosen, nil
}

func (l Lateral) solve(pressure float64) (s *stepper, end float64, sweeps int, err error) {
	err = cmp.Or(l.check(),
		above("pressure at the head of the line", pressure, "Pa", 0, 1e7, "open the valve, or look at the regulator"))
	if err != nil {
		return nil, 0, 0, err
	}
	s = newStepper(l)
	end, over, sweeps := s.solve(pressure)
	if !(math.Abs(over) <= tellable*pressure) {
		return nil, 0, 0, fmt.Errorf("%.4g m of tube with a bore of %.3g mm cannot be worked out from %.3g kPa at its head: "+
			"it is far too long for its bore; shorten it, or take a wider tube", l.Length, l.Diameter*1000, pressure/1000)
	}
	return s, end, sweeps, nil
}

// tellable is the share of the inlet's pressure that may be left open. Down a long steep line of narrow bore the
// pressure at the end is so well settled by the rise that no number of it is fine enough to tell the inlet's.
const tellable = 1e-5

// Flushing is a line with its end open.
type Flushing struct {
	End      float64 // flow out of the end, m3/s
	Flow     float64 // into the line, m3/s
	Pressure float64 // at the inlet, Pa
}

// FlushVelocity is the speed in m/s at the end of a line that carries settled matter out: 1 ft/s (University of
// California, line flushing).
const FlushVelocity = 0.3048

// Flush gives what a line takes to run out of its open end at a speed in m/s, its emitters running too.
// Errors: a value out of range, a speed not above 0. The pressure can be negative on a line that falls.
func (l Lateral) Flush(velocity float64) (Flushing, error) {
	err := cmp.Or(l.check(),
		above("flushing speed", velocity, "m/s", 0, 10, "0.3 m/s carries settled matter out"))
	if err != nil {
		return Flushing{}, err
	}
	s := newStepper(l)
	tail := velocity * area(l.Diameter)
	stub := l.Length - l.first() - float64(s.n-1)*l.Spacing
	j, _ := s.bore.loss(tail)
	last := stub * (j + weight*l.Slope)
	w := s.sweep(last, tail)
	return Flushing{tail, w.flow, w.inlet}, nil
}
