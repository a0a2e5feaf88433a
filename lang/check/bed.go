package check

import (
	"fmt"
	"math"

	"haulm/lang/diag"
)

var linesTooClose = &diag.Rule{
	Code:     "lines-too-close",
	Severity: diag.Warning,
	Summary:  "the lines of a bed are closer than the crop's plants may stand",
	Explain: `In a bed the distance from line to line is as much room as that from plant to plant: neither may be less
than the least spacing of the crop's range. In a staggered bed the plants of the next line stand half a
spacing further along, so the distance is taken to the nearest of them.

Set the lines farther apart, plant fewer of them, or stagger the bed.`,
	Example: `farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
tomato = crop("tomato", family = "Solanaceae", spacing = (18 * inch, 36 * inch), row_spacing = 4 * ft)
bed = row(bench, at = 6 * ft, lines = 3, line_spacing = 6 * inch)
plant(bed, tomato, fill = True, spacing = 24 * inch)
`,
	Source: "the crop's own range, by the source that `haulm doc` names for it; that it holds across a bed: common practice",
}

// beds sets the distance between the lines of a bed against the crop's range in the line.
func (p *pass) beds() {
	for _, pl := range p.facts.Plantings {
		if pl.Decl == nil || pl.Decl.Crop == nil || pl.Row == nil || len(pl.Row.Lines) < 2 || !pl.Decl.Crop.InRow.Known() {
			continue
		}
		row := pl.Row.Decl
		lines := pl.Row.Lines[1] - pl.Row.Lines[0]
		apart := lines
		if row.Staggered.Value {
			apart = math.Hypot(lines, pl.Spacing/2)
		}
		r := pl.Decl.Crop.InRow.Told(p.units)
		if apart >= r.Low-slack {
			continue
		}
		finding := diag.Diagnostic{
			Rule: linesTooClose,
			Message: fmt.Sprintf("the lines of %s are %s apart; %s needs %s from plant to plant", rowName(pl.Row), p.short(lines),
				cropName(pl), p.short(r.Low)),
			Primary: diag.Label{Span: row.LineSpacing.Span, Text: p.short(lines) + " from line to line"},
			Related: labels(diag.Label{Span: pl.Decl.CropSpan, Text: "needs " + p.short(r.Low)}, row.LineSpacing.Span),
			Values:  []diag.Value{{Name: "line spacing", Text: p.short(lines)}, {Name: "needed", Text: p.short(r.Low)}},
			Help:    fmt.Sprintf("%s: %s in the line (%s)", cropName(pl), p.span(&r), credit(&r)),
			Fixes:   change(p, &row.Decl, &row.LineSpacing, "line_spacing", p.expr(r.Low), "Set the lines "+p.short(r.Low)+" apart"),
		}
		p.report(&row.Decl, rowName(pl.Row), finding)
	}
}
