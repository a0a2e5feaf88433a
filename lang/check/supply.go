package check

import (
	"fmt"
	"math"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
)

// wateredGround begins the examples: a source, a tape, a plot.
const wateredGround = `farm("Ferry Bank", year = 2027)
spring = water_source("spring box", flow = 2 * gpm, pressure = 30 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 210 * ft, width = 40 * ft, headland = 5 * ft)
`

// wateredCorn is an example with a climate and a growing row; more is said of its source.
func wateredCorn(more string) string {
	return `load("crops", "radish", "sweet_corn")
farm("Ferry Bank", year = 2027, site = site(
    latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14",
    climate = climate(
        tmin = [degf(v) for v in [24, 27, 35, 45, 54, 63, 67, 65, 58, 46, 36, 28]],
        tmax = [degf(v) for v in [41, 46, 56, 67, 76, 84, 87, 86, 80, 69, 56, 45]],
    ),
))
spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi` + more + `)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
fruiting = zone("fruiting", source = spring, tape = tape, regulator = 10 * psi)
sow(row(bench, at = 4 * ft, zone = fruiting), sweet_corn, fill = True, on = "2027-05-20")
`
}

var zoneOverSupply = &diag.Rule{
	Code: "zone-over-supply", Severity: diag.Error,
	Summary: "the valves open together take more water than the source gives",
	Explain: `The flow of every emitter at its own pressure is added up over the zones that are open together and set
against what the source gives at its pressure. Taken beyond that, the pressure falls until the rows take what
there is: the far ends get least, and no run time makes up for it evenly.

Open fewer zones together, split the zone between two valves, or lay a tape of less flow.`,
	Example: wateredGround + `fruiting = zone("fruiting", source = spring, tape = tape)
rows(bench, count = 4, first = 4 * ft, apart = 4 * ft, zone = fruiting)
`,
	Source: "continuity of flow; emitter law q = k h^x (Keller and Bliesner)",
}

var waterNotBalanced = &diag.Rule{
	Code: "water-not-balanced", Severity: diag.Error,
	Summary: "flows and pressures of a zone could not be brought into balance",
	Explain: `Pressures are worked out by going from the source to the last emitter and back until nothing changes.
Where that does not come to rest the last state is shown, and it must not be planned with. A source far too
weak for what hangs on it, or a slope that drains the line, is the usual cause.`,
	Source: "conservation of energy along the pipes",
}

var zoneNotReckoned = &diag.Rule{
	Code: "zone-not-reckoned", Severity: diag.Note,
	Summary: "flow and pressure of a zone with rows cannot be worked out",
	Explain: `The rows of a zone are known, but something that the reckoning needs is missing or out of its bounds; the
message says what. Nothing is said of the zone's flow, evenness and hours until then.

Give the zone a ` + "`tape`" + `, its tape its label's figures, and its rows a length that a tape can have.`,
	Example: `farm("Ferry Bank", year = 2027)
spring = water_source("spring box", flow = 11 * gpm, pressure = 32 * psi)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
fruiting = zone("fruiting", source = spring)
row(bench, at = 4 * ft, zone = fruiting)
`,
	Source: "what the equations need",
}

var notEnoughHours = &diag.Rule{
	Code: "not-enough-hours", Severity: diag.Warning,
	Summary: "the week that needs most water needs more hours than there are",
	Explain: `For each week the valves must be open long enough for their neediest row; zones that do not run together
run one after the other. The sum is set against the source's ` + "`hours_per_week`" + `, or the 168 hours of a week.

Run zones together where the source bears it, lay a tape of more flow, or give the source more hours.`,
	Example: wateredCorn(", hours_per_week = 3"),
	Source:  "FAO-56 crop water need; arithmetic",
}

var sourceShortForSeason = &diag.Rule{
	Code: "source-short-for-season", Severity: diag.Warning,
	Summary: "the season takes more water than the source holds",
	Explain: `What all zones of a source send out over the season is set against its ` + "`season_volume`" + `, as of a pond or a
water right. The need is that of the crops' own weeks, less the rain that reaches their roots.

Mulch, fewer plants or a rainier month help; so does a second source.`,
	Example: wateredCorn(", season_volume = 500 * gal"),
	Source:  "FAO-56 crop water need; arithmetic",
}

