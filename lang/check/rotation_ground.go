package check

import (
	"fmt"
	"math"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/diag"
	"haulm/lang/farm"
)

// before is a planting of this season with the one of its family that stood on its ground.
type before struct {
	now, then *derive.Planting
	year      int
	share     float64 // of the ground of now
	wait      int
}

// rotationsByGround judges by the ground that earlier plans planted: for each crop and plot not spoken of
// yet, the latest year, and in that the planting that shares most of its ground.
func (p *pass) rotationsByGround(past map[plotFamily][]grown, said map[plotCrop]bool) {
	if len(p.facts.Earlier) == 0 {
		return
	}
	worst := map[plotCrop]before{}
	var order []plotCrop
	for _, pl := range p.facts.Plantings {
		key, ok := rotated(pl)
		if !ok || said[key] {
			continue
		}
		b, ok := p.lastOnGround(pl)
		if !ok {
			continue
		}
		w, known := worst[key]
		if !known {
			order = append(order, key)
		}
		if !known || b.year > w.year || b.year == w.year && b.share > w.share+1e-9 {
			worst[key] = b
		}
	}
	for _, key := range order {
		p.tooSoonHere(worst[key], past)
	}
}

// lastOnGround finds the latest year within the crop's years in which its family stood on a planting's ground.
// Counted are the years of the plans, so that a season over the turn of the year is one.
func (p *pass) lastOnGround(pl *derive.Planting) (before, bool) {
	year, wait := p.farm.Year.Value, int(math.Ceil(pl.Decl.Crop.RotationYears.Low))
	var found before
	for _, e := range p.facts.Earlier {
		if e.Year >= year {
			continue
		}
		if year-e.Year >= wait || found.then != nil && e.Year < found.year {
			break
		}
		if then, share := e.Kin(pl); then != nil && (found.then == nil || share > found.share) {
			found = before{pl, then, e.Year, share, wait}
		}
	}
	return found, found.then != nil
}

func (p *pass) tooSoonHere(b before, past map[plotFamily][]grown) {
	d := b.now.Decl
	as, kin := cropName(b.then), d.Crop.Title()+" is of the same family and"
	if strings.EqualFold(b.then.Decl.Crop.Name, d.Crop.Name) {
		kin = "it"
	} else {
		as = fmt.Sprintf("%s (%s)", as, d.Crop.Family)
	}
	f := diag.Diagnostic{
		Rule: sameFamilyTooSoon,
		Message: fmt.Sprintf("%d %% of the ground of this %s grew %s in %d, in %s; %s should wait %s, at least until %d",
			int(math.Round(b.share*100)), d.Crop.Title(), as, b.year, rowName(b.then.Row), kin, years(&d.Crop.RotationYears), b.year+b.wait),
		Primary: diag.Label{Span: d.CropSpan, Text: d.Crop.Family + " again"},
		Related: labels(diag.Label{Span: b.then.Decl.Call, Text: fmt.Sprintf("grown in %d", b.year)}, d.CropSpan),
		Values: []diag.Value{
			{Name: "years since", Text: fmt.Sprint(p.farm.Year.Value - b.year)},
			{Name: "years to wait", Text: years(&d.Crop.RotationYears)},
			{Name: "ground in common", Text: fmt.Sprintf("%d %%", int(math.Round(b.share*100)))},
		},
		Help: fmt.Sprintf("%s: %s between plantings of %s (%s)", d.Crop.Title(), years(&d.Crop.RotationYears),
			d.Crop.Family, credit(&d.Crop.RotationYears)),
	}
	if free := p.plotsFree(d.Crop.Family, b.wait, p.yearOf(b.now), past); len(free) > 0 {
		f.Message += fmt.Sprintf(". It could go to %s", strings.Join(free, " or "))
	}
	p.report(&d.Decl, d.Crop.Title(), f)
}

// plotsOfFamily finds the plots that hold ground on which an earlier plan grew a family within its years, and
// adds to known those of which an earlier plan tells anything.
func (p *pass) plotsOfFamily(family string, wait, year int, known map[*farm.Plot]bool) map[*farm.Plot]bool {
	grew := map[*farm.Plot]bool{}
	for _, e := range p.facts.Earlier {
		for _, there := range e.Facts().Plots {
			for _, here := range p.farm.Plots {
				if derive.Meet(here, there.Decl) {
					known[here] = true
					grew[here] = grew[here] || year-e.Year < wait && hasFamily(there, family)
				}
			}
		}
	}
	return grew
}

func hasFamily(plot *derive.Plot, family string) bool {
	for _, r := range plot.Rows {
		for _, pl := range r.Plantings {
			if strings.EqualFold(pl.Decl.Crop.Family, family) {
				return true
			}
		}
	}
	return false
}
