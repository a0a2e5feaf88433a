package derive

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

const pound = 0.45359237

// marketPepper yields 100 lb on 100 ft, 70 days from setting out, for 13 days after the first.
func marketPepper() *farm.Crop {
	c := crop("pepper")
	c.MaturityTransplant, c.HarvestDays = stated(70, 70), stated(13, 13)
	c.YieldPerLength = crops.Range{Low: 80 * pound / (100 * foot), High: 120 * pound / (100 * foot), Dim: quantity.LineMass, Grade: "B", Source: "field guide"}
	c.SaleUnit = "lb"
	return c
}

func grown(c *farm.Crop, with ...func(*farm.Planting)) (*plan, *farm.Planting) {
	p := newPlan(foot)
	row := p.row(p.plot("Bench", 100, 40, 0), 5)
	d := p.plant(row, c, 2, append([]func(*farm.Planting){filled, func(d *farm.Planting) { d.On = on(time.May, 3) }}, with...)...)
	return p, d
}

func TestHarvestAmounts(t *testing.T) {
	mass := func(v float64) farm.Amount { return farm.Amount{Value: quantity.Of(v, quantity.Mass), Given: true} }
	plan := func(low, high float64, d quantity.Dimension) crops.Range {
		return crops.Range{Low: low, High: high, Dim: d, Grade: crops.GradePlan}
	}
	tests := []struct {
		name   string
		change func(c *farm.Crop, d *farm.Planting)
		unit   string
		full   float64 // before losses
	}{
		{"the table's yield on 100 ft", func(*farm.Crop, *farm.Planting) {}, "lb", 100},
		{"by the bunch of half a pound", func(c *farm.Crop, _ *farm.Planting) { c.SaleUnit, c.UnitMass = "bunch", mass(pound/2) }, "bunch", 200},
		{"by a bunch of no known mass", func(c *farm.Crop, _ *farm.Planting) { c.SaleUnit = "bunch" }, "lb", 100},
		{"one head of every plant", func(c *farm.Crop, _ *farm.Planting) { c.SaleUnit = "head" }, "head", 51},
		{"dozens along the row", func(c *farm.Crop, _ *farm.Planting) {
			c.SaleUnit = "dozen"
			c.UnitsPerLength = crops.Range{Low: 10 / (100 * foot), High: 10 / (100 * foot), Grade: "B", Note: "dozen"}
		}, "dozen", 10},
		{"fruit sold by the piece", func(c *farm.Crop, _ *farm.Planting) {
			c.SaleUnit = "each"
			c.UnitsPerLength = crops.Range{Low: 40 / (100 * foot), High: 60 / (100 * foot), Grade: "B", Note: "fruit"}
		}, "each", 50},
		{"the plan's own yield of a plant", func(c *farm.Crop, _ *farm.Planting) { c.YieldPerPlant = plan(2*pound, 4*pound, quantity.Mass) }, "lb", 153},
		{"the plan's own yield of a length goes before heads", func(c *farm.Crop, _ *farm.Planting) {
			c.SaleUnit, c.UnitMass = "head", mass(2*pound)
			c.YieldPerLength = plan(pound/foot, pound/foot, quantity.LineMass)
		}, "head", 50},
		{"the planting's yield goes before all", func(c *farm.Crop, d *farm.Planting) {
			c.YieldPerPlant = plan(2*pound, 4*pound, quantity.Mass)
			d.Yield = farm.Amount{Value: quantity.Of(2*pound/foot, quantity.LineMass), Given: true}
		}, "lb", 200},
		{"by the plant where no length is known", func(c *farm.Crop, _ *farm.Planting) {
			c.YieldPerLength, c.YieldPerPlant = crops.Range{}, crops.Range{Low: pound, High: pound, Dim: quantity.Mass, Grade: "A"}
		}, "lb", 51},
		{"by the area where nothing else is known", func(c *farm.Crop, _ *farm.Planting) {
			// the row lies 5 ft from the side: it speaks for 10 ft, of which the crop takes 3 ft
			c.BetweenRows = crops.Range{Low: 3 * foot, High: 3 * foot, Dim: quantity.Length, Grade: "B"}
			c.YieldPerLength, c.YieldPerArea = crops.Range{}, crops.Range{Low: 1 * pound / (foot * foot), High: 1 * pound / (foot * foot), Dim: quantity.AreaMass, Grade: "B"}
		}, "lb", 300},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := marketPepper()
			p, d := grown(c)
			tt.change(c, d)
			n := derive(t, p).Harvest().Plantings[0]
			require.Empty(t, n.Unknown)
			require.Equal(t, tt.unit, n.Unit.Name)
			require.InDelta(t, tt.full, n.Full, 1e-6)
			require.InDelta(t, tt.full*0.9, n.Amount, 1e-6, "a tenth is lost")
			require.Len(t, n.Why(), 2)
		})
	}
}

