package check

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/source"
)

var headlandTooShort = &diag.Rule{
	Code:     "headland-too-short",
	Severity: diag.Warning,
	Summary:  "the ground between the rows' ends and the plot's end is too short to turn in",
	Explain: `At each end of a plot the free ground before the nearest row is measured and set against the farm's
` + "`turning`" + `: the room it takes to swing a cart, a walk-behind or a tractor with its implement out of one
row and into the next. When the farm does not say, its ` + "`access`" + ` stands in, as for a person with a cart.

A plot without a headland on a farm that says nothing about turning is not reported: the lane may well
lie outside the plot.

Widen the headland (the rows become shorter), start or end the row that juts out later or sooner, or set
` + "`turning`" + ` to what you really need: a walk-behind takes about 10 to 12 ft, a tractor with an implement 20
to 30 ft.`,
	Example: `farm("Ferry Bank", year = 2027, turning = 10 * ft)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, headland = 5 * ft)
row(bench, at = 4 * ft)
`,
	Source: "common practice; widths for machines from memory",
}

// headlands measures both ends of every plot.
func (p *pass) headlands() {
	turning, asked := p.farm.Turning.Value.SI, p.turningAsked()
	if !asked {
		turning = p.access
	}
	for _, pl := range p.facts.Plots {
		if pl.Decl == nil || !pl.Decl.Length.Given || len(pl.Rows) == 0 || !asked && !pl.Decl.Headland.Given {
			continue
		}
		p.headland(pl, turning)
	}
}

// turningAsked tells whether the farm itself says how much turning takes. Where it does not, evaluation
// puts its access, place in the text and all.
func (p *pass) turningAsked() bool {
	return p.farm.Turning.Given && p.farm.Turning.Span != p.farm.Access.Span
}

// headland finds the row that comes nearest to each end. Both ends count as one finding when the plot's
// own headland is to blame for both.
func (p *pass) headland(pl *derive.Plot, turning float64) {
	length := pl.Decl.Length.Value.SI
	head, tail := pl.Rows[0], pl.Rows[0]
	for _, r := range pl.Rows {
		if r.Start < head.Start {
			head = r
		}
		if r.End > tail.End {
			tail = r
		}
	}
	near, far := head.Start, length-tail.End
	// Beyond the plot is for row-outside-plot to say.
	shortNear := near >= -slack && near < turning-slack
	shortFar := far >= -slack && far < turning-slack
	atHead, headOwn := p.headlandSpan(pl, head, false)
	atTail, tailOwn := p.headlandSpan(pl, tail, true)
	if shortNear && shortFar && !headOwn && !tailOwn {
		p.shortHeadland(pl, nil, atHead, p.bothEnds(pl, near), near, turning)
		return
	}
	if shortNear {
		p.shortHeadland(pl, only(head, headOwn), atHead,
			fmt.Sprintf("%s leaves %s at the first end of %s", rowHere(head), p.headroom(near), plotName(pl.Decl)), near, turning)
	}
	if shortFar {
		p.shortHeadland(pl, only(tail, tailOwn), atTail,
			fmt.Sprintf("%s leaves %s at the far end of %s", rowHere(tail), p.headroom(far), plotName(pl.Decl)), far, turning)
	}
}

func (p *pass) bothEnds(pl *derive.Plot, m float64) string {
	if m < slack {
		return plotName(pl.Decl) + " has no headland at either end"
	}
	return fmt.Sprintf("%s has %s at each end", plotName(pl.Decl), p.headroom(m))
}

func (p *pass) headroom(m float64) string {
	if m < slack {
		return "no headland"
	}
	return p.long(m) + " of headland"
}

func only(r *derive.Row, own bool) *derive.Row {
	if own {
		return r
	}
	return nil
}

// headlandSpan gives the argument that sets how near a row comes to an end of the plot, and whether it
// is the row's own.
func (p *pass) headlandSpan(pl *derive.Plot, r *derive.Row, far bool) (source.Span, bool) {
	if r.Decl != nil {
		switch {
		case far && r.Decl.Length.Given:
			return r.Decl.Length.Span, true
		case !far && r.Decl.Start.Given:
			return r.Decl.Start.Span, true
		}
	}
	if pl.Decl.Headland.Given {
		return pl.Decl.Headland.Span, false
	}
	return pl.Decl.Call, false
}

// shortHeadland reports one finding: of a row's own argument, or with row nil of the plot's headland.
func (p *pass) shortHeadland(pl *derive.Plot, row *derive.Row, at source.Span, has string, room, turning float64) {
	need := p.roundUp(turning)
	d := diag.Diagnostic{
		Rule:    headlandTooShort,
		Primary: diag.Label{Span: at, Text: p.headroom(room)},
		Values:  []diag.Value{{Name: "headland", Text: p.long(room)}, {Name: "turning", Text: p.long(turning)}},
	}
	if p.turningAsked() {
		d.Message = fmt.Sprintf("%s; turning takes %s", has, p.long(turning))
		d.Related = labels(diag.Label{Span: p.farm.Turning.Span, Text: "turning asked for here"}, at)
	} else {
		d.Message = fmt.Sprintf("%s; turning a cart takes %s, the farm's access", has, p.long(turning))
		if p.farm.Access.Given {
			d.Related = labels(diag.Label{Span: p.farm.Access.Span, Text: "access asked for here"}, at)
		}
	}
	if row == nil {
		if 2*need < pl.Decl.Length.Value.SI {
			d.Message += fmt.Sprintf(". Make the headland %s", p.long(need))
			d.Fixes = change(p, &pl.Decl.Decl, &pl.Decl.Headland, "headland", p.expr(need), "Make the headland "+p.long(need))
		}
		p.report(&pl.Decl.Decl, plotName(pl.Decl), d)
		return
	}
	decl := &row.Decl.Decl
	if at == row.Decl.Start.Span {
		d.Message += fmt.Sprintf(". Start the row at %s or farther", p.long(need))
		d.Fixes = change(p, decl, &row.Decl.Start, "start", p.expr(need), "Start the row at "+p.long(need))
	} else if fit := p.roundDown(pl.Decl.Length.Value.SI - need - row.Start); fit > 0 {
		d.Message += fmt.Sprintf(". Make the row %s long or shorter", p.long(fit))
		d.Fixes = change(p, decl, &row.Decl.Length, "length", p.expr(fit), "Make the row "+p.long(fit)+" long")
	}
	p.report(decl, rowName(row), d)
}
