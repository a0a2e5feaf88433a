package derive

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/labor"
	"haulm/stdlib/quantity"
)

// working is a plan with a row of a crop that is picked in July, in a climate with the same weather all year.
func working(t *testing.T, low, high, humidity float64, pack crops.Range, crew *farm.Crew) *Facts {
	p := newPlan(1)
	site := &farm.Site{Climate: even(low, high)}
	site.Latitude = farm.Number{Value: 38, Given: true}
	for range 12 {
		site.Climate.Humidity.Value = append(site.Climate.Humidity.Value, quantity.Of(humidity, quantity.Ratio))
	}
	p.Site, p.Crew = site, crew
	c := crop("okra")
	c.Direct, c.MaturitySeed, c.HarvestDays, c.PackMass = true, stated(60, 60), stated(14, 14), pack
	c.YieldPerLength = crops.Range{Low: 1, High: 1, Dim: quantity.LineMass, Grade: "B", Source: "field guide"}
	c.SaleUnit = "lb"
	d := p.plant(p.row(p.plot("Bench", 10, 10, 0), 5), c, 1, counted(8))
	d.On = on(5, 1)
	return derive(t, p)
}

func TestCareForHeat(t *testing.T) {
	// Mean humidity of 60 % over 20 and 34 °C: vapor 0.6 × (2.338 + 5.319) / 2 = 2.297 kPa, 43 % at 34 °C. Rothfusz gives
	// 96 °F for 93.2 °F and 43 %.
	c := working(t, 20, 34, 0.6, crops.Range{}, nil).Care()
	require.GreaterOrEqual(t, c.Hottest, 0)
	top := c.Heat[c.Hottest]
	require.InDelta(t, 34, top.High, 1e-9)
	require.InDelta(t, 43, top.Humidity, 0.5)
	require.InDelta(t, 96, top.Index, 1)
	require.Equal(t, labor.HeatModerate, top.Heat)
	for _, w := range c.Heat {
		require.Equal(t, top.Index, w.Index, "the weather is the same all year")
	}
	require.Equal(t, "Heat", c.Why()[0].Title)
	require.Contains(t, c.Why()[0].Result, "moderate")

	facts := working(t, 20, math.NaN(), 0.6, crops.Range{}, nil)
	require.Equal(t, -1, facts.Care().Hottest)
	require.Equal(t, "not known", facts.Care().Why()[0].Result)
}

func TestCareForLoads(t *testing.T) {
	const pound = 0.45359237
	pack := crops.Range{Low: 30 * pound, High: 34 * pound, Dim: quantity.Mass, Grade: "B", Source: "packers' list"}
	c := working(t, 10, 20, 0.6, pack, nil).Care()
	// 51 × 10/12 × (1 − 0.0075 × 24) × (0.82 + 1.8/30) = 30.668 lb
	require.InDelta(t, 30.668*pound, c.Limit, 1e-3)
	require.Equal(t, "usual pack of okra", c.Loads[0].Name)
	require.InDelta(t, 32/30.668, c.Loads[0].Index, 1e-3)
	require.Equal(t, "packers' list (grade B)", c.Loads[0].Source)

	crew := &farm.Crew{Carry: farm.Amount{Value: quantity.Of(20*pound, quantity.Mass), Given: true}}
	c = working(t, 10, 20, 0.6, pack, crew).Care()
	require.Len(t, c.Loads, 1)
	require.InDelta(t, 20*pound, c.Loads[0].Mass, 1e-9)
	require.Less(t, c.Loads[0].Index, 1.0)

	c = working(t, 10, 20, 0.6, crops.Range{}, nil).Care()
	require.InDelta(t, 40*pound, c.Loads[0].Mass, 1e-6, "a full crate when nothing tells")
	require.Equal(t, commonPractice, c.Loads[0].Source)
}
