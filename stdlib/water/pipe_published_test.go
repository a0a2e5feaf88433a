package water

import "math"

const (
	gallon = 3.785411784e-3
)

// loss of a pipe's 100 ft at a flow, Pa.
func (g given) loss(law Law, c float64) float64 {
	p := Pipe{Length: 100 * foot, Diameter: g.n("d") * inchSI, Law: law, C: c}
	if err := p.check(); err != nil {
		g.t.Fatal(err)
	}
	l := p.link()
	loss, _ := l.loss(g.n("gpm") * gpm)
	return loss
}

// headFeet tells a pressure as feet of the water that flows.
func headFeet(pa float64) float64 { return pa / weight / foot }

func (g given) lateral(ft float64) Lateral {
	l := tape(g.n("flow"), ft*foot, g.n("x"))
	l.Diameter, l.Emitter.Spread = g.n("d")*inchSI, g.n("cv")
	return l
}

func (g given) lineRun(ft float64) Run {
	r, err := g.lateral(ft).Run(g.n("inlet") * psi)
	if err != nil {
		g.t.Fatal(err)
	}
	return r
}

// longest is the most whole feet of tape that meet a condition.
func (g given) longest(meets func(Run) bool) float64 {
	low, high := 1, 4000
	for high-low > 1 {
		middle := (low + high) / 2
		// A line so long that its end is dry meets nothing.
		r, err := g.lateral(float64(middle)).Run(g.n("inlet") * psi)
		if err == nil && meets(r) {
			low = middle
		} else {
			high = middle
		}
	}
	return float64(low)
}

// outletsLoss is the loss of a line whose emitters all give the same, by that of a pipe that carries the whole
// flow to its end.
func (g given) outletsLoss(law Law) float64 {
	// Big emitters keep the last stretch of the tube turbulent.
	n := g.n("n")
	l := Lateral{Diameter: 0.02, Spacing: 1, Length: n, Emitter: Emitter{K: 2e-4, X: 0}, Law: law, C: 150}
	s := newStepper(l)
	w := s.sweep(1e5, 0)
	j, _ := s.bore.loss(w.flow)
	return (w.inlet - 1e5) / (j * n)
}

var pipeChecks = map[string]func(given) float64{
	"Hazen-Williams psi/100 ft": func(g given) float64 { return g.loss(HazenWilliams, g.n("c")) / psi },
	"Hazen-Williams ft/100 ft":  func(g given) float64 { return headFeet(g.loss(HazenWilliams, g.n("c"))) },
	"friction ft/100 ft":        func(g given) float64 { return headFeet(g.loss(Law(g.n("law")), g.n("c"))) },
	"Watters-Keller to Blasius": func(g given) float64 { return g.loss(WattersKeller, 0) / g.loss(Blasius, 0) },
	"velocity ft/s":             func(g given) float64 { return ok(g)(Velocity(g.n("gpm")*gpm, g.n("d")*inchSI)) / foot },
	"flush gpm": func(g given) float64 {
		l := tape(0.45, 400*foot, 0.5)
		l.Diameter = g.n("d") * inchSI
		f, err := l.Flush(FlushVelocity)
		if err != nil {
			return math.NaN()
		}
		return f.End / gpm
	},
	"outlets F":      func(g given) float64 { return g.outletsLoss(Law(g.n("law"))) },
	"line end psi":   func(g given) float64 { return g.lineRun(g.n("ft")).End / psi },
	"line gpm":       func(g given) float64 { return g.lineRun(g.n("ft")).Flow / gpm },
	"line qmin/qavg": func(g given) float64 { r := g.lineRun(g.n("ft")); return r.LeastFlow / r.MeanFlow() },
	"line qvar %": func(g given) float64 {
		r := g.lineRun(g.n("ft"))
		return 100 * (1 - r.LeastFlow/r.MostFlow)
	},
	"longest run qvar": func(g given) float64 {
		return g.longest(func(r Run) bool { return 100*(1-r.LeastFlow/r.MostFlow) <= g.n("limit") })
	},
	"longest run EU": func(g given) float64 {
		return g.longest(func(r Run) bool { return r.EU >= g.n("limit") })
	},
	"emitter l/h": func(g given) float64 {
		q := g.n("flow") * gpm / (100 * foot) * g.n("spacing") * inchSI
		e, err := NewEmitter(q, 8*psi, 0.5, 0)
		if err != nil {
			return math.NaN()
		}
		return e.Flow(8*psi) * 1000 * 3600
	},
	"qvar of hvar %": func(g given) float64 {
		e := Emitter{K: 1, X: g.n("x")}
		return 100 * (1 - e.Flow(1e5*(1-g.n("hvar")/100))/e.Flow(1e5))
	},
}
