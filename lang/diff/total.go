package diff

import (
	"cmp"
	"math"
	"slices"

	"haulm/lang/derive"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
)

// Total is a figure of the whole farm that changes add to or take from. It is counted in whole steps, small enough
// that nobody would miss a part of one, so that sums are exact in whatever order they are taken.
type Total struct {
	Name     string // "plants", "harvest in bunches"
	Dim      quantity.Dimension
	Step     float64 // what one step is, in SI units; 1 for plain counts
	Money    bool    // an amount of the farm's money
	Old, New int64   // steps
}

// Value gives an amount of steps in SI units, pieces or money.
func (t *Total) Value(steps int64) float64 { return float64(steps) * t.Step }

// figure is how a total is read off a farm: exactly one of plantings, rows, plots and farm is set. The first
// three give a number for each of Facts.Plantings, Facts.Rows and Facts.Plots, nil when there are none.
type figure struct {
	name      string
	dim       quantity.Dimension
	step      float64
	money     bool
	plantings func(*derive.Facts) []float64
	rows      func(*derive.Facts) []float64
	plots     func(*derive.Facts) []float64 // one more than there are plots: the last is of no plot
	farm      func(*derive.Facts) float64
	by        func(*comparison, *pair) *Change // that answers for a planting which did not change itself; nil for the usual one
}

// figures are the totals of the two farms, in the order in which they are shown. A new one is a line here.
func (c *comparison) figures() []figure {
	list := []figure{
		{name: "plants", step: 1, plantings: plants},
		{name: "seeds", step: 1, plantings: seeds},
		{name: "cells", step: 1, plantings: cells},
		{name: "bench at its fullest", dim: quantity.Area, step: 1e-4, farm: bench},
		{name: "water", dim: quantity.Volume, step: 1e-6, plantings: water},
		{name: "nitrogen fed", dim: quantity.Mass, step: 1e-6, plantings: fed(feeding.N), by: (*comparison).feedChange},
		{name: "phosphate fed", dim: quantity.Mass, step: 1e-6, plantings: fed(feeding.P2O5), by: (*comparison).feedChange},
		{name: "potash fed", dim: quantity.Mass, step: 1e-6, plantings: fed(feeding.K2O), by: (*comparison).feedChange},
		{name: "tape", dim: quantity.Length, step: 1e-4, rows: tape},
		{name: "posts", step: 1, rows: posts},
	}
	list = append(list, figure{name: "work", dim: quantity.Time, step: 1, plots: work})
	for _, unit := range c.saleUnits() {
		list = append(list, figure{name: "harvest in " + unit, step: 1e-3, plantings: func(f *derive.Facts) []float64 { return harvest(f, unit) }})
	}
	return append(list,
		figure{name: "value of the harvest", step: 1e-4, money: true, plantings: value, by: (*comparison).priceChange},
		figure{name: "cost of what is bought", step: 1e-4, money: true, farm: cost},
	)
}

func plants(f *derive.Facts) []float64 {
	return each(f.Plantings, func(_ int, p *derive.Planting) float64 { return float64(p.Plants) })
}

func seeds(f *derive.Facts) []float64 {
	list := make([]float64, len(f.Plantings))
	for _, s := range f.Nursery().Seeds {
		for _, u := range s.Of {
			list[u.Planting.Number-1] += float64(u.Seeds)
		}
	}
	return list
}

func cells(f *derive.Facts) []float64 {
	list := make([]float64, len(f.Plantings))
	for _, s := range f.Nursery().Starts {
		list[s.Planting.Number-1] += float64(s.Cells)
	}
	return list
}

func bench(f *derive.Facts) float64 {
	n := f.Nursery()
	if n.Peak < 0 {
		return 0
	}
	return n.Weeks[n.Peak].Bench
}

// water is what is to be sent out for a planting in the season, m3.
func water(f *derive.Facts) []float64 {
	if f.Water == nil {
		return nil
	}
	return each(f.Water.Plantings, func(_ int, p *derive.PlantingWater) float64 {
		sum := 0.0
		for i := range p.Weeks {
			sum += p.Weeks[i].Need
		}
		return sum
	})
}

// fed is how much of a nutrient plantings are given, kg; of nitrogen the middle of what becomes available.
func fed(which feeding.Nutrient) func(*derive.Facts) []float64 {
	return func(f *derive.Facts) []float64 {
		if !f.Fed() {
			return nil
		}
		return each(f.Feeding().Plantings, func(_ int, p *derive.PlantingFeeding) float64 { return p.Mid.Of(which) * p.Area })
	}
}

