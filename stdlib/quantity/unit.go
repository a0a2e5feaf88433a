package quantity

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// System is a farm's habit of units.
type System uint8

// US customary and metric; Both is for units that either kind of farm writes, such as days.
const (
	US System = iota
	Metric
	Both
)

var systemNames = [...]string{US: "us", Metric: "metric", Both: "both"}

// ParseSystem reads "us" or "metric", as a plan's units argument has it.
func ParseSystem(s string) (System, bool) {
	switch s {
	case "us":
		return US, true
	case "metric":
		return Metric, true
	}
	return US, false
}

// String gives the name that ParseSystem reads, "both" for Both.
func (s System) String() string {
	if int(s) < len(systemNames) {
		return systemNames[s]
	}
	return "system " + strconv.Itoa(int(s))
}

// Unit is one of the units that a plan may name.
type Unit struct {
	Name   string // as a plan writes it: "inch", "cubic_ft"
	Symbol string // as it is printed after one: "in", "cu ft", "acre"
	Plural string // as it is printed after more than one: "in", "acres"
	Dim    Dimension
	SI     float64 // SI base units in one of it, the float64 nearest to Factor
	Factor string  // the same exactly, a decimal or a quotient of two
	System System
	Source string // who defines it

	rank int      // 1 for the likeliest of its dimension
	also []string // other spellings that Parse reads
}

// Of gives n of the unit.
func (u Unit) Of(n float64) Quantity { return Of(n*u.SI, u.Dim) }

// In gives the quantity as a number of units u; NaN when u is of another dimension.
func (q Quantity) In(u Unit) float64 {
	if q.Dim != u.Dim {
		return math.NaN()
	}
	return q.SI / u.SI
}

//go:embed units.csv
var unitsCSV string

type unitTable struct {
	all       []Unit
	byName    map[string]Unit
	spelled   map[string]Unit // by every spelling, in lower case
	spellings []string        // the keys of spelled in the order in which to offer them
}

// units reads the embedded table once; that it reads is tested, so failing here cannot happen.
var units = sync.OnceValue(func() unitTable {
	t := unitTable{byName: map[string]Unit{}, spelled: map[string]Unit{}}
	for i, r := range mustRows(unitsCSV) {
		u, err := readUnit(r)
		if err != nil {
			panic(fmt.Sprintf("units.csv: row %d: %v", i+2, err))
		}
		t.all = append(t.all, u)
		t.byName[u.Name] = u
		for _, text := range append([]string{u.Symbol, u.Plural, u.Name}, u.also...) {
			text = strings.ToLower(text)
			if _, ok := t.spelled[text]; !ok {
				t.spelled[text] = u
				t.spellings = append(t.spellings, text)
			}
		}
	}
	return t
})

// mustRows gives the rows of an embedded table below its heading.
func mustRows(text string) [][]string {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(err)
	}
	return rows[1:]
}

func readUnit(r []string) (Unit, error) {
	u := Unit{Name: r[0], Symbol: r[1], Plural: r[2], Factor: r[5], Source: r[8]}
	if u.Plural == "" {
		u.Plural = u.Symbol
	}
	if r[3] != "" {
		u.also = strings.Split(r[3], "|")
	}
	var ok bool
	if u.Dim, ok = dimensionNamed(r[4]); !ok {
		return u, fmt.Errorf("no dimension is called %q", r[4])
	}
	factor, ok := exactFactor(u.Factor)
	if !ok {
		return u, fmt.Errorf("%q is not a factor", u.Factor)
	}
	u.SI, _ = factor.Float64()
	i := slices.Index(systemNames[:], r[6])
	if i < 0 {
		return u, fmt.Errorf("no system is called %q", r[6])
	}
	u.System = System(i)
	rank, err := strconv.Atoi(r[7])
	u.rank = rank
	return u, err
}

// exactFactor reads a decimal, or a quotient of two decimals.
func exactFactor(text string) (*big.Rat, bool) {
	over, under, quotient := strings.Cut(text, "/")
	a, ok := new(big.Rat).SetString(over)
	if !ok || !quotient {
		return a, ok
	}
	b, ok := new(big.Rat).SetString(under)
	if !ok || b.Sign() == 0 {
		return nil, false
	}
	return a.Quo(a, b), true
}

func dimensionNamed(name string) (Dimension, bool) {
	for _, n := range dimensionNames {
		if n.name == name {
			return n.dim, true
		}
	}
	return Dimension{}, false
}

// Units gives every unit that a plan may name, in the order in which the reference lists them.
func Units() []Unit { return slices.Clone(units().all) }

// UnitNamed gives the unit that a plan calls by the name.
func UnitNamed(name string) (Unit, bool) {
	u, ok := units().byName[name]
	return u, ok
}

// UnitCalled gives the unit that any spelling means: "feet", "lbs" and "FT" as well as "ft".
func UnitCalled(spelling string) (Unit, bool) {
	u, ok := units().spelled[strings.ToLower(spelling)]
	return u, ok
}

// UnitsOf gives the units of a dimension, the likeliest in a plan first; none when it has no units of
// its own.
func UnitsOf(d Dimension) []Unit {
	var of []Unit
	for _, u := range units().all {
		if u.Dim == d {
			of = append(of, u)
		}
	}
	slices.SortFunc(of, func(a, b Unit) int { return a.rank - b.rank })
	return of
}
