package feeding

import (
	_ "embed" // for the tables
	"fmt"
	"slices"
	"strings"
	"sync"

	"haulm/stdlib/table"
)

// Need is what a crop wants to be fed over its season, kg/m².
type Need struct {
	N, P2O5, K2O Span
	Table        string // "Southeast", "Florida", or "no soil test"
	Source       Source
	Others       []Need // what other tables say of the same crop and ratings
}

// Low gives the lower ends of the need, kg/m².
func (n Need) Low() Nutrients { return Nutrients{n.N.Low, n.P2O5.Low, n.K2O.Low} }

// Mid gives the middles of the need, kg/m².
func (n Need) Mid() Nutrients { return Nutrients{n.N.Mid(), n.P2O5.Mid(), n.K2O.Mid()} }

// High gives the upper ends of the need, kg/m².
func (n Need) High() Nutrients { return Nutrients{n.N.High, n.P2O5.High, n.K2O.High} }

// needRow is one row of needs.csv for one of its crops.
type needRow struct {
	labs, textures []string
	table          string
	n              Span
	p2o5, k2o      [VeryHigh + 1]float64 // lb/ac by level
	source         Source
}

//go:embed needs.csv
var needsCSV string

//go:embed removal.csv
var removalCSV string

//go:embed splits.csv
var splitsCSV string

var needRows = sync.OnceValue(func() map[string][]needRow {
	by := map[string][]needRow{}
	for _, r := range table.Read("needs.csv", needsCSV) {
		row := needRow{
			labs: r.List("labs"), textures: r.List("textures"), table: r.Text("table"),
			n: spanOf(r, "n"), p2o5: levelsOf(r, "p2o5"), k2o: levelsOf(r, "k2o"), source: sourceOf(r),
		}
		for _, crop := range r.List("crops") {
			by[crop] = append(by[crop], row)
		}
	}
	return by
})

// levels reads "150/150/100/50/0", very low first.
func levelsOf(r table.Row, name string) (by [VeryHigh + 1]float64) {
	parts := strings.Split(r.Text(name), "/")
	if len(parts) != int(VeryHigh) {
		panic(r.Fault("%s: %q", name, r.Text(name)))
	}
	for i, part := range parts {
		by[VeryLow+Level(i)] = r.Parse(name, part)
	}
	return by
}

// NoNeedError says that no table holds the need of a crop for the ratings given.
type NoNeedError struct {
	Crop string
	Why  string // "no table has it", or what its only table asks for
}

func (e *NoNeedError) Error() string {
	return fmt.Sprintf("no need is known for %s: %s; give the laboratory's own recommendation, or the need itself", e.Crop, e.Why)
}

// NeedOf gives the need of a crop, by its identifier in the crop table ("sweet_corn"), for the ratings of P and of K
// and the texture of the soil, which matters where a table parts textures. The ratings are steps, not interpolated.
//
// The Southeast table is printed for four levels, and its lowest stands for very low too. The Florida table belongs
// to that laboratory's Mehlich-1 levels of before 2010 and rules for them; for any other rating it is not used,
// as levels of different extractants are not alike. Both were recalled, not read: grade M.
func NeedOf(crop, texture string, p, k Rating) (Need, error) {
	if p.Level < VeryLow || p.Level > VeryHigh || k.Level < VeryLow || k.Level > VeryHigh {
		return Need{}, &NoNeedError{crop, "P and K must be rated first"}
	}
	var fits []Need
	var own []bool // the table is the rating laboratory's own
	why := "no table has it"
	for _, row := range needRows()[crop] {
		if row.textures != nil && !slices.Contains(row.textures, texture) {
			continue
		}
		if row.labs != nil && (!slices.Contains(row.labs, p.Lab.Name) || !slices.Contains(row.labs, k.Lab.Name)) {
			why = fmt.Sprintf("the %s table is for the ratings of the laboratory %q alone", row.table, strings.Join(row.labs, " or "))
			continue
		}
		if slices.ContainsFunc(fits, func(n Need) bool { return n.Table == row.table }) {
			continue // the row of this texture came first
		}
		one := func(lb float64) Span { return Span{lb * poundPerAcre, lb * poundPerAcre} }
		fits = append(fits, Need{
			N: row.n.Scale(poundPerAcre), P2O5: one(row.p2o5[p.Level]), K2O: one(row.k2o[k.Level]),
			Table: row.table, Source: row.source,
		})
		own = append(own, row.labs != nil)
	}
	if fits == nil {
		return Need{}, &NoNeedError{crop, why}
	}
	at := max(slices.Index(own, true), 0)
	best := fits[at]
	best.Others = slices.Delete(fits, at, at+1)
	return best, nil
}

