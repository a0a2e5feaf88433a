package feature

import (
	"fmt"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
	"haulm/stdlib/feeding"
)

// fed are the facts of feeding; nil when the plan says nothing of it.
func (d *Doc) fed() *derive.Feeding {
	if d.Plan == nil || d.Plan.Facts == nil || !d.Plan.Facts.Fed() {
		return nil
	}
	return d.Plan.Facts.Feeding()
}

func (d *Doc) massText(kg float64) string {
	return feeding.Weigh(kg, d.units()).Text(d.units())
}

// productText tells what a product is, how much of it is fed, and what is at hand.
func (d *Doc) productText(p *farm.Product) string {
	head := fmt.Sprintf("**%s**, %s.", capital(p.Name.Value), derive.Analysis(p))
	if s := p.AnalysisSource; s.Title != "" {
		head = fmt.Sprintf("**%s**, %s by %s.", capital(p.Name.Value), derive.Analysis(p), s.Title)
		if s.Unverified() {
			head = strings.TrimSuffix(head, ".") + "; " + feeding.Unverified + "."
		}
	}
	fd := d.fed()
	if fd == nil {
		return head
	}
	for _, use := range fd.Products {
		if use.Product != p {
			continue
		}
		said := "Fed: " + d.massText(use.Used)
		if use.First.IsSet() {
			said += ", first on " + use.First.Long(d.year())
		}
		if use.Stock > 0 {
			said += "; in stock: " + d.massText(use.Stock)
		}
		return joinParts([]string{head, said + "."})
	}
	return joinParts([]string{head, "It is not fed."})
}

// measureText tells what a measure holds of every product whose density is known.
func (d *Doc) measureText(m *farm.Measure) string {
	var lines []string
	for _, p := range d.Plan.Farm.Products {
		if density := p.Density.Value.SI; density > 0 {
			lines = append(lines, fmt.Sprintf("- %s: %s", p.Name.Value, d.massText(density*m.Volume.Value.SI)))
		}
	}
	head := fmt.Sprintf("**%s**: %s, level.", capital(m.Name.Value), d.units().Format(m.Volume.Value))
	return joinParts([]string{head, strings.Join(shortened(lines), "\n")})
}

// feedText tells what one feeding puts where and when.
func (d *Doc) feedText(f *farm.Feed) string {
	fd := d.fed()
	if fd == nil {
		return ""
	}
	var total float64
	var lines []string
	for _, dose := range dosesOf(fd, f) {
		total += dose.Mass
		line := fmt.Sprintf("- %s: %s, %s", dose.Product.Name.Value, fd.Told(dose), rowOf(dose.Row))
		if dose.Planting != nil {
			line += ", " + dose.Planting.Decl.Crop.Title()
		}
		if dose.Day.IsSet() {
			line += ", " + dose.Day.Long(d.year())
		}
		lines = append(lines, line)
	}
	if lines == nil {
		return "**Feeding**: nothing is fed by it."
	}
	return joinParts([]string{"**Feeding**: " + d.massText(total) + " in all.", strings.Join(shortened(lines), "\n")})
}

func dosesOf(fd *derive.Feeding, f *farm.Feed) []*derive.Dose {
	var all []*derive.Dose
	for _, dose := range fd.Doses {
		if dose.Feed == f {
			all = append(all, dose)
		}
	}
	return all
}

// soilTestText tells how a test is rated, plot by plot.
func (d *Doc) soilTestText(t *farm.SoilTest) string {
	fd := d.fed()
	if fd == nil {
		return ""
	}
	var lines []string
	for _, pf := range fd.Plots {
		if pf.Test == t {
			lines = append(lines, whyText(pf.Why()))
		}
	}
	return joinParts([]string{"**Soil test** by " + t.Method.Value + ".", strings.Join(lines, "\n")})
}
