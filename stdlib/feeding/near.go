package feeding

import (
	_ "embed" // for the table
	"sync"

	"haulm/stdlib/table"
)

// Placement is where a product lies with regard to seed.
type Placement string

// Placements near seed.
const (
	WithSeed   Placement = "with the seed"
	BesideSeed Placement = "beside the seed" // 2 in beside and 2 in below
)

// SaltLimit is the most N and K2O together near seed.
type SaltLimit struct {
	LineMass float64 // kg for each meter of row
	Source   Source
}

//go:embed salt.csv
var saltCSV string

var saltLimits = sync.OnceValue(func() map[Placement]SaltLimit {
	all := map[Placement]SaltLimit{}
	for _, r := range table.Read("salt.csv", saltCSV) {
		all[Placement(r.Text("placement"))] = SaltLimit{
			LineMass: r.Number("lb_per_acre", 0) * poundPerAcre * r.Number("row_inches", 0) * inch, Source: sourceOf(r),
		}
	}
	return all
})

// SaltNear gives the most N and K2O together for each length of row near seed: 10 lb/ac in rows 30 in apart with the seed,
// 80 beside it (common practice, grade M: no source was read). The limit goes by length of row, so
// closer rows may carry more on an acre.
func SaltNear(p Placement) SaltLimit { return saltLimits()[p] }
