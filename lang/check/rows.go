package check

import (
	"fmt"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/source"
	"haulm/stdlib/crops"
)

var rowsTooClose = &diag.Rule{
	Code:     "rows-too-close",
	Severity: diag.Error,
	Summary:  "two rows that grow at the same time are closer than their crops need",
	Explain: `Measured from center line to center line; between beds of several lines, from the nearest line of one to
the nearest line of the other. The least distance is the mean of what the two crops need between rows
(the low end of each crop's range), so two rows of one crop need just that crop's own distance.

Only plantings that stand side by side at the same time count: a row cleared before its neighbour is
planted takes no room from it. Rows of different plots are not compared.

Move one of the rows, or plant something that needs less room. Crops set closer than this shade each
other, stay wet and yield less for the work.`,
	Example: `farm("Ferry Bank", year = 2027, access = 12 * inch)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
melon = crop("melon", family = "Cucurbitaceae", spacing = 2 * ft, row_spacing = 5 * ft)
plant(row(bench, at = 4 * ft), melon, fill = True)
plant(row(bench, at = 6 * ft), melon, fill = True)
`,
	Source: "the crop's own range between rows, by the source that `haulm doc` names for it; the mean for two unlike crops is common practice",
}

var pathTooNarrow = &diag.Rule{
	Code:     "path-too-narrow",
	Severity: diag.Warning,
	Summary:  "the path between two beds is narrower than the farm's access asks",
	Explain: `Two measurements, both between neighbours that stand in the ground at the same time.

**Access**: the clear ground from the edge of one bed to the edge of the next (a row of one line has no
width of its own) against the farm's ` + "`access`" + `, what a person with a cart or barrow needs. 30 inches when
the farm does not say.

**Spray**: where a crop grows higher than a meter, or a trellis holds it higher, the clear width between the sides of the grown plants
(lines less half of each crop's spread) against the farm's ` + "`spray_access`" + `, what it takes to walk through
and cover both faces. Not looked at when the farm does not say.

Move a row, make the bed narrower, or set the farm's access to what your tools really need.`,
	Example: `farm("Ferry Bank", year = 2027, access = 30 * inch)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
row(bench, at = 4 * ft)
row(bench, at = 6 * ft)
`,
	Source: "common practice: 18 in to walk, 24 in to work, 30 to 36 in for a wheelbarrow",
}

// tall is the height from which a crop hides a grower's other side from the sprayer.
const tall = 1.0

// rows measures neighbours against their crops and the path between them against the farm.
func (p *pass) rows() {
	for _, pl := range p.facts.Plots {
		for a, b := range neighbors(pl) {
			d := p.demandOf(a, b)
			if d.lines > 0 && lineGap(a, b) < d.lines-slack {
				p.tooClose(pl, a, b, d)
			}
			switch {
			case b.Left-a.Right < p.access-slack:
				p.narrow(pl, a, b)
			case d.foliage > 0 && lineGap(a, b) < d.foliage-slack:
				p.narrowToSpray(pl, a, b, d)
			}
		}
	}
}

// blame names the row of a pair that the finding points at, the one declared later, and the other.
func blame(a, b *derive.Row) (late, early *derive.Row) {
	if a.Decl.Order > b.Decl.Order {
		return a, b
	}
	return b, a
}

func (p *pass) tooClose(pl *derive.Plot, a, b *derive.Row, need demand) {
	late, early := blame(a, b)
	gap := lineGap(a, b)
	of := fmt.Sprintf("%s is %s from %s", rowName(late), p.short(gap), rowHere(early))
	switch {
	case gap < slack:
		of = fmt.Sprintf("%s stands on %s", rowName(late), rowHere(early))
	case len(a.Lines) > 1 || len(b.Lines) > 1:
		of = fmt.Sprintf("the nearest lines of %s and %s are %s apart", rowName(late), rowHere(early), p.short(gap))
	}
	left, right := cropName(need.left), cropName(need.right)
	ask := fmt.Sprintf("%s needs %s", left, p.short(need.lines))
	if left != right {
		if late == a {
			left, right = right, left
		}
		ask = fmt.Sprintf("%s and %s need %s between them", left, right, p.short(need.lines))
	}
	way, fixes := p.makeRoom(pl, late, early, "it")
	p.report(&late.Decl.Decl, rowName(late), diag.Diagnostic{
		Rule:    rowsTooClose,
		Message: of + "; " + ask + way,
		Primary: diag.Label{Span: late.Decl.At.Span, Text: p.short(gap) + " from " + rowHere(early)},
		Related: labels(diag.Label{Span: early.Decl.At.Span, Text: rowHere(early)}, late.Decl.At.Span),
		Values:  []diag.Value{{Name: "distance", Text: p.short(gap)}, {Name: "needed", Text: p.short(need.lines)}},
		Help:    p.spacingSource(need),
		Fixes:   fixes,
	})
}

