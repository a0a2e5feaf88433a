package water

import (
	"fmt"
	"math"
)

// Network is a source and the zones that are open on it together.
type Network struct {
	Source Source
	Main   []Part // from the source to the point where the zones part
	Zones  []Zone
}

// Zone is the rows behind one valve.
type Zone struct {
	Supply  []Part // from the end of the main to the headers, valve, filter and regulator included
	Headers []Header
}

// Header is a pipe that its rows branch off from, fed at one end; one fed in the middle counts as two.
type Header struct {
	Diameter float64 // inside, m
	Law      Law
	C        float64
	Slope    float64 // m of rise on each m, away from where it is fed
	Rows     []Row
}

// Row is one or more like drip lines that branch off together.
type Row struct {
	At      float64 // m along the header from where it is fed
	Lead    []Part  // from the header to the lines, for each line
	Lateral Lateral
	Tapes   int // lines side by side; 0 counts as 1
}

func (r Row) tapes() int { return max(1, r.Tapes) }

// Solution is a network at work.
type Solution struct {
	Pressure   float64 // at the source's outlet, Pa
	Flow       float64 // out of the source, m3/s
	Wanted     float64 // flow that the zones would take, did the source hold its pressure
	Limited    bool    // the source gives no more: its pressure falls until the zones take what it has
	Main       []Passage
	Zones      []ZoneRun
	Iterations int
	Residual   float64 // the largest pressure left open anywhere, Pa
}

// ZoneRun is a zone at work.
type ZoneRun struct {
	Flow      float64 // m3/s
	Pressure  float64 // at the headers, Pa
	Supply    []Passage
	Headers   []HeaderRun
	Emitters  int
	Dry       int
	Least     float64 // pressure at any emitter, Pa
	Most      float64
	LeastFlow float64 // of one emitter, m3/s
	MostFlow  float64
	EU        float64 // emission uniformity, percent, for one emitter to a plant and the widest spread of any
}

// MeanFlow of the zone's emitters, m3/s.
func (z ZoneRun) MeanFlow() float64 { return z.Flow / float64(z.Emitters) }

// HeaderRun is a header at work.
type HeaderRun struct {
	Flow     float64 // m3/s
	Velocity float64 // in its first stretch, where it is highest, m/s
	Rows     []Run   // of one line of each row, in the order given
}

// Passage is a part at work.
type Passage struct {
	Flow     float64 // m3/s
	In, Out  float64 // pressure, Pa
	Velocity float64 // m/s; 0 for a filter or a regulator
}

// Unsettled is the error of a network whose pressures did not come to rest.
type Unsettled struct {
	Iterations     int
	Residual       float64 // Pa
	Flow, Pressure float64 // of the source in the last state, m3/s and Pa
	Wanted, Most   float64 // where the zones take more than the source gives at any pressure, as down a slope, m3/s; else 0
}

// Error tells the last state.
func (e *Unsettled) Error() string {
	if e.Most > 0 {
		return fmt.Sprintf("the zones want %.3g m3/s, the source gives %.3g m3/s, and with its pressure down to %.3g kPa they still take %.3g m3/s: "+
			"open fewer rows together", e.Wanted, e.Most, e.Pressure/1000, e.Flow)
	}
	return fmt.Sprintf("the pressures did not settle in %d rounds: at %.3g m3/s and %.3g kPa from the source, %.3g kPa are still open; "+
		"open fewer rows together, or look for compensating emitters that want more than the source gives",
		e.Iterations, e.Flow, e.Pressure/1000, e.Residual/1000)
}

// Solve finds the flows and pressures of a network: every line stepped from emitter to emitter as in
// Lateral.Run, every pipe and part losing what its flow asks, and the source giving what its curve or its
// pressure has at that flow. Where the zones want more than the source's flow, its pressure falls until they take no
// more, and Limited is set.
//
// It is Newton's rule on the pressures at all branches and line ends at once; a round takes one pass over
// every emitter. Errors: a value out of range, named with its place; *DryLine with the first such row, and
// *Unsettled after too many rounds, both with the solution as it then is.
func Solve(n Network) (Solution, error) {
	if err := n.check(); err != nil {
		return Solution{}, err
	}
	t := plant(n)
	settled := t.settle()
	s := Solution{Wanted: t.flow[0]}
	if most := n.Source.most(); settled && s.Wanted > most*(1+1e-9) {
		s.Limited = true
		if n.Source.Curve == nil {
			settled = t.limit()
		}
	}
	t.fill(&s)
	if !settled {
		e := &Unsettled{Iterations: t.rounds, Residual: t.residual, Flow: s.Flow, Pressure: s.Pressure}
		if s.Limited {
			e.Wanted, e.Most = s.Wanted, n.Source.Flow
		}
		return s, e
	}
	return s, n.dry(s)
}

// each calls f for every row of the network in order.
func (n Network) each(f func(zone, header, row int, r Row) error) error {
	for z, zone := range n.Zones {
		for h, header := range zone.Headers {
			for i, r := range header.Rows {
				if err := f(z, h, i, r); err != nil {
					return fmt.Errorf("zone %d, header %d, row %d: %w", z+1, h+1, i+1, err)
				}
			}
		}
	}
	return nil
}

// dry gives the error of the first row with dry emitters.
func (n Network) dry(s Solution) error {
	return n.each(func(zone, header, row int, r Row) error {
		return r.Lateral.dry(s.Zones[zone].Headers[header].Rows[row])
	})
}

func (n Network) check() error {
	if err := n.Source.check(); err != nil {
		return err
	}
	if err := checkParts(n.Main); err != nil {
		return fmt.Errorf("main: %w", err)
	}
	if len(n.Zones) == 0 {
		return fmt.Errorf("the network has no zones; it needs at least 1: open one")
	}
	for z, zone := range n.Zones {
		if err := checkParts(zone.Supply); err != nil {
			return fmt.Errorf("zone %d, supply: %w", z+1, err)
		}
		if len(zone.Headers) == 0 {
			return fmt.Errorf("zone %d has no headers; it needs at least 1: give it one with its rows", z+1)
		}
		for h, header := range zone.Headers {
			if err := header.check(); err != nil {
				return fmt.Errorf("zone %d, header %d: %w", z+1, h+1, err)
			}
		}
	}
	checked := map[Lateral]bool{} // rows of one make are checked once
	return n.each(func(_, _, _ int, r Row) error {
		if err := within("place of the row", r.At, "m", 0, 1e5, "measure it along the header from where that is fed"); err != nil {
			return err
		}
		if err := checkParts(r.Lead); err != nil {
			return err
		}
		if r.Tapes < 0 {
			return within("number of tapes", float64(r.Tapes), "", 0, math.Inf(1), "a row has one tape or more")
		}
		if checked[r.Lateral] {
			return nil
		}
		checked[r.Lateral] = true
		return r.Lateral.check()
	})
}

func (h Header) check() error {
	if len(h.Rows) == 0 {
		return fmt.Errorf("it has no rows; it needs at least 1: give it the rows it feeds")
	}
	if err := checkDiameter(h.Diameter); err != nil {
		return err
	}
	if err := checkFriction(h.Law, h.C); err != nil {
		return err
	}
	return within("slope of the header", h.Slope, "", -0.99, 0.99, "give m of rise on each m of pipe: 0.02 for 2 %")
}

func checkParts(parts []Part) error {
	for i, p := range parts {
		if p == nil {
			return fmt.Errorf("part %d is empty: leave it out", i+1)
		}
		if err := p.check(); err != nil {
			return fmt.Errorf("part %d: %w", i+1, err)
		}
	}
	return nil
}
