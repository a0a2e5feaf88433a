package check

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/solve"
	"haulm/lang/source"
)

var plantingPastRowEnd = &diag.Rule{
	Code:     "planting-past-row-end",
	Severity: diag.Error,
	Summary:  "the last plants of a planting stand beyond the row's end",
	Explain: `The first plant stands at ` + "`start`" + `, or at the first place from the row's head where the planting fits among
those declared before it that are in the ground at the same time. n plants at a spacing s reach (n - 1) x s
farther. First and last plant may stand at the row's very ends; between two plantings lies the mean of
their spacings. What fits nowhere is put after the last of them and so past the end.

Plant as many as fit, set them closer where the crop allows it, start nearer the head, or choose a longer
row. ` + "`fill = True`" + ` takes what there is.`,
	Example: `farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
tomato = crop("tomato", family = "Solanaceae", spacing = (18 * inch, 24 * inch), row_spacing = 4 * ft)
plant(row(bench, at = 4 * ft), tomato, count = 30, spacing = 24 * inch)
`,
	Source: "geometry: floor(length / spacing) + 1 plants",
}

var rowFeetLeftOver = &diag.Rule{
	Code:     "row-feet-left-over",
	Severity: diag.Note,
	Summary:  "the end of a row has room for more plants of its last planting",
	Explain: `Left over is the stretch from the ground of the row's last planting to the row's end that nothing grows on
all season. It is told only when at least one more plant of that planting would fit, the last one at the
row's very end. A row in which another crop has that stretch at some time of the year counts as used.

Raise the count, start another crop there, or leave it: a few spare feet are a good place for the crop that
you have not thought of yet.`,
	Example: `farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
tomato = crop("tomato", family = "Solanaceae", spacing = 24 * inch, row_spacing = 4 * ft)
plant(row(bench, at = 4 * ft), tomato, count = 20)
`,
	Source: "geometry: floor(length / spacing) + 1 plants",
}

// rowEnds finds plantings that reach past the end of their rows, and rows with room at the end.
func (p *pass) rowEnds() {
	for _, r := range p.facts.Rows {
		past := false
		for _, pl := range r.Plantings {
			if pl.Placed() && (pl.Last > r.Length+slack || pl.First < -slack) {
				p.pastEnd(r, pl)
				past = true
			}
		}
		if !past {
			p.leftOver(r)
		}
	}
}

// amountSpan is the argument that says how much is planted.
func amountSpan(pl *derive.Planting) source.Span {
	d := pl.Decl
	switch {
	case d.Count.Given:
		return d.Count.Span
	case d.Length.Given:
		return d.Length.Span
	case d.Fill.Given:
		return d.Fill.Span
	}
	return d.Call
}

// inAll adds what a count for each line comes to in a bed of several.
func inAll(r *derive.Row, text string) string {
	if n := len(r.Lines); n > 1 {
		return fmt.Sprintf("%s in each of %d lines", text, n)
	}
	return text
}

func (p *pass) pastEnd(r *derive.Row, pl *derive.Planting) {
	d := pl.Decl
	f := diag.Diagnostic{
		Rule:    plantingPastRowEnd,
		Primary: diag.Label{Span: amountSpan(pl), Text: "reaches " + p.long(pl.Last)},
		Values:  []diag.Value{{Name: "reaches", Text: p.long(pl.Last)}, {Name: "row", Text: p.long(r.Length)}},
	}
	n, fits := solve.GreatestCount(pl)
	switch {
	case r.Length <= slack:
		f.Message = fmt.Sprintf("%s has no length to plant %s in", rowName(r), cropName(pl))
		fits = false
	case pl.First < -slack:
		f.Message = fmt.Sprintf("%s starts %s before the head of %s", cropName(pl), p.long(-pl.First), rowName(r))
		f.Primary = diag.Label{Span: d.Start.Span, Text: "before the row's head"}
		fits = false
	case pl.First > r.Length+slack:
		f.Message = fmt.Sprintf("there is no room for %s in %s, %s long: it would start at %s",
			cropName(pl), rowName(r), p.long(r.Length), p.long(pl.First))
		f.Primary.Text = "no room"
		f.Related = p.holder(r, pl)
		if d.Start.Given {
			f.Primary = diag.Label{Span: d.Start.Span, Text: "beyond the row's end"}
		}
	default:
		f.Message = fmt.Sprintf("%s, %s apart, reach %s along %s, which is %s long",
			inAll(r, plants(pl.PerLine)+" of "+cropName(pl)), p.short(pl.Spacing), p.long(pl.Last), rowName(r), p.long(r.Length))
	}
	if fits {
		f.Message += ". " + inAll(r, count(n, "1 fits", "%d fit"))
		switch {
		case d.Count.Given:
			f.Fixes = change(p, &d.Decl, &d.Count, "count", fmt.Sprint(n), putIn(pl)+" "+inAll(r, fmt.Sprint(n)))
		case d.Length.Given:
			if m, ok := solve.GreatestLength(pl, p.units); ok {
				f.Fixes = change(p, &d.Decl, &d.Length, "length", p.expr(m), putIn(pl)+" "+p.long(m))
			}
		}
	}
	f.Fixes = append(f.Fixes, p.closer(pl, &f)...)
	if d.Start.Given {
		if at, ok := solve.Start(pl, p.units); ok {
			f.Fixes = append(f.Fixes, change(p, &d.Decl, &d.Start, "start", p.expr(at), "Start it at "+p.long(at))...)
		}
	}
	p.report(&d.Decl, where(pl), f)
}

