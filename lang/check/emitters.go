package check

import (
	"fmt"
	"math"
	"slices"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

var rowTooLong = &diag.Rule{
	Code: "row-too-long-for-tape", Severity: diag.Warning,
	Summary: "a row is longer than its tape can water evenly",
	Explain: `Pressure falls along a tape by friction, and by the slope where the row climbs, so the far emitters give
less. The emission uniformity of the row alone, EU = 100 (1 - 1.27 Cv) qmin/qavg, is set against what is
recommended for the slope. The longest row that keeps it is worked out with the same steps.

Feed the row from its middle, lay a tape of less flow or wider tube, or shorten the row.`,
	Example: `farm("Ferry Bank", year = 2027)
spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
strip = plot("Long strip", length = 1210 * ft, width = 40 * ft, headland = 5 * ft)
fruiting = zone("fruiting", source = spring, tape = tape, regulator = 10 * psi)
row(strip, at = 4 * ft, zone = fruiting)
`,
	Source: "design emission uniformity after ASABE EP405.1; recommended values from memory",
}

var unevenWatering = &diag.Rule{
	Code: "uneven-watering", Severity: diag.Warning,
	Summary: "a zone waters its rows unevenly",
	Explain: `The emission uniformity over all emitters of a zone says what the driest get against the mean. Below the
recommended value the wet rows are drowned so that the dry ones have enough. Header losses, rows of unlike
length and slopes do it, where no single row is too long by itself.

Widen the header, feed it in its middle, regulate at the zone, or split the zone.`,
	Example: `farm("Ferry Bank", year = 2027)
spring = water_source("spring box", flow = 30 * gpm, pressure = 32 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 60 * ft, width = 610 * ft, headland = 5 * ft)
fruiting = zone("fruiting", source = spring, tape = tape, regulator = 8 * psi,
                header = pipe(length = 600 * ft, inside_diameter = 0.5 * inch))
rows(bench, count = 10, first = 4 * ft, apart = 60 * ft, zone = fruiting)
`,
	Source: "design emission uniformity after ASABE EP405.1; recommended values from memory",
}

var dryGap = &diag.Rule{
	Code: "dry-gap-between-emitters", Severity: diag.Warning,
	Summary: "the ground between two emitters stays dry",
	Explain: `Each emitter wets a bulb whose width follows from the soil's texture, the emitter's flow and the time it
runs; the time is at most what wets the ground to the depth of the roots. Where two bulbs do not touch, seed
between them does not come up and small plants starve. Such widths are rough: plus or minus half.

Lay a tape with emitters closer together, or plant at the emitters.`,
	Example: `farm("Ferry Bank", year = 2027)
spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi)
tape = drip_tape(emitter_spacing = 24 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft, soil = soil(texture = "sand"))
fruiting = zone("fruiting", source = spring, tape = tape, regulator = 10 * psi)
row(bench, at = 4 * ft, zone = fruiting)
`,
	Source: "Schwartzman and Zur 1986, memory; widths seen by texture",
}

var spacingBeyondSoil = &diag.Rule{
	Code: "emitter-spacing-beyond-soil", Severity: diag.Note,
	Summary: "emitters are farther apart than makes an even strip on this soil",
	Explain: `For a strip that is wet from end to end the bulbs must overlap: emitters no farther apart than four fifths
of the width that one wets. Beyond that the strip is wet in beads. For large plants that is often no harm.`,
	Example: `farm("Ferry Bank", year = 2027)
spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft, soil = soil(texture = "sand"))
fruiting = zone("fruiting", source = spring, tape = tape, regulator = 10 * psi)
row(bench, at = 4 * ft, zone = fruiting)
`,
	Source: "Keller and Bliesner 1990, spacing 0.8 of the wetted width, memory",
}

var foldHoldsEmitter = &diag.Rule{
	Code: "fold-holds-an-emitter", Severity: diag.Warning,
	Summary: "the folded end of a slit tape holds an emitter, which leaks",
	Explain: `The end of a tape is folded over and slid into a sleeve. A slit in the fold cannot close and runs all
season. Tapes are cut so that the fold lies between two emitters; where emitters stand closer than the fold is
long that cannot be.

Close such a tape with an end fitting instead of a fold.`,
	Example: `farm("Ferry Bank", year = 2027)
spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi)
tape = drip_tape(emitter_spacing = 2 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
fruiting = zone("fruiting", source = spring, tape = tape, regulator = 10 * psi)
row(bench, at = 4 * ft, zone = fruiting)
`,
	Source: "common practice",
}

var rowWithoutWater = &diag.Rule{
	Code: "row-without-water", Severity: diag.Note,
	Summary: "a planted row hangs on no valve while others do",
	Explain: `The plan lays out zones, and this planted row is in none. No flow and no hours are reckoned for it.

Give it one with ` + "`zone = ...`" + `, or accept the note where it
is watered by hand or by rain.`,
	Example: wateredGround + `fruiting = zone("fruiting", source = spring, tape = tape, regulator = 10 * psi)
beet = crop("beet", family = "Amaranthaceae", spacing = 3 * inch, row_spacing = 12 * inch)
sow(row(bench, at = 4 * ft, length = 20 * ft, zone = fruiting), beet, fill = True)
sow(row(bench, at = 8 * ft, length = 20 * ft), beet, fill = True)
`,
	Source: "common practice",
}

var zoneWithoutRows = &diag.Rule{
	Code: "zone-without-rows", Severity: diag.Note,
	Summary: "no row hangs on a zone",
	Explain: `A valve and its pipes are planned and nothing is watered by them. They would still be bought and laid.

Rows join a zone with ` + "`zone = ...`" + `.`,
	Example: wateredGround + `fruiting = zone("fruiting", source = spring, tape = tape)
`,
	Source: "common practice",
}

// emitters holds the tapes against their rows and their soil.
func (p *pass) emitters() {
	w := p.facts.Water
	if w == nil {
		return
	}
	for _, z := range w.Zones {
		if z.Decl != nil && len(z.Rows) == 0 {
			p.report(&z.Decl.Decl, zoneName(z), diag.Diagnostic{
				Rule: zoneWithoutRows, Message: fmt.Sprintf("no row hangs on %s", zoneName(z)),
				Primary: diag.Label{Span: z.Decl.Name.Span, Text: "no rows"},
			})
		}
	}
	if slices.ContainsFunc(w.Zones, func(z *derive.ZoneWater) bool { return len(z.Rows) > 0 }) {
		p.withoutWater()
	}
	type laid struct {
		tape    *farm.DripTape
		texture string
	}
	told := map[laid]bool{}
	p.solved(func(z *derive.ZoneWater) {
		long := false
		for _, r := range z.Rows {
			if r.Unsolved != "" || r.Row == nil {
				continue
			}
			long = p.tooLong(z, r) || long
			if on := (laid{z.Decl.Tape, ""}); !told[on] {
				told[on] = p.fold(z, r)
			}
			if r.Wetting == nil {
				continue
			}
			if on := (laid{z.Decl.Tape, r.Wetting.Texture}); !told[on] {
				told[on] = p.wetting(z, r)
			}
		}
		if !long && z.EU < z.Wanted.Low {
			p.uneven(z)
		}
	})
}

func (p *pass) withoutWater() {
	for _, r := range p.facts.Water.Rows {
		if r.Zone != nil || r.Row == nil || len(r.Row.Plantings) == 0 {
			continue
		}
		p.report(&r.Row.Decl.Decl, rowName(r.Row), diag.Diagnostic{
			Rule: rowWithoutWater, Message: fmt.Sprintf("%s hangs on no valve; others do", rowName(r.Row)),
			Primary: diag.Label{Span: r.Row.Decl.Call, Text: "no zone"},
		})
	}
}

func (p *pass) tooLong(z *derive.ZoneWater, r *derive.RowWater) bool {
	if r.EU >= z.Wanted.Low {
		return false
	}
	finding := diag.Diagnostic{
		Rule: rowTooLong,
		Message: fmt.Sprintf("%s, %s long, is watered to %s evenness; %s is wanted", rowName(r.Row), p.long(r.Row.Length), percent(r.EU),
			percent(z.Wanted.Low)),
		Primary: diag.Label{Span: r.Row.Decl.Call, Text: fmt.Sprintf("%s at its head, %s at its driest emitter", p.pressure(r.Inlet), p.pressure(r.Least))},
		Related: labels(diag.Label{Span: z.Decl.Name.Span, Text: zoneName(z)}, r.Row.Decl.Call),
		Values:  []diag.Value{{Name: "EU", Text: percent(r.EU)}, {Name: "wanted", Text: percent(z.Wanted.Low)}},
	}
	if longest := r.LongestTape(z.Wanted.Low); longest > 0 && !math.IsInf(longest, 0) && longest < r.Row.Length {
		if shown, ok := p.shorter(longest); ok {
			finding.Message += fmt.Sprintf(". The tape waters %s evenly enough", p.long(shown))
			finding.Fixes = change(p, &r.Row.Decl.Decl, &r.Row.Decl.Length, "length", p.expr(shown), "Make the row "+p.long(shown)+" long")
		}
	}
	if wide, ok := p.nextTape(z, r); ok {
		tape := z.Decl.Tape
		finding.Message += fmt.Sprintf(". With a tape %s inside the row as it is gets %s", p.short(wide), percent(r.EUWith(wide)))
		finding.Fixes = append(finding.Fixes, change(p, &tape.Decl, &tape.InsideDiameter, "inside_diameter", p.expr(wide),
			"Lay tape "+p.short(wide)+" inside")...)
	}
	p.report(&r.Row.Decl.Decl, rowName(r.Row), finding)
	return true
}

// tapeSizes are the inside diameters in which tape is sold: 5/8, 7/8 and 1 3/8 in (16, 22 and 35 mm).
var tapeSizes = [...]float64{0.015875, 0.022225, 0.034925}

// nextTape is the narrowest wider tape that waters the row evenly enough.
func (p *pass) nextTape(z *derive.ZoneWater, r *derive.RowWater) (float64, bool) {
	for _, size := range tapeSizes {
		if size > z.Decl.Tape.InsideDiameter.Value.SI+slack && r.EUWith(size) >= z.Wanted.Low {
			return size, true
		}
	}
	return 0, false
}

// shorter rounds a length down to what is measured with a tape: whole feet or tenths of a meter.
func (p *pass) shorter(v float64) (float64, bool) {
	step := 0.3048
	if p.units == quantity.Metric {
		step = 0.1
	}
	v = math.Floor(v/step+1e-9) * step
	return v, v > 0
}

// ruled rounds a length down to what can be read off a ruler: quarters of an inch, or centimeters.
func (p *pass) ruled(v float64) float64 {
	step := 0.0254 / 4
	if p.units == quantity.Metric {
		step = 0.01
	}
	return math.Floor(v/step+1e-9) * step
}

func (p *pass) uneven(z *derive.ZoneWater) {
	p.report(&z.Decl.Decl, zoneName(z), diag.Diagnostic{
		Rule: unevenWatering,
		Message: fmt.Sprintf("%s is watered to %s evenness; %s is wanted. %s gets most, %s, and %s least, %s", zoneName(z), percent(z.EU),
			percent(z.Wanted.Low), rowName(z.MostRow.Row), p.pressure(z.Most), rowName(z.LeastRow.Row), p.pressure(z.Least)),
		Primary: diag.Label{Span: z.Decl.Name.Span, Text: percent(z.EU) + " even"},
		Related: labels(diag.Label{Span: z.LeastRow.Row.Decl.Call, Text: "gets least"}, z.Decl.Name.Span),
		Values:  []diag.Value{{Name: "EU", Text: percent(z.EU)}, {Name: "wanted", Text: percent(z.Wanted.Low)}},
	})
}

// wetting holds a tape against the soil of a row, and tells whether it found something.
func (p *pass) wetting(z *derive.ZoneWater, r *derive.RowWater) bool {
	tape, strip := z.Decl.Tape, r.Wetting.Strip
	spacing := tape.EmitterSpacing.Value.SI
	finding := diag.Diagnostic{
		Primary: diag.Label{Span: tape.EmitterSpacing.Span, Text: p.short(spacing) + " apart"},
		Related: labels(diag.Label{Span: r.Row.Decl.Call, Text: "on " + r.Wetting.Texture}, tape.EmitterSpacing.Span),
		Values:  []diag.Value{{Name: "wetted width", Text: p.short(strip.Width)}, {Name: "emitter spacing", Text: p.short(spacing)}},
		Help:    "widths of wetted ground are rough: dig after a run and look",
	}
	switch {
	case strip.Gap > slack:
		finding.Rule = dryGap
		finding.Message = fmt.Sprintf("on %s an emitter wets %s across; emitters %s apart leave %s dry between them", r.Wetting.Texture,
			p.short(strip.Width), p.short(spacing), p.short(strip.Gap))
	case spacing > strip.Reach+slack:
		finding.Rule = spacingBeyondSoil
		finding.Message = fmt.Sprintf("on %s emitters make an even strip up to %s apart; these are %s apart and wet it in beads", r.Wetting.Texture,
			p.short(p.ruled(strip.Reach)), p.short(spacing))
	default:
		return false
	}
	p.report(&tape.Decl, r.Wetting.Texture, finding)
	return true
}

// fold tells whether the fold of a tape cannot help holding an emitter.
func (p *pass) fold(z *derive.ZoneWater, r *derive.RowWater) bool {
	if !r.Cut.MustClear || r.Cut.InFold == 0 {
		return false
	}
	tape := z.Decl.Tape
	p.report(&tape.Decl, zoneName(z), diag.Diagnostic{
		Rule: foldHoldsEmitter,
		Message: fmt.Sprintf("emitters %s apart are closer than the fold of %s is long: wherever it is cut, the folded end holds %s and leaks",
			p.short(tape.EmitterSpacing.Value.SI), p.short(r.Cut.Fold), count(r.Cut.InFold, "an emitter", "%d emitters")),
		Primary: diag.Label{Span: tape.EmitterSpacing.Span, Text: "emitters"},
		Help:    "close the tapes with end fittings",
	})
	return true
}
