package check

import (
	"fmt"
	"math"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/stdlib/quantity"
)

var pressureTooLow = &diag.Rule{
	Code: "pressure-too-low", Severity: diag.Warning,
	Summary: "tapes get less pressure than they are made for",
	Explain: `The pressure that is left at the rows' heads, after supply line, filter, regulator and header, is set
against the pressure at which the tape gives its stated flow. Below four fifths of it the tape gives less
everywhere, and a slope or a long row counts for more. A regulator that gets less than it is set for does not
regulate.

Take a wider or shorter supply line, a cleaner or larger filter, fewer rows together, or more pressure.`,
	Example: `farm("Ferry Bank", year = 2027)
spring = water_source("spring box", flow = 11 * gpm, pressure = 4 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
fruiting = zone("fruiting", source = spring, tape = tape)
row(bench, at = 4 * ft, zone = fruiting)
`,
	Source: "the tape's own label; four fifths: common practice",
}

var pressureTooHigh = &diag.Rule{
	Code: "pressure-too-high-for-tape", Severity: diag.Warning,
	Summary: "tapes get more pressure than thin tape bears",
	Explain: `Thin-walled tape runs at 8 to 15 psi; thicker walls bear up to 20 psi. Above that seams open and fittings
blow off. The tape's label has the last word.

Put a regulator before the zone, set for the pressure on the tape's label.`,
	Example: `farm("Ferry Bank", year = 2027)
spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
fruiting = zone("fruiting", source = spring, tape = tape)
row(bench, at = 4 * ft, zone = fruiting)
`,
	Source: "University of Massachusetts, drip tape for irrigation (8 to 20 psi by wall); 15 psi for thin tape: common practice",
}

var supplyLineTooFast = &diag.Rule{
	Code: "supply-line-too-fast", Severity: diag.Warning,
	Summary: "water runs through a pipe faster than 1.5 m/s (5 ft/s)",
	Explain: `At more than 1.5 m/s (5 ft/s) friction eats the pressure, and a valve that shuts sends a blow through the
line (water hammer) that bursts fittings. The speed is the flow over the pipe's inside area.

Take the next wider pipe, or let fewer rows run together.`,
	Example: `farm("Ferry Bank", year = 2027)
spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 210 * ft, width = 60 * ft, headland = 5 * ft)
fruiting = zone("fruiting", source = spring, tape = tape, regulator = 10 * psi,
                supply = pipe(length = 40 * ft, inside_diameter = 0.75 * inch))
rows(bench, count = 10, first = 4 * ft, apart = 4 * ft, zone = fruiting)
`,
	Source: "Boman, UF/IFAS Cir1425 (5 ft/s)",
}

const (
	thinTape  = 15 * 6894.757293168361 // Pa
	fastWater = 1.5                    // m/s
	lowShare  = 0.8                    // of the tape's own pressure
)

// pressures holds what reaches the tapes against what they are made for, and the pipes against their speed.
func (p *pass) pressures() {
	p.solved(func(z *derive.ZoneWater) {
		p.tooLow(z)
		if z.Most > thinTape*(1+1e-9) {
			p.tooHigh(z)
		}
		p.tooFast(z, &z.Supply, "supply line")
		p.tooFast(z, &z.Header, "header")
	})
}

