package derive

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
)

const (
	psi = 6894.757293168
	gpm = 3.785411784e-3 / 60
	gal = 3.785411784e-3
)

func amount(v float64, d quantity.Dimension) farm.Amount {
	return farm.Amount{Value: quantity.Of(v, d), Given: true}
}

func number(v float64) farm.Number { return farm.Number{Value: v, Given: true} }

// months gives twelve normals by a function of the month, 0 for January.
func months(d quantity.Dimension, of func(i int) float64) farm.Months {
	m := farm.Months{Given: true}
	for i := range 12 {
		m.Value = append(m.Value, quantity.Of(of(i), d))
	}
	return m
}

func same(v float64) func(int) float64 { return func(int) float64 { return v } }

// dry is a place where grass uses so many mm a day all year and no rain falls.
func (p *plan) dry(mm float64) *farm.Site {
	c := &farm.Climate{ReferenceET: months(quantity.Speed, same(mm/1000/86400))}
	p.Site = &farm.Site{Climate: c}
	return p.Site
}

// spring is a source of 32 psi and a flow in gpm.
func (p *plan) spring(flow float64) *farm.WaterSource {
	s := &farm.WaterSource{Flow: amount(flow*gpm, quantity.Flow), Pressure: amount(32*psi, quantity.Pressure)}
	s.Name.Value = "spring box"
	p.Sources = append(p.Sources, s)
	return s
}

// tape has 5/8 in, emitters 12 in apart and a flow in gpm on 100 ft at 8 psi.
func (p *plan) tape(flow float64) *farm.DripTape {
	t := &farm.DripTape{
		EmitterSpacing: length(foot), Flow: amount(flow*gpm/(100*foot), quantity.LineFlow), At: amount(8*psi, quantity.Pressure),
		Exponent: number(0.5), InsideDiameter: length(0.625 * inch),
	}
	t.Emitter.Value = "slit"
	p.Tapes = append(p.Tapes, t)
	return t
}

func (p *plan) zone(name string, s *farm.WaterSource, t *farm.DripTape, with ...func(*farm.Zone)) *farm.Zone {
	z := &farm.Zone{Source: s, Tape: t}
	z.Name.Value = name
	for _, f := range with {
		f(z)
	}
	p.Zones = append(p.Zones, z)
	return z
}

func regulated(at float64) func(*farm.Zone) {
	return func(z *farm.Zone) { z.Regulator = amount(at*psi, quantity.Pressure) }
}

func run(feet, inches float64) *farm.Pipe {
	d := &farm.Pipe{Length: length(feet * foot), InsideDiameter: length(inches * inch)}
	d.Material.Value = "polyethylene"
	return d
}

func watered(z *farm.Zone) func(*farm.Row) { return func(d *farm.Row) { d.Zone = z } }

// pepper is bell pepper with round coefficients that are those of FAO-56 Table 12, and roots and depletion of its
// Table 22.
func pepper() *farm.Crop {
	c := crop("bell pepper")
	c.KcIni, c.KcMid, c.KcEnd = stated(0.6, 0.6), stated(1.05, 1.05), stated(0.9, 0.9)
	c.RootDepth, c.Depletion = stated(0.5, 1), stated(0.3, 0.3)
	return c
}

func loam() *farm.Soil {
	s := &farm.Soil{}
	s.Texture.Value = "loam"
	return s
}

// known is a range of lengths that the crop table would hold.
func known(low, high float64) crops.Range {
	r := stated(low, high)
	r.Dim = quantity.Length
	return r
}

var nan = math.NaN()

func printed(v any) string { return fmt.Sprint(v) }

// usedBy looks up what a crop of the table uses.
func usedBy(t *testing.T, name string) (*cropUse, bool) {
	entry, ok := crops.Named(name)
	require.True(t, ok)
	u := newCropUse(&farm.Crop{Crop: *entry})
	return u, u.unknown == ""
}
