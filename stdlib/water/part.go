package water

import (
	"cmp"
	_ "embed"
	"math"

	"haulm/stdlib/table"
)

// Part is one thing that water runs through on its way: a Pipe, a Fitting, a Filter or a Regulator.
type Part interface {
	check() error
	link() link
}

// Pipe is a run of pipe.
type Pipe struct {
	Length   float64 // m
	Diameter float64 // inside, m
	Law      Law
	C        float64 // of Hazen-Williams; see PipeC
	Rise     float64 // m from its inlet to its outlet, negative downhill
}

// Fitting is an elbow, a tee, a valve: it loses K rho v^2 / 2, v the speed in the bore named.
type Fitting struct {
	K        float64 // see FittingK
	Diameter float64 // m
}

// Filter loses Loss at Flow, and with the square of the flow at others (common practice).
type Filter struct {
	Loss float64 // Pa
	Flow float64 // m3/s
}

// Regulator lets no more than Set through, and loses Loss where less comes in than that.
type Regulator struct {
	Set  float64 // Pa
	Loss float64 // Pa, wide open
}

func (p Pipe) check() error {
	return cmp.Or(
		above("length of the pipe", p.Length, "m", 0, 1e6, "leave out a pipe that has none"),
		checkDiameter(p.Diameter),
		checkFriction(p.Law, p.C),
		within("rise of the pipe", p.Rise, "m", -p.Length, p.Length, "a pipe cannot rise more than it is long"))
}

func (f Fitting) check() error {
	return cmp.Or(
		within("K of the fitting", f.K, "", 0, 1000, "elbows and tees have 0.4 to 1.8"),
		checkDiameter(f.Diameter))
}

func (f Filter) check() error {
	return cmp.Or(
		within("loss of the filter", f.Loss, "Pa", 0, 1e7, "take it from the filter's sheet"),
		above("flow of the filter", f.Flow, "m3/s", 0, 100, "take the flow that the sheet names beside the loss"))
}

func (r Regulator) check() error {
	return cmp.Or(
		above("pressure of the regulator", r.Set, "Pa", 0, 1e7, "take the one stamped on it"),
		within("loss of the regulator", r.Loss, "Pa", 0, 1e7, "take it from the regulator's sheet"))
}

// link is a part made ready: it loses bore's friction over length, square times the square of the flow, and
// fixed; and lets at most set through.
type link struct {
	bore          bore
	length        float64
	square, fixed float64
	set           float64 // infinite where nothing regulates
	area          float64 // 0 where the part has no one bore
	share         float64 // of the flow that goes through it, where others like it lie beside it
}

func (p Pipe) link() link {
	return link{
		bore: newBore(p.Law, p.Diameter, p.C), length: p.Length, fixed: weight * p.Rise,
		set: math.Inf(1), area: area(p.Diameter), share: 1,
	}
}

func (f Fitting) link() link {
	a := area(f.Diameter)
	return link{square: f.K * density / 2 / (a * a), set: math.Inf(1), area: a, share: 1}
}

func (f Filter) link() link {
	return link{square: f.Loss / (f.Flow * f.Flow), set: math.Inf(1), share: 1}
}

func (r Regulator) link() link { return link{set: r.Set, fixed: r.Loss, share: 1} }

// loss gives the pressure that the link takes at a flow, and its change with it.
func (l *link) loss(flow float64) (loss, slope float64) {
	q := flow * l.share
	loss, slope = l.fixed+l.square*q*q, 2*l.square*q
	if l.length > 0 {
		j, js := l.bore.loss(q)
		loss += j * l.length
		slope += js * l.length
	}
	return loss, slope * l.share
}

var (
	//go:embed pipes.csv
	pipesCSV string
	//go:embed fittings.csv
	fittingsCSV string
)

// PipeC gives the Hazen-Williams C of a pipe's material: polyethylene, pvc, aluminum, steel, copper, layflat.
// The low end is the careful one.
func PipeC(material string) (c Range, ok bool) {
	for _, r := range table.Read("pipes.csv", pipesCSV) {
		if r.Text("material") == material {
			return pair(r, "c"), true
		}
	}
	return Range{}, false
}

// FittingK gives the K of a fitting: "elbow", "45 degree elbow", "tee, straight on", "tee, branch", "gate valve",
// "globe valve", "angle valve", "check valve", "entrance", "exit".
func FittingK(name string) (k float64, ok bool) {
	for _, r := range table.Read("fittings.csv", fittingsCSV) {
		if r.Text("fitting") == name {
			return r.Number("k", 0), true
		}
	}
	return 0, false
}