func (p *pass) tooLow(z *derive.ZoneWater) {
	tape := z.Decl.Tape
	finding := diag.Diagnostic{
		Rule:    pressureTooLow,
		Primary: diag.Label{Span: z.Decl.Name.Span, Text: p.pressure(z.After) + " at the rows' heads"},
		Values:  []diag.Value{{Name: "pressure", Text: p.pressure(z.After)}, {Name: "tape", Text: p.pressure(tape.At.Value.SI)}},
		Help: fmt.Sprintf("the supply line takes %s, filter and fittings %s, the header %s", p.pressure(z.Supply.Loss),
			p.pressure(z.Filter), p.pressure(z.Header.Loss)),
	}
	switch set := z.Decl.Regulator; {
	case z.Dry > 0:
		finding.Message = fmt.Sprintf("no water reaches %s of %s", count(z.Dry, "1 emitter", "%d emitters"), zoneName(z))
	case z.After < lowShare*tape.At.Value.SI:
		finding.Message = fmt.Sprintf("the rows of %s get %s; the tape is made for %s", zoneName(z), p.pressure(z.After), p.pressure(tape.At.Value.SI))
		finding.Related = labels(diag.Label{Span: tape.At.Span, Text: "made for"}, z.Decl.Name.Span)
	case set.Given && z.Before < set.Value.SI*(1-1e-6):
		finding.Message = fmt.Sprintf("%s reaches the regulator of %s, which is set for %s and so does not regulate", p.pressure(z.Before),
			zoneName(z), p.pressure(set.Value.SI))
		finding.Primary = diag.Label{Span: set.Span, Text: p.pressure(z.Before) + " reaches it"}
	default:
		return
	}
	p.report(&z.Decl.Decl, zoneName(z), finding)
}

func (p *pass) tooHigh(z *derive.ZoneWater) {
	d := z.Decl
	finding := diag.Diagnostic{
		Rule: pressureTooHigh,
		Message: fmt.Sprintf("the tapes of %s get %s; thin tape bears %s", zoneName(z), p.pressure(z.Most),
			p.pressure(thinTape)),
		Primary: diag.Label{Span: d.Name.Span, Text: p.pressure(z.Most)},
		Values:  []diag.Value{{Name: "pressure", Text: p.pressure(z.Most)}, {Name: "limit", Text: p.pressure(thinTape)}},
		Help:    "the tape's label has the last word",
	}
	at := d.Tape.At.Value.SI
	if text := p.units.Expr(d.Tape.At.Value); text != "" && at <= thinTape {
		finding.Message += fmt.Sprintf(". Regulate it to %s", p.pressure(at))
		finding.Fixes = change(p, &d.Decl, &d.Regulator, "regulator", text, "Regulate to "+p.pressure(at))
	}
	p.report(&d.Decl, zoneName(z), finding)
}

func (p *pass) tooFast(z *derive.ZoneWater, run *derive.Run, what string) {
	if run.Pipe == nil || run.Speed <= fastWater*(1+1e-9) {
		return
	}
	least := p.boreFor(run.Flow)
	finding := diag.Diagnostic{
		Rule: supplyLineTooFast,
		Message: fmt.Sprintf("water runs at %s through the %s of %s, %s inside; %s is fast enough. It takes a pipe of %s inside",
			p.speed(run.Speed), what, zoneName(z), p.short(run.Pipe.InsideDiameter.Value.SI), p.speed(fastWater), p.short(least)),
		Primary: diag.Label{Span: run.Pipe.InsideDiameter.Span, Text: p.speed(run.Speed)},
		Related: labels(diag.Label{Span: z.Decl.Name.Span, Text: p.flow(run.Flow)}, run.Pipe.InsideDiameter.Span),
		Values:  []diag.Value{{Name: "speed", Text: p.speed(run.Speed)}, {Name: "limit", Text: p.speed(fastWater)}},
		Fixes: change(p, &run.Pipe.Decl, &run.Pipe.InsideDiameter, "inside_diameter", p.expr(least),
			"Take a pipe of "+p.short(least)+" inside"),
	}
	p.report(&run.Pipe.Decl, zoneName(z), finding)
}

// boreFor is the inside diameter at which a flow is no faster than it should be, in quarter inches or whole
// millimeters up.
func (p *pass) boreFor(flow float64) float64 {
	step := 0.0254 / 4
	if p.units == quantity.Metric {
		step = 0.001
	}
	return math.Ceil(math.Sqrt(4*flow/(math.Pi*fastWater))/step-1e-9) * step
}

func (p *pass) speed(v float64) string {
	if p.units == quantity.Metric {
		return fmt.Sprintf("%.1f m/s", v)
	}
	return fmt.Sprintf("%.1f ft/s", v/0.3048)
}
