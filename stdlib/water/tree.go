package water

import (
	"math"
	"slices"
)

// tree is a network as nodes, each behind one link from its parent, parents before children. Node 0 is the source's
// outlet.
//
// A round of Newton's rule goes over it three times. First every line is swept at the pressure its end is
// thought to have, which gives the flow it takes, and how that answers to the pressure at its node. Then,
// from the leaves to the root, the flow through each link is written as a + b times the pressure above it: all
// that hangs below is in the two numbers. The source's own answer closes the sum, and from the root to the
// leaves pressures and flows follow, and from them the next guess of each line's end.
type tree struct {
	source Source
	parent []int
	links  []link
	lines  []line

	pressure, flow   []float64 // of each node: there, and through its link
	a, b             []float64 // flow through the link = a + b * pressure above
	fixed, answering []float64 // flow below the link = fixed + answering * pressure at the node
	regulating       []bool

	main  []int // nodes behind the main's parts
	zones []zoneNodes

	rounds   int
	residual float64
}

type zoneNodes struct {
	top     int   // where its headers begin
	supply  []int // nodes behind the supply's parts
	headers []headerNodes
}

type headerNodes struct {
	node  int   // behind the header's first stretch
	lines []int // of the rows in the order given
	area  float64
}

// line is one row's lateral in the tree.
type line struct {
	*stepper
	node  int
	tapes float64
	end   float64 // pressure at its last emitter, as now thought
	swept swept
}

const (
	mostRounds = 80
	settled    = 1e-10 // of the source's pressure, or of its flow
)

// plant builds the tree of a network.
func plant(n Network) *tree {
	t := &tree{source: n.Source}
	start, _ := n.Source.at(0)
	t.parent, t.links, t.pressure = []int{-1}, []link{{}}, []float64{start}
	top := 0
	t.main, top = t.chain(top, n.Main)
	steppers := map[Lateral]*stepper{} // lines of one make share what is worked out once
	for _, zone := range n.Zones {
		var z zoneNodes
		z.supply, z.top = t.chain(top, zone.Supply)
		for _, header := range zone.Headers {
			z.headers = append(z.headers, t.branch(z.top, header, steppers))
		}
		t.zones = append(t.zones, z)
	}
	nodes := len(t.parent)
	t.flow, t.a, t.b = make([]float64, nodes), make([]float64, nodes), make([]float64, nodes)
	t.fixed, t.answering, t.regulating = make([]float64, nodes), make([]float64, nodes), make([]bool, nodes)
	for i := range t.lines {
		t.lines[i].end = t.lines[i].guess(t.pressure[t.lines[i].node])
	}
	return t
}

// add puts a node behind a link, at the pressure that still water would have there.
func (t *tree) add(parent int, l link) int {
	t.parent = append(t.parent, parent)
	t.links = append(t.links, l)
	t.pressure = append(t.pressure, min(l.set, t.pressure[parent]-l.fixed))
	return len(t.parent) - 1
}

func (t *tree) chain(node int, parts []Part) (nodes []int, last int) {
	for _, p := range parts {
		node = t.add(node, p.link())
		nodes = append(nodes, node)
	}
	return nodes, node
}

func (t *tree) branch(node int, header Header, steppers map[Lateral]*stepper) headerNodes {
	order := make([]int, len(header.Rows))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		switch a, b := header.Rows[i].At, header.Rows[j].At; {
		case a < b:
			return -1
		case a > b:
			return 1
		}
		return 0
	})
	h := headerNodes{lines: make([]int, len(order)), area: area(header.Diameter)}
	bore := newBore(header.Law, header.Diameter, header.C)
	at := 0.0
	for place, i := range order {
		r := header.Rows[i]
		if place == 0 || r.At > at {
			stretch := r.At - at
			node = t.add(node, link{bore: bore, length: stretch, fixed: weight * header.Slope * stretch, set: math.Inf(1), share: 1})
			at = r.At
		}
		if place == 0 {
			h.node = node
		}
		s := steppers[r.Lateral]
		if s == nil {
			s = newStepper(r.Lateral)
			steppers[r.Lateral] = s
		}
		h.lines[i] = len(t.lines)
		t.lines = append(t.lines, line{stepper: s, node: t.lead(node, r), tapes: float64(r.tapes())})
	}
	return h
}

// lead gives the node behind the parts from the header to a row's lines. Each line has its own, so together they lose
// at the row's flow what one loses at a line's.
func (t *tree) lead(node int, r Row) int {
	for _, p := range r.Lead {
		l := p.link()
		l.share = 1 / float64(r.tapes())
		node = t.add(node, l)
	}
	return node
}

