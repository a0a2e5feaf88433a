package derive

import (
	"testing"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

// bigZone is 300 rows of 200 emitters with a planting each, on one header, with a year's weather.
func bigZone() *plan {
	p := newPlan(foot)
	p.Site = bangkok()
	c := p.Site.Climate
	c.TMin, c.TMax = months(quantity.Temperature, same(288)), months(quantity.Temperature, same(301))
	c.Rain = months(quantity.Length, same(0.08))
	z := p.zone("all", p.spring(200), p.tape(0.22), regulated(10), func(z *farm.Zone) { z.Supply, z.Header = run(100, 4), run(1200, 4) })
	plot := p.plot("Field", 200, 1300, 0)
	plot.Soil = loam()
	crop := pepper()
	for i := range 300 {
		row := p.row(plot, 4+4*float64(i), watered(z))
		p.plant(row, crop, 1.5, filled, during(on(4, 20+i%20), on(9, 20)))
	}
	return p
}

// BenchmarkWater works out a zone of 300 rows with 60,000 emitters, and the same farm without its zone and
// climate.
func BenchmarkWater(b *testing.B) {
	p := bigZone()
	b.Run("zone", func(b *testing.B) {
		var w *Water
		for b.Loop() {
			w = Derive(&p.Farm).Water
		}
		b.ReportMetric(float64(w.Zones[0].Emitters), "emitters")
		b.ReportMetric(float64(w.Groups[0].Iterations), "rounds")
	})
	bare := p.Farm
	bare.Zones, bare.Site = nil, nil
	b.Run("without", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			Derive(&bare)
		}
	})
}
