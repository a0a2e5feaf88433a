package next

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"haulm/lang/derive"
	"haulm/lang/farm"
)

// tellHistory says by history, plot by plot, what grew in the plan before and in those that it looks back to.
func (d *draft) tellHistory(facts *derive.Facts) {
	d.grown = map[*farm.Plot][]string{}
	tell := func(year int, there []*farm.Plot, plantings []*farm.Planting) {
		for _, p := range d.farm.Plots {
			var families []string
			for _, q := range there {
				if !derive.Meet(p, q) {
					continue
				}
				for _, pl := range plantings {
					if pl.Row != nil && pl.Row.Plot == q && pl.Crop != nil && pl.Crop.Family != "" && !slices.Contains(families, pl.Crop.Family) {
						families = append(families, pl.Crop.Family)
					}
				}
			}
			if len(families) == 0 {
				continue
			}
			for i, f := range families {
				families[i] = strconv.Quote(f)
			}
			d.grown[p] = append(d.grown[p], fmt.Sprintf("year = %d, crops = [%s]", year, strings.Join(families, ", ")))
			d.refs[p]++
		}
	}
	tell(d.farm.Year.Value, d.farm.Plots, d.farm.Plantings)
	for _, e := range facts.Earlier {
		tell(e.Year, e.Decl.Farm.Plots, e.Decl.Farm.Plantings)
	}
}
