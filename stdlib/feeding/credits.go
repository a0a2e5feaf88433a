package feeding

import (
	_ "embed" // for the tables
	"slices"
	"sync"

	"haulm/stdlib/table"
)

// Credit is nitrogen that the soil gives without being fed, with its source.
type Credit struct {
	What   string
	N      Span // kg/m², or kg for each kg of manure where it is Manure's
	Source Source
}

//go:embed credits.csv
var creditsCSV string

//go:embed release.csv
var releaseCSV string

// Units of credits.csv.
const (
	perArea    = "lb/ac"
	perTon     = "lb/ton"
	perPercent = "lb/ac for 1 %"
)

// Legumes gives the nitrogen that an earlier legume or cover crop leaves for the next crop where nothing was
// weighed, kg/m²: one credit for each kind of stand.
func Legumes() []Credit { return credits(perArea, 1, poundPerAcre) }

// LegumeNamed finds one of Legumes by its name.
func LegumeNamed(name string) (Credit, bool) {
	all := Legumes()
	i := slices.IndexFunc(all, func(c Credit) bool { return fold(c.What) == fold(name) })
	if i < 0 {
		return Credit{}, false
	}
	return all[i], true
}

// FeedlotManure is the nitrogen of beef feedlot manure in the first or second year after it was spread, kg for each
// kg of manure (North Platte NRD after University of Nebraska). There is none for later years.
func FeedlotManure(year int) (Credit, bool) {
	found := credits(perTon, year, 1.0/2000)
	if found == nil {
		return Credit{}, false
	}
	return found[0], true
}

// OrganicMatter is the nitrogen that organic matter gives in a season, kg/m², from its share of the soil: 10 to 20 lb/ac for
// each percent (common practice, grade M).
func OrganicMatter(share float64) Credit {
	return credits(perPercent, 1, poundPerAcre*share*100)[0]
}

// creditKind is what credits.csv parts its rows by.
type creditKind struct {
	unit string
	year int
}

var creditRows = sync.OnceValue(func() map[creditKind][]Credit {
	by := map[creditKind][]Credit{}
	for _, r := range table.Read("credits.csv", creditsCSV) {
		kind := creditKind{r.Text("unit"), int(r.Number("year", 0))}
		by[kind] = append(by[kind], Credit{r.Text("what"), spanOf(r, "n"), sourceOf(r)})
	}
	return by
})

func credits(unit string, year int, scale float64) []Credit {
	found := slices.Clone(creditRows()[creditKind{unit, year}])
	for i := range found {
		found[i].N = found[i].N.Scale(scale)
	}
	return found
}

// Release is the share of the total nitrogen that becomes available in the first season.
type Release struct {
	Kind   string
	Share  Span
	Source Source
}

// releaseRow is one row of release.csv; totalN is the share of nitrogen in dry matter of a curve's point.
type releaseRow struct {
	Release
	totalN float64
}

var releases = sync.OnceValue(func() []releaseRow {
	var rows []releaseRow
	for _, r := range table.Read("release.csv", releaseCSV) {
		rows = append(rows, releaseRow{
			Release: Release{r.Text("kind"), Span{r.Number("low", 0) / 100, r.Number("high", 0) / 100}, sourceOf(r)},
			totalN:  r.Number("total_n", 0) / 100,
		})
	}
	return rows
})

// ReleaseOf gives the share of total nitrogen that a kind of organic material gives in a season: "organic
// fertilizer", "poultry litter", "compost", "feather meal", "litter pellet", "cover crop, turned under", "cover crop, left on
// top".
func ReleaseOf(kind string) (Release, bool) {
	for _, r := range releases() {
		if r.totalN == 0 && fold(r.Kind) == fold(kind) {
			return r.Release, true
		}
	}
	return Release{}, false
}

// FreshRelease gives the share of total nitrogen that becomes available from fresh organic material by the share of
// nitrogen in its dry matter: after 28 days, and in the season. It is 0 at 1 % and below (28 days: 2 %), where microbes
// take nitrogen up rather than give it, and no more above 6 % (memory of OSU EM 8954/9235, an approximate curve;
// linear between its points).
func FreshRelease(totalN float64) (month, season Release) {
	return curve("fresh residue, 28 days", totalN), curve("fresh residue, season", totalN)
}

func curve(kind string, totalN float64) Release {
	var below, above releaseRow
	for _, r := range releases() {
		if r.Kind != kind {
			continue
		}
		if above = r; totalN <= r.totalN {
			break
		}
		below = r
	}
	out := above.Release
	if below.totalN > 0 && above.totalN > below.totalN && totalN < above.totalN {
		part := (totalN - below.totalN) / (above.totalN - below.totalN)
		out.Share = below.Share.Scale(1 - part).Plus(above.Share.Scale(part))
	}
	return out
}

// CoverCrop is the nitrogen that a cover crop leaves in its first year, kg/m², from its dry matter on the ground, kg/m²,
// and the share of nitrogen in that: half of it when turned under, two fifths when left on top (University of
// Minnesota, Grossman).
func CoverCrop(dryMatter, share float64, turnedUnder bool) Credit {
	kind := "cover crop, left on top"
	if turnedUnder {
		kind = "cover crop, turned under"
	}
	r, _ := ReleaseOf(kind)
	return Credit{kind, r.Share.Scale(dryMatter * share), r.Source}
}