// settle runs rounds until nothing is left open, and tells whether it came to that. Limited, the source's
// flow is held to its most and its pressure is what the zones then ask.
func (t *tree) settle(limited bool) bool {
	for round := 1; round <= mostRounds; round++ {
		t.rounds++
		t.sweep()
		if t.measure(limited) {
			return true
		}
		t.gather()
		t.pressure[0] = t.root(limited)
		t.spread()
	}
	return false
}

// sweep passes over every line, and sums their flows up to the source.
func (t *tree) sweep() {
	clear(t.flow)
	for i := range t.lines {
		l := &t.lines[i]
		if before := i - 1; i > 0 && t.lines[before].stepper == l.stepper && t.lines[before].end == l.end {
			l.swept = t.lines[before].swept
		} else {
			l.swept = l.sweep(l.end, 0)
		}
		t.flow[l.node] += l.tapes * l.swept.flow
	}
	for i := len(t.parent) - 1; i > 0; i-- {
		t.flow[t.parent[i]] += t.flow[i]
	}
}

// measure finds the largest pressure left open, and tells whether it is small enough.
func (t *tree) measure(limited bool) bool {
	start, _ := t.source.at(0)
	worst := 0.0
	open := func(p float64) {
		if p = math.Abs(p); !(p <= worst) { // also when it is not a number
			worst = p
		}
	}
	for i := 1; i < len(t.parent); i++ {
		loss, _ := t.links[i].loss(t.flow[i])
		open(min(t.links[i].set, t.pressure[t.parent[i]]-loss) - t.pressure[i])
	}
	for i := range t.lines {
		open(t.pressure[t.lines[i].node] - t.lines[i].swept.inlet)
	}
	if !limited {
		p, _ := t.source.at(t.flow[0])
		open(p - t.pressure[0])
	}
	t.residual = worst
	return worst <= settled*start && (!limited || math.Abs(t.flow[0]-t.source.Flow) <= settled*t.source.Flow)
}

// gather writes the flow through each link as a + b times the pressure above it.
func (t *tree) gather() {
	clear(t.fixed)
	clear(t.answering)
	for i := range t.lines {
		l := &t.lines[i]
		answer := l.swept.flowSlope / l.swept.inletSlope
		t.fixed[l.node] += l.tapes * (l.swept.flow - answer*l.swept.inlet)
		t.answering[l.node] += l.tapes * answer
	}
	for i := len(t.parent) - 1; i > 0; i-- {
		loss, slope := t.links[i].loss(t.flow[i])
		base := loss - slope*t.flow[i]
		t.regulating[i] = t.pressure[t.parent[i]]-loss > t.links[i].set
		if t.regulating[i] {
			t.a[i], t.b[i] = t.fixed[i]+t.answering[i]*t.links[i].set, 0
		} else {
			below := 1 + t.answering[i]*slope
			t.a[i], t.b[i] = (t.fixed[i]-t.answering[i]*base)/below, t.answering[i]/below
		}
		up := t.parent[i]
		t.fixed[up] += t.a[i]
		t.answering[up] += t.b[i]
	}
}

// root gives the source's next pressure.
func (t *tree) root(limited bool) float64 {
	now := t.pressure[0]
	if limited {
		// Where regulators or compensating emitters hold the flow, only much less pressure tells.
		if t.answering[0]*now < 1e-6*t.source.Flow {
			return now / 2
		}
		return clamp((t.source.Flow-t.fixed[0])/t.answering[0], now/10, t.source.Pressure)
	}
	p, slope := t.source.at(t.flow[0])
	return (p + slope*(t.fixed[0]-t.flow[0])) / (1 - slope*t.answering[0])
}

// spread brings the pressures down from the source to the ends of the lines.
func (t *tree) spread() {
	for i := 1; i < len(t.parent); i++ {
		above := t.pressure[t.parent[i]]
		if t.regulating[i] {
			t.pressure[i] = t.links[i].set
			continue
		}
		loss, slope := t.links[i].loss(t.flow[i])
		t.pressure[i] = above - loss - slope*(t.a[i]+t.b[i]*above-t.flow[i])
	}
	for i := range t.lines {
		l := &t.lines[i]
		step := (t.pressure[l.node] - l.swept.inlet) / l.swept.inletSlope
		// A long step down could dry a line that only needs less; one that must go dry gets there in some rounds.
		const keep, nothing = 0.8, 1e-3
		if least := l.swept.least; least > nothing && step < -keep*least {
			step = -keep * least
		}
		l.end += step
	}
}