// holder is the planting that has a row's end when another finds no room.
func (p *pass) holder(r *derive.Row, pl *derive.Planting) []diag.Label {
	var has *derive.Planting
	for _, o := range r.Plantings {
		if o != pl && o.Placed() && o.Overlaps(pl) && (has == nil || o.Last > has.Last) && o.Last < pl.First {
			has = o
		}
	}
	if has == nil {
		return nil
	}
	return labels(diag.Label{Span: has.Decl.CropSpan, Text: p.stands(has)}, pl.Decl.CropSpan)
}

// stands says from where to where a planting stands, and until when.
func (p *pass) stands(pl *derive.Planting) string {
	from := p.long(pl.First)
	if pl.First < slack {
		from = "the head"
	}
	text := fmt.Sprintf("%s stands from %s to %s", cropName(pl), from, p.long(pl.Last))
	if pl.Clear.IsSet() {
		text += " until " + p.day(pl.Clear.Add(-1))
	}
	return text
}

// closer offers the spacing at which all plants fit, where the crop's range allows it.
func (p *pass) closer(pl *derive.Planting, f *diag.Diagnostic) []diag.Fix {
	d := pl.Decl
	s, ok := solve.LargestSpacing(pl, p.units)
	if !ok || s >= pl.Spacing || d.Crop == nil || d.Crop.InRow.Known() && s < d.Crop.InRow.Told(p.units).Low-slack {
		return nil
	}
	f.Message += fmt.Sprintf("; %s apart they all do", p.short(s))
	return change(p, &d.Decl, &d.Spacing, "spacing", p.expr(s), "Set them "+p.short(s)+" apart")
}

// leftOver looks beyond the last plant of a row.
func (p *pass) leftOver(r *derive.Row) {
	if len(r.Free) == 0 {
		return
	}
	tail := r.Free[len(r.Free)-1]
	if tail.To < r.Length-slack {
		return
	}
	var end *derive.Planting
	for _, pl := range r.Plantings {
		if pl.Placed() && (end == nil || pl.Last >= end.Last) {
			end = pl
		}
	}
	if end == nil {
		return
	}
	more := derive.FitAt(end.Spacing, r.Length-end.Last) - 1
	if more < 1 {
		return
	}
	d := end.Decl
	left := p.long(tail.To - tail.From)
	fit := count(more, "1 more plant", "%d more plants") + " would fit"
	f := diag.Diagnostic{
		Rule: rowFeetLeftOver,
		Message: fmt.Sprintf("%s has %s left over after %s; %s, %s apart",
			rowName(r), left, cropName(end), inAll(r, fit), p.short(end.Spacing)),
		Primary: diag.Label{Span: amountSpan(end), Text: left + " left over"},
		Values:  []diag.Value{{Name: "left over", Text: left}, {Name: "more plants", Text: fmt.Sprint(more * max(1, len(r.Lines)))}},
	}
	switch {
	case d.Count.Given:
		n := d.Count.Value + more
		f.Fixes = change(p, &d.Decl, &d.Count, "count", fmt.Sprint(n), putIn(end)+" "+inAll(r, fmt.Sprint(n)))
	case d.Length.Given:
		if m := p.roundUp(end.Last - end.First + float64(more)*end.Spacing); end.First+m <= r.Length+slack {
			f.Fixes = change(p, &d.Decl, &d.Length, "length", p.expr(m), putIn(end)+" "+p.long(m))
		}
	}
	p.report(&d.Decl, rowName(r), f)
}