// NeedUntested is the general rate for a vegetable garden without a soil test: 2.5 lb of each nutrient on 1,000 square
// feet (UMass Extension, Fertilizing the Vegetable Garden).
func NeedUntested() Need {
	const rate = 2.5 * pound / (1000 * foot * foot)
	each := Span{rate, rate}
	return Need{N: each, P2O5: each, K2O: each, Table: "no soil test", Source: Source{
		Title: "UMass Extension, Fertilizing the Vegetable Garden", Grade: GradeA, Note: "a general rate, whatever the crop",
	}}
}

// Removal is what a harvest takes off the field, or what the whole crop takes up.
type Removal struct {
	Part          string  // "roots", "total"
	Yield         float64 // kg/m² for which it is printed
	N, P2O5, K2O  Span    // kg/m² at that yield
	KnowsK, Whole bool    // K2O is known; the part is the whole plant
	Source        Source
}

// Removals gives what a crop takes off at a yield of the harvested part, kg/m², in proportion to the printed yield; a
// cross-check on its need and no need itself. The first is the part that leaves the field where the source parts it.
func Removals(crop string, yield float64) []Removal {
	printed := removals()[crop]
	found := make([]Removal, len(printed))
	for i, r := range printed {
		scale := yield / r.Yield
		r.N, r.P2O5, r.K2O = r.N.Scale(scale), r.P2O5.Scale(scale), r.K2O.Scale(scale)
		found[i] = r
	}
	return found
}

var removals = sync.OnceValue(func() map[string][]Removal {
	by := map[string][]Removal{}
	for _, r := range table.Read("removal.csv", removalCSV) {
		for _, crop := range r.List("crops") {
			by[crop] = append(by[crop], Removal{
				Part: r.Text("part"), Yield: r.Number("tons", 0) * tonPerAcre, N: spanOf(r, "n").Scale(poundPerAcre),
				P2O5: spanOf(r, "p2o5").Scale(poundPerAcre), K2O: spanOf(r, "k2o").Scale(poundPerAcre),
				KnowsK: r.Text("k2o") != "", Whole: r.Text("part") == "total", Source: sourceOf(r),
			})
		}
	}
	return by
})

// Stage is when a share of the nitrogen goes on.
type Stage string

// Stages of side-dressing.
const (
	BeforePlanting Stage = "before planting"
	AfterPlanting  Stage = "after planting" // Days after it
	KneeHigh       Stage = "12 to 18 in tall"
	VinesTipOver   Stage = "vines tip over"
	BeforeBulbing  Stage = "before bulbing"
	FirstFruit     Stage = "first fruit"
	FirstHarvest   Stage = "first harvest"
)

// Portion is one share of the season's nitrogen.
type Portion struct {
	Share float64
	Stage Stage
	Days  Span // after planting, for AfterPlanting
	Every Span // days from one dressing to the next until harvest ends, over which the share is spread; 0: at once
}

// Split gives how the tables part a crop's nitrogen between planting and side-dressings, the shares adding up to 1.
// It is not ok where they say nothing of the crop: then no split is known, and none is made up.
func Split(crop string) (portions []Portion, source Source, ok bool) {
	s, ok := splits()[crop]
	return slices.Clone(s.portions), s.source, ok
}

type split struct {
	portions []Portion
	source   Source
}

var splits = sync.OnceValue(func() map[string]split {
	by := map[string]split{}
	for _, r := range table.Read("splits.csv", splitsCSV) {
		over, under, _ := strings.Cut(r.Text("share"), "/")
		p := Portion{
			Share: r.Parse("share", over) / r.Parse("share", under), Stage: Stage(r.Text("stage")),
			Days: spanOf(r, "days"), Every: spanOf(r, "every"),
		}
		for _, crop := range r.List("crops") {
			by[crop] = split{append(by[crop].portions, p), sourceOf(r)}
		}
	}
	return by
})