// tape is what all tapes of a row are cut to, m.
func tape(f *derive.Facts) []float64 {
	if f.Water == nil {
		return nil
	}
	return each(f.Water.Rows, func(_ int, r *derive.RowWater) float64 { return float64(r.Tapes) * r.Cut.Length })
}

// posts counts each trellis at the first of its rows.
func posts(f *derive.Facts) []float64 {
	if len(f.Support().Trellises) == 0 {
		return nil
	}
	number := make(map[*derive.Row]int, len(f.Rows))
	for i, r := range f.Rows {
		number[r] = i
	}
	list := make([]float64, len(f.Rows))
	for _, t := range f.Support().Trellises {
		if len(t.Rows) > 0 {
			list[number[t.Rows[0]]] += float64(t.Posts)
		}
	}
	return list
}

// work is the time that all jobs take, s.
func work(f *derive.Facts) []float64 {
	number := make(map[*derive.Plot]int, len(f.Plots))
	for i, p := range f.Plots {
		number[p] = i
	}
	list := make([]float64, len(f.Plots)+1)
	for _, j := range f.Labor().Jobs {
		i, ok := number[j.Plot]
		if !ok {
			i = len(f.Plots)
		}
		list[i] += j.Hours * 3600
	}
	return list
}

// saleUnits are the units that crops of either farm are sold by, by name.
func (c *comparison) saleUnits() []string {
	var units []string
	for _, s := range []*side{&c.from, &c.to} {
		for _, crop := range s.facts.Harvest().Crops {
			if crop.Unit.Name != "" {
				units = append(units, crop.Unit.Name)
			}
		}
	}
	slices.Sort(units)
	return slices.Compact(units)
}

func harvest(f *derive.Facts, unit string) []float64 {
	return each(f.Harvest().Plantings, func(_ int, p *derive.PlantingHarvest) float64 {
		if p.Unknown != "" || p.Unit.Name != unit {
			return 0
		}
		return p.Amount
	})
}

// value is what a planting's harvest brings at the plan's prices.
func value(f *derive.Facts) []float64 {
	list := make([]float64, len(f.Plantings))
	for _, crop := range f.Harvest().Crops {
		for _, p := range crop.Plantings {
			if p.Unknown == "" {
				list[p.Planting.Number-1] = p.Amount * crop.Price
			}
		}
	}
	return list
}

func cost(f *derive.Facts) float64 { return f.Shopping().Cost }

func each[T any](list []T, f func(int, T) float64) []float64 {
	out := make([]float64, len(list))
	for i, x := range list {
		out[i] = f(i, x)
	}
	return out
}

// steps rounds a figure to whole steps; one that is not known counts as nothing.
func (f *figure) steps(x float64) int64 {
	if n := math.Round(x / f.step); math.Abs(n) < 1<<52 {
		return int64(n)
	}
	return 0
}

// Good is something to buy more or less of.
type Good struct {
	Name     string
	Packed   string // "roll": what Old and New count; "" where they are amounts
	Old, New quantity.Quantity
}

// goods compares the shopping lists of both farms, ware by ware.
func (c *comparison) goods() []Good {
	type ware struct {
		kind derive.WareKind
		name string
	}
	list := map[ware]*Good{}
	var order []ware
	for _, s := range []*side{&c.from, &c.to} {
		for _, p := range s.facts.Shopping().Wares {
			w := ware{p.Ware.Kind, p.Ware.Name}
			g := list[w]
			if g == nil {
				g = &Good{Name: p.Ware.Name}
				list[w] = g
				order = append(order, w)
			}
			to := &g.Old
			if s == &c.to {
				to = &g.New
			}
			g.Packed = ""
			if p.Ware.Pack.SI > 0 {
				g.Packed = cmp.Or(p.Ware.PackName, "pack")
			}
			more := bought(p)
			*to = quantity.Of(to.SI+more.SI, more.Dim)
		}
	}
	slices.SortFunc(order, func(a, b ware) int {
		return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.name, b.name))
	})
	var goods []Good
	for _, w := range order {
		g := list[w]
		if g.Old == (quantity.Quantity{}) {
			g.Old.Dim = g.New.Dim
		}
		if g.New == (quantity.Quantity{}) {
			g.New.Dim = g.Old.Dim
		}
		if !sameAmounts(g.Old, g.New) {
			goods = append(goods, *g)
		}
	}
	return goods
}

// bought is how much of a ware is to buy: packs as a plain ratio.
func bought(p *derive.Purchase) quantity.Quantity {
	if p.Ware.Pack.SI > 0 {
		return quantity.Of(float64(p.Packs), quantity.Ratio)
	}
	return p.Buy
}
