package check

import (
	"fmt"
	"math"

	"haulm/lang/derive"
	"haulm/lang/diag"
)

var tallCropShadesShort = &diag.Rule{
	Code:     "tall-crop-shades-short",
	Severity: diag.Note,
	Summary:  "a tall crop stands on the sun's side of a much shorter one",
	Explain: `Neighbouring rows of a plot that grow side by side at the same time are compared by the height of the
grown plants, or of the trellis where a row has one that is higher. Reported is a crop at least half as high again as its neighbour and at least half a meter
(20 in) higher, when

- the rows run nearer east-west than north-south (more than 45 degrees from north by the plot's
  ` + "`bearing`" + `): rows that run north-south share the light, one has the morning and the other the evening;
- the tall row lies on the side of the equator, south in the northern hemisphere by the site's latitude;
- the two rows stand nearer to each other than the difference in height, so that the shadow reaches the
  short row for much of the day.

Put the tall crop on the other side, leave more room, or take it as it is: lettuce in a hot summer may
thank you for the shade.`,
	Example: `here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14")
farm("Ferry Bank", year = 2027, site = here)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft, bearing = 90)
lettuce = crop("lettuce", family = "Asteraceae", spacing = 12 * inch, row_spacing = 18 * inch, height = 10 * inch)
corn = crop("corn", family = "Poaceae", spacing = 10 * inch, row_spacing = 3 * ft, height = 7 * ft)
plant(row(bench, at = 4 * ft), lettuce, fill = True)
sow(row(bench, at = 7 * ft), corn, fill = True)
`,
	Source: "common practice",
}

// By how much a crop must be higher to be said to shade its neighbour.
const (
	shadeTimes = 1.5
	shadeMore  = 0.5 // m
)

// shade finds tall crops on the sun's side of short ones.
func (p *pass) shade() {
	site := p.farm.Site
	if site == nil || !site.Latitude.Given || site.Latitude.Value == 0 {
		return
	}
	for _, pl := range p.facts.Plots {
		if pl.Decl == nil {
			continue
		}
		// Across the plot, x points a quarter turn clockwise of the rows: to the south where they run
		// east. Its share of south is the sine of the bearing.
		south := math.Sin(pl.Decl.Bearing.Value * math.Pi / 180)
		if math.Abs(south) <= math.Sqrt2/2+1e-9 {
			continue
		}
		for a, b := range neighbors(pl) {
			sunny, other := a, b
			if south > 0 == (site.Latitude.Value > 0) {
				sunny, other = other, sunny
			}
			p.shadeOf(lineGap(a, b), sunny, other)
		}
	}
}

// height of a planting when grown: the crop's, or its trellis's where that is higher; 0 when not known.
func height(pl *derive.Planting) float64 {
	h := 0.0
	if c := pl.Decl.Crop; c.Height.Known() {
		h = c.Height.Mid()
	}
	if t := pl.Row.Decl.Trellis; t != nil && t.Height.Given {
		h = max(h, t.Height.Value.SI)
	}
	return h
}

// shadeOf compares two neighbours, the first of them on the sun's side.
func (p *pass) shadeOf(gap float64, sunny, other *derive.Row) {
	for a, b := range alongside(sunny, other) {
		if a.Decl == nil || b.Decl == nil || a.Decl.Crop == nil || b.Decl.Crop == nil {
			continue
		}
		high, low := height(a), height(b)
		more := high - low
		if low == 0 || high < shadeTimes*low || more < shadeMore || gap >= more {
			continue
		}
		side := "south"
		if p.farm.Site.Latitude.Value < 0 {
			side = "north"
		}
		d := diag.Diagnostic{
			Rule: tallCropShadesShort,
			Message: fmt.Sprintf("%s, %s high, stands %s to the %s of %s in %s, %s high, and shades it",
				where(a), p.long(high), p.short(gap), side, cropName(b), rowHere(other), p.long(low)),
			Primary: diag.Label{Span: a.Decl.CropSpan, Text: p.long(high) + " high"},
			Related: labels(diag.Label{Span: b.Decl.CropSpan, Text: p.long(low) + " high, in its shade"}, a.Decl.CropSpan),
			Help: fmt.Sprintf("put the tall row on the other side, or %s or more away from the short one",
				p.long(p.roundUp(more))),
		}
		p.report(&a.Decl.Decl, where(a), d)
		return
	}
}
