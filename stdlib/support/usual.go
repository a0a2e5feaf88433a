package support

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"haulm/stdlib/quantity"
)

// Value is what is usual for a style of trellis, with who says so.
type Value struct {
	Low, High float64 // SI; plain numbers for counts
	Grade     string  // A, B, C, M or X, as in the crop table
	Source    string
}

//go:embed usual.csv
var usualCSV string

type key struct{ style, item string }

// usual reads the embedded table once; that it reads is tested, so failing here cannot happen.
var usual = sync.OnceValue(func() map[key]Value {
	rows, err := csv.NewReader(strings.NewReader(usualCSV)).ReadAll()
	if err != nil {
		panic(err)
	}
	all := map[key]Value{}
	for i, r := range rows[1:] {
		v := Value{Grade: r[5], Source: r[6]}
		si := 1.0
		if u, ok := quantity.UnitNamed(r[4]); ok {
			si = u.SI
		}
		for j, end := range []*float64{&v.Low, &v.High} {
			n, err := strconv.ParseFloat(r[2+j], 64)
			if err != nil {
				panic(fmt.Sprintf("usual.csv: row %d: %v", i+2, err))
			}
			*end = n * si
		}
		all[key{r[0], r[1]}] = v
	}
	return all
})

// Usual gives what is usual of an item ("post spacing", "first string") for a style ("stake and weave"); false where
// the style has no such thing.
func Usual(style, item string) (Value, bool) {
	v, ok := usual()[key{style, item}]
	return v, ok
}
