package feeding

import (
	_ "embed" // for the tables
	"slices"
	"sync"

	"haulm/stdlib/table"
)

//go:embed lime.csv
var limeCSV string

//go:embed ph.csv
var phCSV string

// limeTop is the pH up to which the tables of lime go.
const limeTop = 6.5

// limePoint is one cell: pure calcium carbonate that brings soil from a pH to limeTop, kg/m².
type limePoint struct {
	texture, source string
	ph, rate        float64
	from            Source
}

var limes = sync.OnceValue(func() []limePoint {
	var all []limePoint
	for _, r := range table.Read("lime.csv", limeCSV) {
		s := sourceOf(r)
		all = append(all, limePoint{r.Text("texture"), s.Title, r.Number("ph", 0), r.Number("lb_per_100_sqft", 0) * poundPer100SquareFeet, s})
	}
	return all
})

const poundPer100SquareFeet = pound / (100 * foot * foot) // kg/m²

// LimeRate is what one table says of liming.
type LimeRate struct {
	Carbonate float64 // pure calcium carbonate, kg/m²
	Source    Source
}

// Lime gives what each table says to spread, as pure calcium carbonate, to bring soil of a texture from one pH to
// another. Between the printed half steps it is linear, and a target below 6.5 takes the difference of
// two rates. Two tables disagree for light soils by a third; the laboratory's own rate by buffer pH is better
// than both. Empty where no table has the texture, or the pH is below 4 or the target above 6.5 or not above the pH.
func Lime(texture string, ph, target float64) []LimeRate {
	if ph < 4 || target > limeTop || target <= ph {
		return nil
	}
	var rates []LimeRate
	var done []string
	for _, p := range limes() {
		if p.texture != texture || slices.Contains(done, p.source) {
			continue
		}
		done = append(done, p.source)
		rates = append(rates, LimeRate{limeToTop(texture, p.source, ph) - limeToTop(texture, p.source, target), p.from})
	}
	return rates
}

func limeToTop(texture, source string, ph float64) float64 {
	below := limePoint{}
	for _, p := range limes() {
		if p.texture != texture || p.source != source {
			continue
		}
		if ph <= p.ph {
			if below.ph == 0 {
				return p.rate
			}
			part := (ph - below.ph) / (p.ph - below.ph)
			return below.rate + part*(p.rate-below.rate)
		}
		below = p
	}
	return below.rate * (limeTop - ph) / (limeTop - below.ph)
}

// LimeTextures gives the textures that some table has, in alphabetical order.
func LimeTextures() []string {
	var all []string
	for _, p := range limes() {
		all = append(all, p.texture)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// LimeProduct gives the mass of a liming product from the mass of pure calcium carbonate and the product's calcium
// carbonate equivalent as a ratio, such as 0.9: mass x 1 / CCE.
func LimeProduct(carbonate, equivalent float64) float64 { return carbonate / equivalent }

// LimePasses gives in how many passes to spread a rate in kg/m², six months apart: one up to 10 lb on 100 square feet,
// two to 20, three above (Penn State Agricultural Analytical Services: 11 to 20 two, 21 and more three).
func LimePasses(rate float64) int {
	switch onHundred := rate / poundPer100SquareFeet; {
	case onHundred <= 10*(1+hair):
		return 1
	case onHundred <= 20*(1+hair):
		return 2
	}
	return 3
}

// LimeSource is where LimePasses comes from.
func LimeSource() Source {
	return Source{Title: "Penn State Agricultural Analytical Services Laboratory", Grade: GradeA, Note: "passes six months apart"}
}

// Acidity is the pH that a crop wants.
type Acidity struct {
	PH      Span
	General bool // the range of vegetables in general, not the crop's own
	Source  Source
}

var acidities = sync.OnceValue(func() map[string]Acidity {
	all := map[string]Acidity{}
	for _, r := range table.Read("ph.csv", phCSV) {
		a := Acidity{PH: Span{r.Number("low", 0), r.Number("high", 0)}, Source: sourceOf(r), General: r.Text("crops") == ""}
		for _, crop := range append(r.List("crops"), "")[:max(1, len(r.List("crops")))] {
			all[crop] = a
		}
	}
	return all
})

// AcidityOf gives the pH for a crop by its identifier, else that of vegetables in general.
func AcidityOf(crop string) Acidity {
	if a, ok := acidities()[crop]; ok {
		return a
	}
	return acidities()[""]
}
