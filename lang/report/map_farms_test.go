package report_test

import (
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// wholeSeason is a farm of several plots with most that can be in a row.
func wholeSeason() *builder {
	b := newFarm("Alder Hollow", quantity.US)
	all := []func() *farm.Crop{pepper, eggplant, tomato, lettuce, broccoli, kale, corn, carrot, squash, onion, bean}
	n := 0
	for i, name := range []string{"Lower bench", "Upper bench", "River field", "Nursery side", "West"} {
		p := b.plot(name, []float64{100, 100, 180, 60, 80}[i], []float64{50, 50, 80, 36, 40}[i], 6)
		for at := 3.0; at < p.Width.Value.SI/foot-2; at += 5 {
			switch {
			case n%3 == 0:
				r := b.bed(p, at, 2+n%2, 10)
				b.count(r, all[n%11](), 10, "2027-05-08")
				b.fill(r, all[(n+4)%11](), "2027-05-15")
			case n%7 == 0:
				r := b.bed(p, at, 3, 10)
				b.fill(r, lettuce(), "2027-04-01")
				b.fill(r, broccoli(), "2027-07-15")
			default:
				r := b.row(p, at)
				b.count(r, all[n%11](), 20, "2027-05-08")
				b.count(r, all[(n+3)%11](), 7, "2027-05-08")
			}
			n++
		}
	}
	return b
}

// spread puts the plots of wholeSeason where they lie, rows running four ways.
func spread() *builder {
	b := wholeSeason()
	for i, p := range b.f.Plots {
		p.Bearing = given([]float64{0, 0, 180, 0, 90}[i])
		p.East, p.North = feet([]float64{0, 90, 250, 0, 0}[i]), feet([]float64{0, 0, 170, 145, 270}[i])
	}
	return b
}

// far puts two of them so far away that they must be drawn side by side.
func far() *builder {
	b := spread()
	b.f.Plots[4].North, b.f.Plots[3].East = feet(4000), feet(-2500)
	return b
}

// longRows has too many rows on the page for each to be named.
func longRows() *builder {
	b := newFarm("Long acres", quantity.US)
	p, q := b.plot("Long field", 300, 100, 15), b.plot("Longer field", 900, 100, 15)
	for at := 3.0; at < 98; at += 4 {
		for _, f := range []*farm.Plot{p, q} {
			r := b.bed(f, at, 2, 14)
			b.count(r, tomato(), 50, "2027-05-08")
			b.fill(r, lettuce(), "2027-05-08")
		}
	}
	return b
}

// tightRows has rows whose plants can be drawn one by one, but paths too narrow for a word.
func tightRows() *builder {
	b := newFarm("Close by", quantity.US)
	p := b.plot("Potato field", 160, 66, 8)
	for at := 3.0; at < 64; at += 3 {
		r := b.row(p, at)
		b.count(r, lettuce(), 30, "2027-05-08")
		b.fill(r, tomato(), "2027-05-09")
	}
	b.plot("Other field", 210, 10, 5)
	return b
}

var maps = map[string]func() *builder{
	"benches": benches, "metric": metricFarm, "season": wholeSeason, "spread": spread, "far": far, "long": longRows,
	"tight": tightRows,
}