// spacingSource says who asks for the distance between rows.
func (p *pass) spacingSource(need demand) string {
	one := func(pl *derive.Planting) string {
		r := &pl.Decl.Crop.BetweenRows
		return fmt.Sprintf("%s: %s between rows (%s)", cropName(pl), p.span(r), credit(r))
	}
	if cropName(need.left) == cropName(need.right) {
		return one(need.left)
	}
	return one(need.left) + "; " + one(need.right)
}

// span prints a range of lengths.
func (p *pass) span(r *crops.Range) string {
	return crops.Entry{Kind: crops.Length, Range: *r}.Format(p.units)
}

// credit names a range's source as people cite it.
func credit(r *crops.Range) string {
	switch {
	case r.Grade == crops.GradePlan:
		return "set in the plan"
	case r.Source == "":
		return "grade " + string(r.Grade)
	}
	return fmt.Sprintf("%s, grade %s", r.Source, r.Grade)
}

// labels gives one related label, or none where it would point at the finding itself.
func labels(l diag.Label, primary source.Span) []diag.Label {
	if !l.Span.IsValid() || l.Span == primary {
		return nil
	}
	return []diag.Label{l}
}

func (p *pass) narrow(pl *derive.Plot, a, b *derive.Row) {
	late, early := blame(a, b)
	width := b.Left - a.Right
	wide := p.short(width)
	message := fmt.Sprintf("the path between %s and %s is %s wide; a person with a cart needs %s",
		rowHere(early), rowName(late), wide, p.short(p.access))
	if width < -slack {
		wide = "beds overlap by " + p.short(-width)
		message = fmt.Sprintf("the beds of %s and %s overlap by %s; a path for a person with a cart needs %s",
			rowHere(early), rowName(late), p.short(-width), p.short(p.access))
	} else if width < slack {
		wide = "no path"
		message = fmt.Sprintf("there is no path between %s and %s; a person with a cart needs %s",
			rowHere(early), rowName(late), p.short(p.access))
	} else {
		wide += " of path"
	}
	way, fixes := p.makeRoom(pl, late, early, rowHere(late))
	related := labels(diag.Label{Span: early.Decl.At.Span, Text: rowHere(early)}, late.Decl.At.Span)
	if p.farm.Access.Given {
		related = append(related, diag.Label{Span: p.farm.Access.Span, Text: "access asked for here"})
	}
	p.report(&late.Decl.Decl, rowName(late), diag.Diagnostic{
		Rule:    pathTooNarrow,
		Message: message + way,
		Primary: diag.Label{Span: late.Decl.At.Span, Text: wide},
		Related: related,
		Values:  []diag.Value{{Name: "path", Text: p.short(width)}, {Name: "access", Text: p.short(p.access)}},
		Fixes:   fixes,
	})
}

func (p *pass) narrowToSpray(pl *derive.Plot, a, b *derive.Row, need demand) {
	late, early := blame(a, b)
	clear := lineGap(a, b) - need.spread
	left, right := cropName(need.tallLeft), cropName(need.tallRight)
	grown := fmt.Sprintf("grown %s in %s and %s in %s leave", left, rowHere(a), right, rowName(b))
	if left == right {
		grown = fmt.Sprintf("grown %s in %s and %s leaves", left, rowHere(a), rowName(b))
	}
	if clear < slack {
		grown += " no path between"
	} else {
		grown += fmt.Sprintf(" %s clear between", p.short(clear))
	}
	way, fixes := p.makeRoom(pl, late, early, rowHere(late))
	related := labels(diag.Label{Span: early.Decl.At.Span, Text: rowHere(early)}, late.Decl.At.Span)
	related = append(related, diag.Label{Span: p.farm.SprayAccess.Span, Text: "spray access asked for here"})
	p.report(&late.Decl.Decl, rowName(late), diag.Diagnostic{
		Rule:    pathTooNarrow,
		Message: fmt.Sprintf("%s; spraying both faces takes %s%s", grown, p.short(p.spray), way),
		Primary: diag.Label{Span: late.Decl.At.Span, Text: "too near " + rowHere(early) + " to spray"},
		Related: related,
		Values:  []diag.Value{{Name: "clear", Text: p.short(clear)}, {Name: "spray access", Text: p.short(p.spray)}},
		Fixes:   fixes,
	})
}
