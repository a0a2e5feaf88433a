package check

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/lang/diag"
)

var spacingTooTight = &diag.Rule{
	Code:     "spacing-too-tight",
	Severity: diag.Warning,
	Summary:  "plants stand closer in the line than their crop's range",
	Explain: `The planting's ` + "`spacing`" + ` is set against the low end of the crop's own range in the line, the one that
` + "`haulm doc`" + ` shows with its source. A planting that gives no spacing takes the middle of the range and is
never reported.

Crowded plants stay small and wet, and what is sown too thick is thinned by hand later. Take the low end
of the range or more, or give the crop the range that you have found to work:
` + "`beet.variety(\"ours\", spacing = (2 * inch, 4 * inch))`" + `.`,
	Example: `farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
tomato = crop("tomato", family = "Solanaceae", spacing = (18 * inch, 24 * inch), row_spacing = 4 * ft)
plant(row(bench, at = 4 * ft), tomato, fill = True, spacing = 12 * inch)
`,
	Source: "the crop's own range, by the source that `haulm doc` names for it",
}

var spacingTooWide = &diag.Rule{
	Code:     "spacing-too-wide",
	Severity: diag.Note,
	Summary:  "plants stand farther apart in the line than their crop's range",
	Explain: `The planting's ` + "`spacing`" + ` is set against the high end of the crop's own range in the line, the one that
` + "`haulm doc`" + ` shows with its source.

Wide spacing is often on purpose: room to pick and to reach every side of a plant, or one string to each.
Then nothing needs doing. Otherwise the row would carry more plants at the high end of the range.`,
	Example: `farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
tomato = crop("tomato", family = "Solanaceae", spacing = (18 * inch, 24 * inch), row_spacing = 4 * ft)
plant(row(bench, at = 4 * ft), tomato, fill = True, spacing = 36 * inch)
`,
	Source: "the crop's own range, by the source that `haulm doc` names for it",
}

// spacings sets the spacing of every planting against its crop's range.
func (p *pass) spacings() {
	for _, pl := range p.facts.Plantings {
		if pl.Decl == nil || pl.Decl.Crop == nil || !pl.Decl.Spacing.Given || !pl.Decl.Crop.InRow.Known() {
			continue
		}
		s, r := pl.Decl.Spacing.Value.SI, pl.Decl.Crop.InRow.Told(p.units)
		switch {
		case s < r.Low-slack:
			d := p.spacing(pl, spacingTooTight, fmt.Sprintf("it needs %s. Set them %s or farther apart", p.span(&r), p.short(r.Low)))
			d.Fixes = change(p, &pl.Decl.Decl, &pl.Decl.Spacing, "spacing", p.expr(r.Low), "Set them "+p.short(r.Low)+" apart")
			p.report(&pl.Decl.Decl, where(pl), d)
		case s > r.High+slack:
			p.report(&pl.Decl.Decl, where(pl), p.spacing(pl, spacingTooWide, p.short(r.High)+" is as wide as it needs"))
		}
	}
}

func (p *pass) spacing(pl *derive.Planting, rule *diag.Rule, need string) diag.Diagnostic {
	r, now := &pl.Decl.Crop.InRow, p.short(pl.Decl.Spacing.Value.SI)
	return diag.Diagnostic{
		Rule:    rule,
		Message: fmt.Sprintf("%s stands %s apart; %s", where(pl), now, need),
		Primary: diag.Label{Span: pl.Decl.Spacing.Span, Text: "needs " + p.span(r)},
		Values:  []diag.Value{{Name: "spacing", Text: now}, {Name: "range", Text: p.span(r)}},
		Help:    fmt.Sprintf("%s: %s in the line (%s)", cropName(pl), p.span(r), credit(r)),
	}
}
