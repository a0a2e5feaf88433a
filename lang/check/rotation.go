package check

import (
	"fmt"
	"math"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
	"haulm/stdlib/crops"
)

var sameFamilyTooSoon = &diag.Rule{
	Code:     "same-family-too-soon",
	Severity: diag.Warning,
	Summary:  "a plot gets a family again before its years are over",
	Explain: `Crops of one botanical family share the diseases that live on in the soil. Each crop has a number of years
that should lie between two plantings of its family in the same ground (where sources differ, the least is
asked for here); a plot's ` + "`history`" + ` says what grew there, or the plans of earlier years that
` + "`previous`" + ` names. By those it is judged on the ground itself: what a planting roots in, half a row's distance
to either side of its lines, against what each planting of the family rooted in then, when the two share a
twentieth of it or more. Counted is the difference of the years: with 3 years, ground that grew tomato in 2025
may have potato again in 2028.

Reported once for each crop and plot. Plant the crop in another plot (the message names some where enough
years have gone by), and something of another family here.`,
	Example: `load("crops", "tomato")
farm("Ferry Bank", year = 2027)
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
history(bench, year = 2026, crops = ["Solanaceae"])
plant(row(bench, at = 4 * ft), tomato, fill = True)
`,
	Source: "the crop's own years, by the source that `haulm doc` names for it",
}

// grown is when a plot last had a family.
type grown struct {
	year  int
	entry *farm.History
}

type plotFamily struct {
	plot   *farm.Plot
	family string
}

type plotCrop struct {
	plot *farm.Plot
	crop string
}

// rotations sets this season's families against what each plot grew before.
func (p *pass) rotations() {
	if len(p.farm.Histories) == 0 && len(p.facts.Earlier) == 0 {
		return
	}
	past := p.past()
	said := map[plotCrop]bool{}
	p.rotationsByPlot(past, said)
	p.rotationsByGround(past, said)
}

// rotationsByPlot judges by what the plan's own history says that whole plots grew. Crops that it speaks of
// are in said.
func (p *pass) rotationsByPlot(past map[plotFamily][]grown, said map[plotCrop]bool) {
	if len(past) == 0 {
		return
	}
	seen := map[plotCrop]bool{}
	for _, pl := range p.facts.Plantings {
		d := pl.Decl
		key, ok := rotated(pl)
		if !ok || seen[key] {
			continue
		}
		seen[key] = true
		plot := key.plot
		year := p.yearOf(pl)
		wait := int(math.Ceil(d.Crop.RotationYears.Low))
		last, ok := lastBefore(past[plotFamily{plot, strings.ToLower(d.Crop.Family)}], year)
		if !ok || year-last.year >= wait {
			continue
		}
		said[key] = true
		p.tooSoon(pl, plot, last, wait, year, past)
	}
}

// rotated tells a planting's crop and plot where the rule can be applied to it.
func rotated(pl *derive.Planting) (plotCrop, bool) {
	d := pl.Decl
	if d == nil || d.Crop == nil || d.Crop.Family == "" || !d.Crop.RotationYears.Known() ||
		pl.Row == nil || pl.Row.Decl == nil || pl.Row.Decl.Plot == nil {
		return plotCrop{}, false
	}
	return plotCrop{pl.Row.Decl.Plot, d.Crop.Name}, true
}

// past lists when each plot had each family, in the order of declaration.
func (p *pass) past() map[plotFamily][]grown {
	past := map[plotFamily][]grown{}
	for _, h := range p.farm.Histories {
		if h.Plot == nil || !h.Year.Given {
			continue
		}
		for _, family := range h.Families.Value {
			key := plotFamily{h.Plot, strings.ToLower(family)}
			past[key] = append(past[key], grown{h.Year.Value, h})
		}
	}
	return past
}

// lastBefore gives the latest year before one.
func lastBefore(all []grown, year int) (grown, bool) {
	var last grown
	for _, g := range all {
		if g.year < year && (last.entry == nil || g.year > last.year) {
			last = g
		}
	}
	return last, last.entry != nil
}

func (p *pass) yearOf(pl *derive.Planting) int {
	if pl.Plant.IsSet() {
		return pl.Plant.Year()
	}
	return p.farm.Year.Value
}

func (p *pass) tooSoon(pl *derive.Planting, plot *farm.Plot, last grown, wait, year int, past map[plotFamily][]grown) {
	d := pl.Decl
	as, kin := d.Crop.Family, d.Crop.Title()+" is of the same family and"
	if name := nameIn(last.entry, as); strings.EqualFold(name, d.Crop.Name) {
		as, kin = name, "it"
	} else if !strings.EqualFold(name, as) {
		as = fmt.Sprintf("%s (%s)", name, as)
	}
	f := diag.Diagnostic{
		Rule: sameFamilyTooSoon,
		Message: fmt.Sprintf("%s grew %s in %d; %s should wait %s, at least until %d",
			plotName(plot), as, last.year, kin, years(&d.Crop.RotationYears), last.year+wait),
		Primary: diag.Label{Span: d.CropSpan, Text: d.Crop.Family + " again"},
		Related: labels(diag.Label{Span: last.entry.Call, Text: fmt.Sprintf("%d", last.year)}, d.CropSpan),
		Values: []diag.Value{
			{Name: "years since", Text: fmt.Sprint(year - last.year)},
			{Name: "years to wait", Text: years(&d.Crop.RotationYears)},
		},
		Help: fmt.Sprintf("%s: %s between plantings of %s (%s)", d.Crop.Title(), years(&d.Crop.RotationYears),
			d.Crop.Family, credit(&d.Crop.RotationYears)),
	}
	if last.entry.Families.Given {
		f.Related = labels(diag.Label{Span: last.entry.Families.Span, Text: fmt.Sprintf("grown in %d", last.year)}, d.CropSpan)
	}
	if free := p.plotsFree(d.Crop.Family, wait, year, past); len(free) > 0 {
		f.Message += fmt.Sprintf(". It could go to %s", strings.Join(free, " or "))
	}
	p.report(&d.Decl, d.Crop.Title(), f)
}

// years prints a range of years: "3 years", "2 to 4 years".
func years(r *crops.Range) string {
	low, high := int(math.Ceil(r.Low)), int(math.Ceil(r.High))
	if low >= high {
		return count(low, "1 year", "%d years")
	}
	return fmt.Sprintf("%d to %d years", low, high)
}

// plotsFree names up to two plots of which history or an earlier plan says that a family may grow there again.
func (p *pass) plotsFree(family string, wait, year int, past map[plotFamily][]grown) []string {
	known := map[*farm.Plot]bool{}
	for _, h := range p.farm.Histories {
		known[h.Plot] = true
	}
	grewThere := p.plotsOfFamily(family, wait, year, known)
	var names []string
	for _, plot := range p.farm.Plots {
		last, ok := lastBefore(past[plotFamily{plot, strings.ToLower(family)}], year)
		if known[plot] && !grewThere[plot] && (!ok || year-last.year >= wait) && plot.Name.Value != "" {
			names = append(names, plot.Name.Value)
		}
		if len(names) == 2 {
			break
		}
	}
	return names
}

// nameIn is what a plot's history calls the crop of a family: by its name, or by the family's.
func nameIn(h *farm.History, family string) string {
	for i, f := range h.Families.Value {
		if strings.EqualFold(f, family) && i < len(h.Names) {
			return h.Names[i]
		}
	}
	return family
}
