package feeding

import (
	_ "embed" // for the table
	"fmt"
	"regexp"
	"strconv"
	"sync"

	"haulm/stdlib/table"
)

// Product is something that is spread, poured or banded.
type Product struct {
	Name      string
	Analysis  Nutrients // shares of its mass, 0.05 for 5 %
	Available Span      // share of its nitrogen that a crop gets in the season; the zero Span is all of it
	Organic   bool
	Density   float64 // in the measure, kg/m³; 0: not known
}

// Release is the share of the nitrogen available in the season.
func (p Product) Release() Span {
	if p.Available == (Span{}) {
		return Span{1, 1}
	}
	return p.Available
}

// Holds gives all nutrients in a mass of the product, kg.
func (p Product) Holds(mass float64) Nutrients { return p.Analysis.Scale(mass) }

// Feeds gives the nutrients in a mass of the product that a crop gets in the season, kg, at the low and the high end of
// what becomes available; P2O5 and K2O count in full.
func (p Product) Feeds(mass float64) (low, high Nutrients) {
	low, high = p.Holds(mass), p.Holds(mass)
	share := p.Release()
	low.N *= share.Low
	high.N *= share.High
	return low, high
}

// feedsMid is a kilogram's nutrients at the middle of what becomes available.
func (p Product) feedsMid() Nutrients {
	n := p.Analysis
	n.N *= p.Release().Mid()
	return n
}

// Volume gives the volume of a mass of the product in the measure, m³: mass / density. It is not ok where the density is
// not known.
func (p Product) Volume(mass float64) (volume float64, ok bool) {
	if p.Density <= 0 {
		return 0, false
	}
	return mass / p.Density, true
}

// Salt gives the N and K2O in a mass of the product, kg: what counts as salt near seed and in a mix.
func (p Product) Salt(mass float64) float64 { return (p.Analysis.N + p.Analysis.K2O) * mass }

// MassFor gives the mass of product, kg, that feeds an amount of a nutrient, kg, nitrogen at the middle of what
// becomes available: nutrient / share / available. It is not ok when the product has none of it.
func (p Product) MassFor(n Nutrient, amount float64) (mass float64, ok bool) {
	share := p.feedsMid().Of(n)
	if share <= 0 {
		return 0, false
	}
	return amount / share, true
}

var analysisText = regexp.MustCompile(`^\s*(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)\s*-\s*(\d+(?:\.\d+)?)\s*$`)

// ParseAnalysis reads the three numbers of a label, percent N, P2O5 and K2O: "5-10-10", "4.5 - 3 - 0".
func ParseAnalysis(text string) (Nutrients, error) {
	m := analysisText.FindStringSubmatch(text)
	if m == nil {
		return Nutrients{}, fmt.Errorf("%q is not an analysis: write the label's three numbers, such as \"5-10-10\"", text)
	}
	var shares [3]float64
	sum := 0.0
	for i := range shares {
		percent, err := strconv.ParseFloat(m[i+1], 64)
		if err != nil {
			return Nutrients{}, fmt.Errorf("%q is not an analysis: %w", text, err)
		}
		shares[i] = percent / 100
		sum += percent
	}
	if sum > 100 {
		return Nutrients{}, fmt.Errorf("%q adds up to %s percent: an analysis cannot be more than 100", text, strconv.FormatFloat(sum, 'g', 6, 64))
	}
	return Nutrients{shares[0], shares[1], shares[2]}, nil
}

// Material is a generic product with what the tables know of it.
type Material struct {
	Product
	Densities       Span   // kg/m³; zero when not known
	AnalysisSource  Source // zero where no analysis is known
	AvailableSource Source // zero where all nitrogen counts
	DensitySource   Source
}

//go:embed materials.csv
var materialsCSV string

type materialTable struct {
	all   []Material
	names map[string]int
}

var materials = sync.OnceValue(func() materialTable {
	t := materialTable{names: map[string]int{}}
	for i, r := range table.Read("materials.csv", materialsCSV) {
		said := func(of string) Source {
			return Source{Title: r.Text(of + "_source"), Grade: Grade(r.Text(of + "_grade"))}
		}
		m := Material{
			Product: Product{
				Name: r.Text("material"), Analysis: Nutrients{r.Number("n", 0) / 100, r.Number("p2o5", 0) / 100, r.Number("k2o", 0) / 100},
				Available: spanOf(r, "available").Scale(0.01), Organic: r.Text("organic") == "yes",
			},
			Densities:      spanOf(r, "density").Scale(pound / (foot * foot * foot)),
			AnalysisSource: said("analysis"), AvailableSource: said("available"), DensitySource: said("density"),
		}
		m.Density = m.Densities.Mid()
		t.all = append(t.all, m)
		for _, name := range append(r.List("aliases"), m.Name) {
			t.names[fold(name)] = i
		}
	}
	return t
})

// Materials gives every generic material, in the table's order.
func Materials() []Material { return append([]Material(nil), materials().all...) }

// MaterialNamed finds a material by its name or another name of it.
func MaterialNamed(name string) (Material, bool) {
	i, ok := materials().names[fold(name)]
	if !ok {
		return Material{}, false
	}
	return materials().all[i], true
}
