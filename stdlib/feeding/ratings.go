package feeding

import (
	_ "embed" // for the tables
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"haulm/stdlib/quantity"
	"haulm/stdlib/table"
)

// Level is a rating in the five words that recommendations are printed by.
type Level uint8

// Levels. What a laboratory calls optimum or sufficient is High: enough for the crop; above optimum and
// excessive are VeryHigh (the laboratories' own words differ; this matching is common practice).
const (
	VeryLow Level = iota + 1
	Low
	Medium
	High
	VeryHigh
)

var levelNames = [...]string{VeryLow: "very low", Low: "low", Medium: "medium", High: "high", VeryHigh: "very high"}

func (l Level) String() string {
	if l < VeryLow || l > VeryHigh {
		return "not rated"
	}
	return levelNames[l]
}

// Lab is one laboratory's table for one extractant.
type Lab struct {
	Name      string // as a plan writes it: "rutgers"
	Title     string // "Rutgers (Mid-Atlantic)"
	Method    string // the extractant: "mehlich-3"
	Nutrients []Nutrient
	Grade     Grade // the weakest of its rows
}

// Rating is a soil-test value among a laboratory's categories.
type Rating struct {
	Lab      Lab
	Nutrient Nutrient
	Category string // in the laboratory's word
	Level    Level
	Low      float64 // bounds of the category as printed, in Unit
	High     float64 // +Inf for the uppermost
	Unit     string  // "lb/ac", "ppm", "index", "FIV", "MnAI", "dS/m"
	Value    float64 // the test's value in Unit
	Source   Source
}

// category is one row of ratings.csv.
type category struct {
	Rating
	below bool // the upper bound itself is in the next category
}

//go:embed ratings.csv
var ratingsCSV string

//go:embed labs.csv
var labsCSV string

type ratingKey struct {
	lab, method string
	nutrient    Nutrient
}

type ratingTable struct {
	labs  []Lab
	names map[string]string // a name of a laboratory, folded, to its own
	rows  map[ratingKey][]category
}

var ratings = sync.OnceValue(func() ratingTable {
	t := ratingTable{names: map[string]string{}, rows: map[ratingKey][]category{}}
	titles := map[string]string{}
	for _, r := range table.Read("labs.csv", labsCSV) {
		name := r.Text("lab")
		titles[name] = r.Text("title")
		for _, alias := range append(r.List("aliases"), name) {
			t.names[fold(alias)] = name
		}
	}
	at := map[[2]string]int{}
	for _, r := range table.Read("ratings.csv", ratingsCSV) {
		key := ratingKey{r.Text("lab"), r.Text("method"), Nutrient(r.Text("nutrient"))}
		pair := [2]string{key.lab, key.method}
		i, ok := at[pair]
		if !ok {
			i = len(t.labs)
			at[pair] = i
			t.labs = append(t.labs, Lab{Name: key.lab, Title: titles[key.lab], Method: key.method})
		}
		lab := &t.labs[i]
		if !slices.Contains(lab.Nutrients, key.nutrient) {
			lab.Nutrients = append(lab.Nutrients, key.nutrient)
		}
		source := sourceOf(r)
		lab.Grade = max(lab.Grade, source.Grade)
		t.rows[key] = append(t.rows[key], category{
			Rating: Rating{
				Nutrient: key.nutrient, Category: r.Text("category"), Level: Level(r.Number("level", 0)),
				Low: r.Number("low", 0), High: r.Number("high", math.Inf(1)), Unit: r.Text("unit"), Source: source,
			},
			below: r.Text("top") == "below",
		})
	}
	return t
})

// Labs gives every table: laboratory by laboratory, extractant by extractant.
func Labs() []Lab { return slices.Clone(ratings().labs) }

// Methods gives the extractants that some laboratory's table is for, sorted.
func Methods() []string {
	var methods []string
	for _, l := range ratings().labs {
		if !slices.Contains(methods, l.Method) {
			methods = append(methods, l.Method)
		}
	}
	slices.Sort(methods)
	return methods
}

// LabNamed finds a laboratory's name by that or another name of it: "UGA Piedmont" is "georgia piedmont".
func LabNamed(name string) (string, bool) {
	own, ok := ratings().names[fold(name)]
	return own, ok
}

// LabFor gives the table to use where a plan names the extractant and no laboratory: of those that rate the
// nutrient by that extractant, the one of the best grade, the first in name among equals.
func LabFor(method string, n Nutrient) (Lab, bool) {
	var best Lab
	for _, l := range ratings().labs {
		if fold(l.Method) == fold(method) && slices.Contains(l.Nutrients, n) && (best.Name == "" || l.Grade < best.Grade) {
			best = l
		}
	}
	return best, best.Name != ""
}

// UnknownTableError says that no table rates a nutrient by a laboratory and extractant.
type UnknownTableError struct {
	Lab, Method string
	Nutrient    Nutrient
	Known       []Lab // the tables nearest to what was asked: of the laboratory, else of the extractant, else all
}