var fertigationWithoutBackflow = &diag.Rule{
	Code: "fertigation-without-backflow-preventer", Severity: diag.Warning,
	Summary: "fertilizer is fed through water that could run back into the source",
	Explain: `When pressure fails, water with fertilizer can be drawn back into a well or a drinking-water line. A
preventer that fits the hazard stands between: local codes say which (often a reduced pressure zone assembly on
a public supply, a check valve with vacuum relief and low-pressure drain on a well), and many places want it
installed and tested by a licensed person. A vacuum breaker is no protection downstream of a pressure that
feeds fertilizer. Ask before you connect; this check is a reminder, not a permit.`,
	Example: `farm("Ferry Bank", year = 2027)
spring = water_source("well", flow = 8 * gpm, pressure = 30 * psi)
tape = drip_tape(emitter_spacing = 12 * inch, flow = 0.45 * gpm / (100 * ft), at = 8 * psi)
bench = plot("Lower bench", length = 110 * ft, width = 40 * ft, headland = 5 * ft)
fruiting = zone("fruiting", source = spring, tape = tape, regulator = 10 * psi, fertigated = True)
row(bench, at = 4 * ft, zone = fruiting)
`,
	Source: "Washington Administrative Code 16-202-1011 to -1018 on chemigation and fertigation, as one example; local codes rule",
}

// supply holds the zones against their source.
func (p *pass) supply() {
	w := p.facts.Water
	if w == nil {
		return
	}
	for _, g := range w.Groups {
		p.groupSupply(g)
	}
	for _, s := range w.Sources {
		p.sourceHours(s)
		p.sourceVolume(s)
	}
	for _, z := range w.Zones {
		p.reckoned(z)
		p.backflow(z)
	}
}

// reckoned reports a zone with rows whose flow is not known, with the reason.
func (p *pass) reckoned(z *derive.ZoneWater) {
	why := z.Unsolved
	if why == "" && z.Group != nil {
		why = z.Group.Unsolved
	}
	if z.Decl == nil || len(z.Rows) == 0 || why == "" {
		return
	}
	p.report(&z.Decl.Decl, zoneName(z), diag.Diagnostic{
		Rule:    zoneNotReckoned,
		Message: fmt.Sprintf("%s cannot be worked out: %s", zoneName(z), why),
		Primary: diag.Label{Span: z.Decl.Name.Span, Text: "no flow, no hours"},
	})
}

func (p *pass) groupSupply(g *derive.ZoneGroup) {
	if g.Unsolved != "" || len(g.Zones) == 0 || g.Source == nil {
		return
	}
	first, source := g.Zones[0].Decl, g.Source.Decl
	var names []string
	for _, z := range g.Zones {
		names = append(names, zoneName(z))
	}
	who := strings.Join(names, " and ")
	switch {
	case g.Unsettled != "":
		p.report(&first.Decl, who, diag.Diagnostic{
			Rule: waterNotBalanced,
			Message: fmt.Sprintf("flow and pressure of %s do not come to rest: %s. The last state has %s at %s", who, g.Unsettled,
				p.flow(g.Flow), p.pressure(g.Pressure)),
			Primary: diag.Label{Span: first.Name.Span, Text: count(g.Iterations, "1 round", "%d rounds")},
		})
	case g.Limited:
		parts := int(math.Ceil(g.Wants / source.Flow.Value.SI))
		verb := "takes"
		if len(g.Zones) > 1 {
			verb = "take"
		}
		p.report(&first.Decl, who, diag.Diagnostic{
			Rule: zoneOverSupply,
			Message: fmt.Sprintf("%s %s %s; %s gives %s at %s. Split it into %d parts that run one after the other", who, verb,
				p.flow(g.Wants), source.Name.Value, p.flow(source.Flow.Value.SI), p.pressure(source.Pressure.Value.SI), parts),
			Primary: diag.Label{Span: first.Name.Span, Text: p.flow(g.Wants)},
			Related: labels(diag.Label{Span: source.Flow.Span, Text: "what there is"}, first.Name.Span),
			Values:  []diag.Value{{Name: "wanted", Text: p.flow(g.Wants)}, {Name: "supply", Text: p.flow(source.Flow.Value.SI)}},
			Help:    fmt.Sprintf("as it is, %s flows and the pressure falls to %s", p.flow(g.Flow), p.pressure(g.Pressure)),
		})
	}
}

