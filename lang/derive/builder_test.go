package derive

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

const (
	foot = 0.3048
	inch = 0.0254
)

func length(meters float64) farm.Length {
	return farm.Length{Value: quantity.Meters(meters), Given: true}
}

func count(n int) farm.Count { return farm.Count{Value: n, Given: true} }

func days(n int) farm.Field[int] { return farm.Field[int]{Value: n, Given: true} }

func on(month time.Month, day int) farm.DateArg {
	return farm.DateArg{Value: season.On(2027, month, day), Given: true}
}

var yes = farm.Flag{Value: true, Given: true}

// plan builds a farm by hand, in feet or in any other unit of length.
type plan struct {
	farm.Farm
	unit float64
}

func newPlan(unit float64) *plan {
	p := &plan{unit: unit}
	p.Year.Value = 2027
	if unit == 1 {
		p.Units = quantity.Metric
	}
	return p
}

func (p *plan) plot(name string, long, wide, headland float64) *farm.Plot {
	d := &farm.Plot{Length: length(long * p.unit), Width: length(wide * p.unit), Headland: length(headland * p.unit)}
	d.Name.Value = name
	p.Plots = append(p.Plots, d)
	return d
}

func (p *plan) row(plot *farm.Plot, at float64, with ...func(*farm.Row)) *farm.Row {
	d := &farm.Row{Plot: plot, At: length(at * p.unit), Lines: farm.Count{Value: 1}}
	for _, f := range with {
		f(d)
	}
	p.Rows = append(p.Rows, d)
	return d
}

func (p *plan) bed(lines int, apart float64, staggered bool) func(*farm.Row) {
	return func(d *farm.Row) {
		d.Lines, d.LineSpacing = count(lines), length(apart*p.unit)
		d.Staggered = farm.Flag{Value: staggered, Given: true}
	}
}

func (p *plan) plant(row *farm.Row, c *farm.Crop, spacing float64, with ...func(*farm.Planting)) *farm.Planting {
	d := &farm.Planting{Row: row, Crop: c, Spacing: length(spacing * p.unit)}
	for _, f := range with {
		f(d)
	}
	p.Plantings = append(p.Plantings, d)
	return d
}

func counted(n int) func(*farm.Planting) { return func(d *farm.Planting) { d.Count = count(n) } }
func filled(d *farm.Planting)            { d.Fill = yes }
func (p *plan) long(x float64) func(*farm.Planting) {
	return func(d *farm.Planting) { d.Length = length(x * p.unit) }
}
func (p *plan) from(x float64) func(*farm.Planting) {
	return func(d *farm.Planting) { d.Start = length(x * p.unit) }
}

// during gives a planting a planting day and a clearing day.
func during(in, out farm.DateArg) func(*farm.Planting) {
	return func(d *farm.Planting) { d.On, d.Until = in, out }
}

func crop(name string) *farm.Crop {
	c := &farm.Crop{}
	c.Name, c.Ident = name, name
	return c
}

// stated is a value of the crop table.
func stated(low, high float64) crops.Range {
	return crops.Range{Low: low, High: high, Grade: "B", Source: "field guide"}
}

func derive(t require.TestingT, p *plan) *Facts {
	facts := Derive(&p.Farm)
	if h, ok := t.(*testing.T); ok {
		h.Helper()
	}
	require.Len(t, facts.Plantings, len(p.Plantings))
	return facts
}

// of gives the facts of a planting.
func of(facts *Facts, d *farm.Planting) *Planting {
	for _, p := range facts.Plantings {
		if p.Decl == d {
			return p
		}
	}
	return nil
}