func (e *UnknownTableError) Error() string {
	have := make([]string, len(e.Known))
	for i, l := range e.Known {
		have[i] = fmt.Sprintf("%s by %s", l.Title, l.Method)
	}
	asked := e.Method
	if e.Lab != "" {
		asked = e.Lab + " by " + e.Method
	}
	return fmt.Sprintf("no table rates %s for %s; there are: %s. Results by one extractant cannot be read in the table of another",
		e.Nutrient, asked, strings.Join(have, ", "))
}

// UnitError says that a soil-test value is not in a unit that the laboratory's table can be read in.
type UnitError struct {
	Lab      Lab
	Nutrient Nutrient
	Unit     string // the table's
	Value    quantity.Quantity
}

func (e *UnitError) Error() string {
	how := map[string]string{
		"ppm": "write it in ppm or as a mass for each area", "lb/ac": "write it in ppm or as a mass for each area",
	}[e.Unit]
	if how == "" {
		how = "write the number that the report prints, without a unit"
	}
	return fmt.Sprintf("%s prints %s in %s: %s", e.Lab.Title, e.Nutrient, e.Unit, how)
}

// shareLimit parts shares of the soil from plain numbers such as an index: no nutrient that a soil test speaks
// of makes up a hundredth of the soil.
const shareLimit = 0.01

// Rate finds the category of a soil-test value in the table of a laboratory and extractant. An empty lab takes
// the one of LabFor. The value is a share of the soil (ppm) or a mass for each area to the sampled depth in meters (0:
// the furrow slice of 6-2/3 in), and is turned into the table's unit, the table's lb/ac being those of a furrow slice;
// a plain number where the laboratory prints an index.
//
// Bounds are read as printed: "25 to 45" holds both, and a value in the gap between two printed whole numbers belongs
// to the category whose upper bound it does not exceed, so 45.4 between "25 to 45" and "46 to 71" is in the
// second. Where a table prints "low below 15, high above 25", 15 and 25 are between.
func Rate(lab, method string, n Nutrient, value quantity.Quantity, depth float64) (Rating, error) {
	t := ratings()
	name := lab
	if lab == "" {
		if l, ok := LabFor(method, n); ok {
			name = l.Name
		}
	} else if own, ok := LabNamed(lab); ok {
		name = own
	}
	at := slices.IndexFunc(t.labs, func(l Lab) bool { return l.Name == name && fold(l.Method) == fold(method) })
	if at < 0 {
		return Rating{}, unknownTable(lab, name, method, n)
	}
	l := t.labs[at]
	rows := t.rows[ratingKey{l.Name, l.Method, n}]
	if rows == nil {
		return Rating{}, unknownTable(lab, name, method, n)
	}
	v, ok := inUnit(rows[0].Unit, value, depth)
	if !ok {
		return Rating{}, &UnitError{l, n, rows[0].Unit, value}
	}
	i := slices.IndexFunc(rows, func(c category) bool { return c.holds(v) })
	r := rows[max(i, 0)].Rating
	r.Lab, r.Value = l, v
	return r, nil
}

// hair keeps a value that was converted on the side of a bound where its printed form lies.
const hair = 1e-9

func (c category) holds(v float64) bool {
	if c.below {
		return v < c.High*(1-hair)
	}
	return v <= c.High*(1+hair)
}

func inUnit(unit string, value quantity.Quantity, depth float64) (float64, bool) {
	share := value.Dim == quantity.Ratio && value.SI < shareLimit
	switch {
	case unit == "MnAI": // it passes through 0, so no small number of it is a share
		return value.SI, value.Dim == quantity.Ratio
	case value.SI < 0:
		return 0, false
	case unit == "ppm" && share:
		return value.SI / ppm, true
	case unit == "ppm" && value.Dim == quantity.AreaMass:
		return SoilShare(value.SI, depth) / ppm, true
	case unit == "lb/ac" && share:
		return SoilMass(value.SI, FurrowSlice) / poundPerAcre, true
	case unit == "lb/ac" && value.Dim == quantity.AreaMass:
		return SoilMass(SoilShare(value.SI, depth), FurrowSlice) / poundPerAcre, true
	case unit != "ppm" && unit != "lb/ac" && value.Dim == quantity.Ratio && (!share || value.SI == 0):
		return value.SI, true
	}
	return 0, false
}

func unknownTable(lab, name, method string, n Nutrient) error {
	e := &UnknownTableError{Lab: lab, Method: method, Nutrient: n}
	rates := func(l Lab) bool { return slices.Contains(l.Nutrients, n) }
	for _, near := range []func(Lab) bool{
		func(l Lab) bool { return l.Name == name && rates(l) },
		func(l Lab) bool { return fold(l.Method) == fold(method) && rates(l) },
		rates,
		func(Lab) bool { return true },
	} {
		for _, l := range ratings().labs {
			if near(l) {
				e.Known = append(e.Known, l)
			}
		}
		if e.Known != nil {
			return e
		}
	}
	return e
}
