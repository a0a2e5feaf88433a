package water

import (
	"math"
	"slices"
)

// tree is a network as nodes, each behind one link from its parent, parents before children. Node 0 is the
// source's outlet.
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
	last             []float64 // pressures of the round before
	a, b             []float64 // flow through the link = a + b * pressure above
	fixed, answering []float64 // flow below the link = fixed + answering * pressure at the node
	regulating       []bool

	main  []int // nodes behind the main's parts
	zones []zoneNodes

	held     float64 // pressure that the source is held at; NaN where it follows its own law
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
	mostRounds  = 60    // at one pressure of the source
	allRounds   = 400   // in search of the pressure at which it gives its most
	quickRounds = 12    // before lines are followed, not stepped
	closed      = 1e-10 // of the source's pressure, or of its flow: what may be left open
	coarse      = 1e-4  // the same where no more can be told
	stuck       = 0.9   // of what was open, that is still open when rounds bring little
)

// plant builds the tree of a network.
func plant(n Network) *tree {
	t := &tree{source: n.Source, held: math.NaN()}
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
	t.flow, t.last, t.a, t.b = make([]float64, nodes), make([]float64, nodes), make([]float64, nodes), make([]float64, nodes)
	t.fixed, t.answering, t.regulating = make([]float64, nodes), make([]float64, nodes), make([]bool, nodes)
	t.begin()
	return t
}

// begin gives every line's end a pressure to begin with: that of still water at its node's, unless friction takes
// most of it.
func (t *tree) begin() {
	const most = 3
	for i := range t.lines {
		l := &t.lines[i]
		l.end = l.guess(t.pressure[l.node])
	}
	t.sweep()
	for i := range t.lines {
		l := &t.lines[i]
		if p := t.pressure[l.node]; p > 0 && l.swept.inlet > most*p {
			l.end, _, _ = l.solve(p)
			l.swept = l.sweep(l.end, 0)
		}
	}
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

// lead gives the node behind the parts from the header to a row's lines. Each line has its own, so together they
// lose at the row's flow what one loses at a line's.
func (t *tree) lead(node int, r Row) int {
	for _, p := range r.Lead {
		l := p.link()
		l.share = 1 / float64(r.tapes())
		node = t.add(node, l)
	}
	return node
}

// settle runs rounds until nothing is left open, and tells whether it came to that.
func (t *tree) settle() bool {
	start, _ := t.source.at(0)
	for round := 1; round <= mostRounds; round++ {
		t.rounds++
		t.sum()
		before := t.residual
		t.residual = t.open()
		switch {
		case t.residual <= closed*start:
			return true
		case math.IsInf(t.residual, 1):
			return false
		}
		careful := round > quickRounds
		// A line that hardly flows to its end cannot be told finer than so, and then rounds bring nothing.
		if careful && t.residual <= coarse*start && t.residual > before/2 {
			return true
		}
		t.gather()
		copy(t.last, t.pressure)
		t.pressure[0] = t.root()
		t.spread()
		if careful && t.residual > stuck*before {
			t.ease()
		}
		t.aim(careful)
		t.sweep()
	}
	return false
}

// limit lowers the source's pressure until the zones take no more than its most, and tells whether it came to
// that. The square of the flow follows the pressure almost in a line, so Newton's rule on it is quick; a bracket
// keeps it from straying where regulators or compensating emitters hold the flow.
func (t *tree) limit() bool {
	const most, nothing = 40, 1e-6
	low, high := 0., t.source.Pressure
	q, want := t.flow[0], t.source.Flow
	for range most {
		if math.Abs(q-want) <= 10*closed*want {
			return true
		}
		if high < nothing*t.source.Pressure || t.rounds > allRounds {
			break // at no pressure, the ground falls and draws by itself
		}
		now := t.pressure[0]
		if q > want {
			high = now
		} else {
			low = now
		}
		t.gather()
		t.held = now + (want*want-q*q)/(2*q*t.answering[0])
		if !(t.held > low && t.held < high) {
			t.held = (low + high) / 2
		}
		if !t.settle() {
			return false
		}
		q = t.flow[0]
	}
	return math.Abs(q-want) <= coarse*want
}

// sweep passes over every line; neighbors alike in all share it.
func (t *tree) sweep() {
	for i := range t.lines {
		l := &t.lines[i]
		if before := i - 1; i > 0 && t.lines[before].stepper == l.stepper && t.lines[before].end == l.end {
			l.swept = t.lines[before].swept
		} else {
			l.swept = l.sweep(l.end, 0)
		}
	}
}

// sum adds the lines' flows up to the source.
func (t *tree) sum() {
	clear(t.flow)
	for i := range t.lines {
		t.flow[t.lines[i].node] += t.lines[i].tapes * t.lines[i].swept.flow
	}
	for i := len(t.parent) - 1; i > 0; i-- {
		t.flow[t.parent[i]] += t.flow[i]
	}
}

// open finds the largest pressure left open.
func (t *tree) open() float64 {
	worst := 0.0
	note := func(p float64) {
		if math.IsNaN(p) {
			p = math.Inf(1)
		}
		worst = max(worst, math.Abs(p))
	}
	for i := 1; i < len(t.parent); i++ {
		loss, _ := t.links[i].loss(t.flow[i])
		note(min(t.links[i].set, t.pressure[t.parent[i]]-loss) - t.pressure[i])
	}
	for i := range t.lines {
		note(t.pressure[t.lines[i].node] - t.lines[i].swept.inlet)
	}
	p := t.held
	if math.IsNaN(p) {
		p, _ = t.source.at(t.flow[0])
	}
	note(p - t.pressure[0])
	return worst
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
func (t *tree) root() float64 {
	if !math.IsNaN(t.held) {
		return t.held
	}
	p, slope := t.source.at(t.flow[0])
	return (p + slope*(t.fixed[0]-t.flow[0])) / (1 - slope*t.answering[0])
}

// spread brings the pressures down from the source to the lines.
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
}

// ease goes half the way only: where a flow is about to turn turbulent, a whole step leads from one side to the
// other and back.
func (t *tree) ease() {
	for i := range t.pressure {
		t.pressure[i] = (t.pressure[i] + t.last[i]) / 2
	}
}

// aim gives every line's end the next pressure to try.
func (t *tree) aim(careful bool) {
	for i := range t.lines {
		l := &t.lines[i]
		p := t.pressure[l.node]
		if careful {
			l.follow(p)
		} else {
			l.step(p)
		}
	}
}

// keep is the share of a line's pressure that one round may take at most.
const keep = 0.8

// step moves the end by what Newton's rule asks for a pressure at the inlet. A long step down could dry a line
// that only needs less; one that must run dry gets there.
func (l *line) step(pressure float64) {
	step := (pressure - l.swept.inlet) / l.swept.inletSlope
	least := l.swept.least
	if full := pressure > 0 && l.climb <= 0 && least > 0; step < -keep*least && (full || least > Trickle) {
		step = -keep * least
	}
	l.end += step
}

// follow solves the line for a pressure at its inlet. It is slower than step, and sure where emitters close to no
// pressure turn from giving all to giving nothing.
func (l *line) follow(pressure float64) {
	if now := l.swept.inlet; now > Trickle {
		pressure = max(pressure, (1-keep)*now)
	}
	l.end, _, _ = l.solve(pressure)
}
