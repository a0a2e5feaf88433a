package check

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/source"
)

var rowOutsidePlot = &diag.Rule{
	Code:     "row-outside-plot",
	Severity: diag.Error,
	Summary:  "a row or the edge of its bed lies beyond the plot's sides or ends",
	Explain: `A row stands ` + "`at`" + ` a distance from the plot's first side; a bed reaches half its width to either side
of that. Along the plot a row runs from its ` + "`start`" + ` (the headland, when not given) for its ` + "`length`" + ` (to
the other headland, when not given). Nothing may lie beyond the plot's width and length, and headlands
may not use the whole of its length up.

Move the row, shorten it, or correct the plot's measurements.`,
	Example: `farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
row(bench, at = 42 * ft)
`,
	Source: "geometry",
}

// outside finds rows that do not lie within their plots.
func (p *pass) outside() {
	for _, pl := range p.facts.Plots {
		if pl.Decl == nil || !pl.Decl.Length.Given || !pl.Decl.Width.Given {
			continue
		}
		if p.noLength(pl) {
			continue
		}
		for _, r := range pl.Rows {
			if r.Decl == nil {
				continue
			}
			if r.Decl.At.Given {
				p.outsideAcross(pl, r)
			}
			p.outsideAlong(pl, r)
		}
	}
}

// noLength finds headlands that leave nothing of the plot for its rows.
func (p *pass) noLength(pl *derive.Plot) bool {
	length, headland := pl.Decl.Length.Value.SI, pl.Decl.Headland.Value.SI
	if length <= 0 || length-2*headland > slack || !pl.Decl.Headland.Given {
		return false
	}
	p.report(&pl.Decl.Decl, plotName(pl.Decl), diag.Diagnostic{
		Rule: rowOutsidePlot,
		Message: fmt.Sprintf("headlands of %s at both ends leave no length for rows in %s, which is %s long",
			p.long(headland), plotName(pl.Decl), p.long(length)),
		Primary: diag.Label{Span: pl.Decl.Headland.Span, Text: "at each end"},
		Related: p.plotLabel(pl.Decl.Length.Span, p.long(length)+" long"),
	})
	return true
}

func (p *pass) plotLabel(s source.Span, text string) []diag.Label {
	if !s.IsValid() {
		return nil
	}
	return []diag.Label{{Span: s, Text: text}}
}

// outsideAcross finds a bed that reaches beyond the plot's sides.
func (p *pass) outsideAcross(pl *derive.Plot, r *derive.Row) {
	width := pl.Decl.Width.Value.SI
	over, under := r.Right-width, -r.Left
	if over <= slack && under <= slack {
		return
	}
	d := diag.Diagnostic{
		Rule:    rowOutsidePlot,
		Primary: diag.Label{Span: r.Decl.At.Span, Text: "outside the plot"},
		Related: p.plotLabel(pl.Decl.Width.Span, p.long(width)+" wide"),
	}
	wide := r.Right - r.Left
	switch {
	case over > slack && wide > slack:
		d.Message = fmt.Sprintf("the bed of %s reaches %s across; the plot is %s wide", rowName(r), p.long(r.Right), p.long(width))
	case over > slack:
		d.Message = fmt.Sprintf("%s stands at %s; the plot is %s wide", rowName(r), p.long(r.Center), p.long(width))
	case wide > slack:
		d.Message = fmt.Sprintf("the bed of %s reaches %s beyond the plot's first side", rowName(r), p.long(under))
	default:
		d.Message = fmt.Sprintf("%s stands %s beyond the plot's first side", rowName(r), p.long(under))
	}
	low, high := p.roundUp(r.Center-r.Left), p.roundDown(width-(r.Right-r.Center))
	switch {
	case low > high:
		d.Message += fmt.Sprintf(". The bed is %s wide: make it narrower", p.long(wide))
	case over > slack:
		d.Message += fmt.Sprintf(". Place it at %s or nearer the first side", p.long(high))
		d.Fixes = change(p, &r.Decl.Decl, &r.Decl.At, "at", p.expr(high), "Place the row at "+p.long(high))
	default:
		d.Message += fmt.Sprintf(". Place it at %s or farther", p.long(low))
		d.Fixes = change(p, &r.Decl.Decl, &r.Decl.At, "at", p.expr(low), "Place the row at "+p.long(low))
	}
	p.report(&r.Decl.Decl, rowName(r), d)
}

// outsideAlong finds a row that begins or ends beyond the plot's ends.
func (p *pass) outsideAlong(pl *derive.Plot, r *derive.Row) {
	length, headland := pl.Decl.Length.Value.SI, pl.Decl.Headland.Value.SI
	start, span := &r.Decl.Start, &r.Decl.Length
	switch {
	case r.Start < -slack && start.Given:
		p.report(&r.Decl.Decl, rowName(r), diag.Diagnostic{
			Rule: rowOutsidePlot,
			Message: fmt.Sprintf("%s starts %s before the plot's first end. Start it at %s or farther",
				rowName(r), p.long(-r.Start), p.long(headland)),
			Primary: diag.Label{Span: start.Span, Text: "outside the plot"},
			Fixes:   change(p, &r.Decl.Decl, start, "start", p.expr(headland), "Start the row at "+p.long(headland)),
		})
	case r.Start > length-slack && start.Given:
		p.report(&r.Decl.Decl, rowName(r), diag.Diagnostic{
			Rule: rowOutsidePlot,
			Message: fmt.Sprintf("%s starts %s along; the plot is %s long. Start it at %s",
				rowName(r), p.long(r.Start), p.long(length), p.long(headland)),
			Primary: diag.Label{Span: start.Span, Text: "outside the plot"},
			Related: p.plotLabel(pl.Decl.Length.Span, p.long(length)+" long"),
			Fixes:   change(p, &r.Decl.Decl, start, "start", p.expr(headland), "Start the row at "+p.long(headland)),
		})
	case r.End > length+slack && span.Given:
		room := p.roundDown(length - headland - r.Start)
		if room <= 0 {
			room = p.roundDown(length - r.Start)
		}
		p.report(&r.Decl.Decl, rowName(r), diag.Diagnostic{
			Rule: rowOutsidePlot,
			Message: fmt.Sprintf("%s ends %s along; the plot is %s long. Make the row %s long or shorter",
				rowName(r), p.long(r.End), p.long(length), p.long(room)),
			Primary: diag.Label{Span: span.Span, Text: "reaches beyond the plot's end"},
			Related: p.plotLabel(pl.Decl.Length.Span, p.long(length)+" long"),
			Fixes:   change(p, &r.Decl.Decl, span, "length", p.expr(room), "Make the row "+p.long(room)+" long"),
		})
	}
}