func TestHarvestNotKnown(t *testing.T) {
	tests := []struct {
		name   string
		change func(c *farm.Crop, d *farm.Planting)
		want   string
	}{
		{"no number", func(_ *farm.Crop, d *farm.Planting) { d.Fill = farm.Flag{} }, "it stands nowhere"},
		{"no day", func(_ *farm.Crop, d *farm.Planting) { d.On = farm.DateArg{Value: season.None} }, "the day of its first harvest is not known"},
		{"cleared first", func(_ *farm.Crop, d *farm.Planting) { d.Until = on(time.June, 1) }, "it is cleared before it is ready"},
		{"no yield", func(c *farm.Crop, _ *farm.Planting) { c.YieldPerLength = crops.Range{} }, "no yield of pepper is known; give one with yield_per_length"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := marketPepper()
			p, d := grown(c)
			tt.change(c, d)
			h := derive(t, p).Harvest()
			require.Equal(t, tt.want, h.Plantings[0].Unknown)
			require.Equal(t, "not known: "+tt.want, h.Plantings[0].Why()[0].Result)
			require.Empty(t, h.Weeks)
			require.Equal(t, 1, h.Crops[0].Unknown)
		})
	}
}

// May 3 + 70 days is Monday July 12; 13 days later is Sunday July 25: two whole weeks.
func TestHarvestWeeks(t *testing.T) {
	p, d := grown(marketPepper())
	h := derive(t, p).Harvest()
	require.Equal(t, []season.Date{season.On(2027, 7, 12), season.On(2027, 7, 19)}, h.Weeks)
	require.InDeltaSlice(t, []float64{45, 45}, h.Plantings[0].Weeks, 1e-9)
	require.Equal(t, 0, h.Crops[0].Peak)

	// Cleared on Monday July 19 it gives half of it, all in its first week.
	d.Until = on(time.July, 19)
	h = derive(t, p).Harvest()
	require.InDelta(t, 0.5, h.Plantings[0].Share, 1e-9)
	require.InDeltaSlice(t, []float64{45}, h.Plantings[0].Weeks, 1e-9)
}

// What the weeks give adds up to what there is to sell, whatever the days, and never exceeds the whole yield.
func TestHarvestAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPlan(foot)
		row := p.row(p.plot("Bench", 100, 40, 0), 5)
		for i := range rapid.IntRange(1, 5).Draw(t, "plantings") {
			c := marketPepper()
			c.Name = []string{"pepper", "okra"}[i%2]
			c.HarvestDays = stated(float64(rapid.IntRange(0, 90).Draw(t, "days")), 90)
			p.plant(row, c, 2, counted(rapid.IntRange(1, 5).Draw(t, "count")), func(d *farm.Planting) {
				d.On = farm.DateArg{Value: season.On(2027, 3, rapid.IntRange(1, 120).Draw(t, "day")), Given: true}
				if rapid.Bool().Draw(t, "cleared") {
					d.Until = farm.DateArg{Value: d.On.Value.Add(rapid.IntRange(60, 200).Draw(t, "stands")), Given: true}
				}
			})
		}
		h := Derive(&p.Farm).Harvest()
		total, crops := 0.0, 0.0
		for _, n := range h.Plantings {
			sum := 0.0
			for i, v := range n.Weeks {
				require.Greater(t, v, 0.0)
				require.Less(t, n.First+i, len(h.Weeks))
				sum += v
			}
			require.InDelta(t, n.Amount, sum, 1e-9)
			require.LessOrEqual(t, n.Amount, n.Full)
			total += n.Amount
		}
		for _, c := range h.Crops {
			crops += c.Amount
		}
		require.InDelta(t, total, crops, 1e-9)
	})
}