func (p *pass) sourceHours(s *derive.SourceWater) {
	if s.Decl == nil || s.Peak < 0 || s.Hours <= 0 || s.Weeks[s.Peak].Time <= s.Hours*(1+1e-9) {
		return
	}
	over := 0
	for _, week := range s.Weeks {
		if week.Time > s.Hours*(1+1e-9) {
			over++
		}
	}
	at := s.Decl.Name.Span
	if s.Decl.HoursPerWeek.Given {
		at = s.Decl.HoursPerWeek.Span
	}
	need := s.Weeks[s.Peak].Time
	p.report(&s.Decl.Decl, s.Decl.Name.Value, diag.Diagnostic{
		Rule: notEnoughHours,
		Message: fmt.Sprintf("in the week of %s, the valves on %s must be open for %s in all; there are %s", p.day(p.facts.Water.Weeks[s.Peak]),
			s.Decl.Name.Value, hours(need), hours(s.Hours)),
		Primary: diag.Label{Span: at, Text: "too short by " + hours(need-s.Hours)},
		Values:  []diag.Value{{Name: "needed", Text: hours(need)}, {Name: "there are", Text: hours(s.Hours)}},
		Help:    count(over, "1 week of the season is too short", "%d weeks of the season are too short"),
	})
}

func (p *pass) sourceVolume(s *derive.SourceWater) {
	if s.Decl == nil || !s.Decl.SeasonVolume.Given || s.Volume <= s.Decl.SeasonVolume.Value.SI*(1+1e-9) {
		return
	}
	have := s.Decl.SeasonVolume.Value.SI
	p.report(&s.Decl.Decl, s.Decl.Name.Value, diag.Diagnostic{
		Rule: sourceShortForSeason,
		Message: fmt.Sprintf("the season takes %s from %s, which holds %s: %s short", p.volume(s.Volume), s.Decl.Name.Value,
			p.volume(have), p.volume(s.Volume-have)),
		Primary: diag.Label{Span: s.Decl.SeasonVolume.Span, Text: "what there is"},
		Values:  []diag.Value{{Name: "needed", Text: p.volume(s.Volume)}, {Name: "there is", Text: p.volume(have)}},
	})
}

func (p *pass) backflow(z *derive.ZoneWater) {
	if z.Decl == nil || z.Decl.Source == nil {
		return
	}
	at, fed := p.fedThrough(z)
	if !fed {
		return
	}
	source := z.Decl.Source
	kept := source.Backflow.Value
	if kept == "air gap" || kept == "double check valve" || kept == "reduced pressure zone" {
		return
	}
	message := fmt.Sprintf("fertilizer is fed through %s, and nothing keeps it from running back into %s", zoneName(z), source.Name.Value)
	if strings.Contains(kept, "vacuum breaker") {
		message = fmt.Sprintf("fertilizer is fed through %s; the %s of %s does not hold against the pressure that feeds it",
			zoneName(z), kept, source.Name.Value)
	}
	p.report(&z.Decl.Decl, zoneName(z), diag.Diagnostic{
		Rule: fertigationWithoutBackflow, Message: message + ". Ask which preventer your local code wants",
		Primary: diag.Label{Span: at, Text: "fertilizer in the water"},
		Related: labels(diag.Label{Span: source.Name.Span, Text: source.Name.Value}, at),
		Help:    "local codes and licensed installers decide; say what is there with water_source(backflow = ...)",
	})
}
