package support

import (
	_ "embed"
	"sync"

	"haulm/stdlib/quantity"
	"haulm/stdlib/table"
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

// usual reads the embedded table once.
var usual = sync.OnceValue(func() map[key]Value {
	all := map[key]Value{}
	for _, r := range table.Read("usual.csv", usualCSV) {
		si := 1.0
		if u, ok := quantity.UnitNamed(r.Text("unit")); ok {
			si = u.SI
		}
		all[key{r.Text("style"), r.Text("item")}] = Value{
			Low: r.Number("low", 0) * si, High: r.Number("high", 0) * si, Grade: r.Text("grade"), Source: r.Text("source"),
		}
	}
	return all
})

// Usual gives what is usual of an item ("post spacing", "first string") for a style ("stake and weave"); false where
// the style has no such thing.
func Usual(style, item string) (Value, bool) {
	v, ok := usual()[key{style, item}]
	return v, ok
}