func TestHarvestPrices(t *testing.T) {
	c := marketPepper()
	hot := marketPepper()
	hot.Variety = "Ember"
	number := func(v float64) farm.Number { return farm.Number{Value: v, Given: true} }
	tests := []struct {
		name  string
		price []*farm.Price
		want  float64 // for a lb; 0 for none
	}{
		{"none", nil, 0},
		{"of the crop, by its own unit", []*farm.Price{{Crop: c, Amount: number(2)}}, 2},
		{"by another unit of mass", []*farm.Price{{Crop: c, Amount: number(4), Per: farm.Text{Value: "kg", Given: true}}}, 4 * pound},
		{"of the variety, whatever comes later", []*farm.Price{{Crop: hot, Amount: number(3)}, {Crop: c, Amount: number(2)}}, 3},
		{"the last of two", []*farm.Price{{Crop: c, Amount: number(3)}, {Crop: c, Amount: number(2)}}, 2},
		{"by a bunch of no known mass", []*farm.Price{{Crop: c, Amount: number(3), Per: farm.Text{Value: "bunch", Given: true}}}, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, _ := grown(hot)
			p.Prices = tt.price
			h := derive(t, p).Harvest()
			require.InDelta(t, tt.want, h.Crops[0].Price, 1e-9)
			require.InDelta(t, tt.want*90, h.Value, 1e-6)
		})
	}
}

func TestWants(t *testing.T) {
	p, _ := grown(marketPepper())
	other := marketPepper()
	other.Variety = "Ember"
	p.plant(p.row(p.Plots[0], 10), other, 2, filled, func(d *farm.Planting) { d.On = on(time.May, 10) })
	mass := func(lb float64) farm.Amount {
		return farm.Amount{Value: quantity.Of(lb*pound, quantity.Mass), Given: true}
	}
	none := farm.DateArg{Value: season.None}
	p.Wants = []*farm.Want{
		{Crop: p.Plantings[0].Crop, Mass: mass(50), On: none, Until: none}, // any variety, over its whole harvest
		{Crop: other, Mass: mass(70), On: on(time.July, 14), Until: on(time.July, 27)},
		{Crop: crop("okra"), Mass: mass(5), On: none, Until: none},
		{Crop: other, Count: farm.Number{Value: 7, Given: true}, On: on(time.July, 19), Until: on(time.July, 25)},
	}
	wants := derive(t, p).Harvest().Wants
	week := func(day int, wanted, given float64) WantWeek { return WantWeek{season.On(2027, 7, day), wanted, given} }
	near := func(want, got []WantWeek) {
		t.Helper()
		require.Len(t, got, len(want))
		for i := range want {
			require.Equal(t, want[i].Monday, got[i].Monday)
			require.InDelta(t, want[i].Wanted, got[i].Wanted, 1e-9)
			require.InDelta(t, want[i].Given, got[i].Given, 1e-9)
		}
	}
	near([]WantWeek{week(12, 50, 45), week(19, 50, 90), week(26, 50, 45)}, wants[0].Weeks)
	// Wednesday to Sunday, a week, Monday and Tuesday.
	near([]WantWeek{week(12, 50, 0), week(19, 70, 45), week(26, 20, 45)}, wants[1].Weeks)
	require.Equal(t, "nothing of it is harvested, and the want has no first and last day", wants[2].Unknown)
	near([]WantWeek{week(19, 7, 45)}, wants[3].Weeks)
	require.False(t, math.IsNaN(wants[3].Unit.Mass))
}
