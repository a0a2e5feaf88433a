package derive

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/feeding"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

// fedFarm is a plot with rows of one crop; feeds and products are up to the test.
func fedFarm(rows int, products ...*farm.Product) (*farm.Farm, *farm.Plot) {
	m := func(v float64) farm.Length { return farm.Length{Value: quantity.Meters(v), Given: true} }
	table, _ := crops.Named("bell pepper")
	crop := &farm.Crop{Crop: *table}
	plot := &farm.Plot{Name: farm.Text{Value: "Top", Given: true}, Length: m(30), Width: m(40)}
	f := &farm.Farm{Plots: []*farm.Plot{plot}, Products: products}
	for i := range rows {
		r := &farm.Row{Plot: plot, At: m(2 + 1.2*float64(i)), Lines: farm.Count{Value: 1}}
		f.Rows = append(f.Rows, r)
		f.Plantings = append(f.Plantings, &farm.Planting{
			Row: r, Crop: crop, Fill: farm.Flag{Value: true, Given: true}, Spacing: m(0.45),
			On: farm.DateArg{Value: season.On(2027, 5, 15), Given: true},
		})
	}
	rate := func(v float64) farm.Amount { return farm.Amount{Value: quantity.Of(v, quantity.AreaMass), Given: true} }
	f.Needs = []*farm.Need{{Crop: crop, N: rate(0.012), P2O5: rate(0.006), K2O: rate(0.01)}}
	return f, plot
}

func fertilizer(name string, n, p, k float64) *farm.Product {
	return &farm.Product{
		Name:     farm.Text{Value: name, Given: true},
		Analysis: farm.Field[feeding.Nutrients]{Value: feeding.Nutrients{N: n, P2O5: p, K2O: k}, Given: true},
	}
}

// What leaves the packs reaches the rows: masses, nutrients and leftovers add up, and what is scooped or weighed
// differs by no more than the error it reports.
func TestNutrientIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		share := rapid.Float64Range(0.01, 0.3)
		a := fertilizer("a", share.Draw(t, "n"), 0, share.Draw(t, "k"))
		b := fertilizer("b", share.Draw(t, "bn"), share.Draw(t, "bp"), 0)
		f, plot := fedFarm(rapid.IntRange(1, 12).Draw(t, "rows"), a, b)
		amount := rapid.Float64Range(0.1, 40).Draw(t, "amount")
		have := rapid.Float64Range(0, 20).Draw(t, "stock")
		f.Stocks = []*farm.Stock{{Product: a, Amount: farm.Amount{Value: quantity.Of(have, quantity.Mass), Given: true}}}
		f.Feeds = []*farm.Feed{
			{Plot: plot, Products: []*farm.Product{a}, Amount: farm.Amount{Value: quantity.Of(amount, quantity.Mass), Given: true}},
			{Plot: plot, Products: []*farm.Product{a, b}, ToNeed: farm.Flag{Value: true, Given: true}},
		}
		facts := Derive(f)
		fd := facts.Feeding()
		require.Empty(t, fd.Failed)
		var byAmount, leftover float64
		var held, inRows feeding.Nutrients
		for _, d := range fd.Doses {
			if d.Feed == f.Feeds[0] {
				byAmount += d.Mass
			}
			leftover += d.Leftover
			held = held.Plus(product(d.Product).Holds(d.Mass))
			w := feeding.Weigh(d.Mass, quantity.US)
			require.InDelta(t, d.Mass, w.Mass-w.Error, 1e-9)
		}
		require.InEpsilon(t, amount, byAmount, 1e-9)
		require.LessOrEqual(t, leftover, have*(1+1e-9))
		for _, n := range fd.Plantings {
			inRows = inRows.Plus(n.Mid.Scale(n.Area))
			lacks := n.Lacks()
			require.LessOrEqual(t, lacks.N, 1e-8)
			require.LessOrEqual(t, lacks.P2O5, 1e-8)
			require.LessOrEqual(t, lacks.K2O, 1e-8)
		}
		require.InEpsilon(t, held.N, inRows.N, 1e-9)
		var bought float64
		for _, p := range facts.Shopping().Wares {
			if p.Ware.Kind == FertilizerWare {
				bought += p.Amount.SI
			}
		}
		var used float64
		for _, p := range fd.Products {
			used += p.Used
		}
		require.InEpsilon(t, used, bought, 1e-9)
	})
}

func TestStagesOfFeeding(t *testing.T) {
	meal := fertilizer("meal", 0.12, 0, 0)
	f, _ := fedFarm(1, meal)
	p := f.Plantings[0]
	feed := func(stage string, days int) *farm.Feed {
		return &farm.Feed{
			Planting: p, Products: []*farm.Product{meal}, Rate: farm.Amount{Value: quantity.Of(0.01, quantity.AreaMass), Given: true},
			Stage: farm.Text{Value: stage, Given: stage != ""}, Days: farm.Count{Value: days},
		}
	}
	f.Feeds = []*farm.Feed{feed("", 0), feed("at planting", 0), feed("after planting", 21)}
	fd := Derive(f).Feeding()
	require.Len(t, fd.Doses, 3)
	for i, day := range []season.Date{season.On(2027, 5, 8), season.On(2027, 5, 15), season.On(2027, 6, 5)} {
		require.Equal(t, day, fd.Doses[i].Day)
	}
}

// However small the limit of one application, no day gets more, and what the season has room for is fed.
func TestNitrogenAtOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		meal := fertilizer("meal", 0.12, 0, 0)
		potash := fertilizer("potash", 0, 0, 0.5)
		bone := fertilizer("bone", 0.001, 0.27, 0)
		f, plot := fedFarm(2, meal, potash, bone)
		rate := func(v float64) farm.Amount { return farm.Amount{Value: quantity.Of(v, quantity.AreaMass), Given: true} }
		limit := rapid.Float64Range(0.0008, 0.02).Draw(t, "limit")
		f.Needs[0].AtOnce = rate(limit)
		f.Feeds = []*farm.Feed{{Plot: plot, Products: f.Products, ToNeed: farm.Flag{Value: true, Given: true}}}
		if rapid.Bool().Draw(t, "one day") {
			f.Feeds[0].On = farm.DateArg{Value: season.On(2027, 5, 15), Given: true}
		}
		fd := Derive(f).Feeding()
		require.Empty(t, fd.Failed)
		for _, n := range fd.Plantings {
			most := 0.0
			for _, d := range n.Doses {
				most = max(most, n.OnDay(d.Day))
			}
			require.LessOrEqual(t, most, limit*(1+1e-6))
			if lacks := n.Lacks().N; lacks > 1e-8 {
				require.InEpsilon(t, limit, most, 1e-6)
				if !f.Feeds[0].On.Given {
					last := n.Doses[len(n.Doses)-1].Day
					require.False(t, n.Planting.nextDressing(last).IsSet())
				}
			}
			days, short := n.Dressings(3*limit, limit, season.On(2027, 5, 15))
			require.False(t, short)
			require.Equal(t, []season.Date{season.On(2027, 5, 15), season.On(2027, 5, 29), season.On(2027, 6, 12)}, days)
		}
	})
}

// A nutrient that the plan's own need leaves out is the laboratory's, else a table's; on soil without a test it is none.
func TestNeedInLayers(t *testing.T) {
	rate := func(v float64) farm.Amount { return farm.Amount{Value: quantity.Of(v, quantity.AreaMass), Given: true} }
	ppm := func(v float64) farm.Amount {
		return farm.Amount{Value: quantity.Of(v*1e-6, quantity.Ratio), Given: true}
	}
	f, plot := fedFarm(1)
	need := func() *PlantingFeeding { return Derive(f).Feeding().Plantings[0] }
	f.Needs = []*farm.Need{{Crop: f.Plantings[0].Crop, N: rate(0.02)}}
	n := need()
	require.Equal(t, feeding.Nutrients{N: 0.02}, n.Need.Mid())
	require.Equal(t, "this plan", n.Need.Table)

	test := &farm.SoilTest{Method: farm.Text{Value: "mehlich-3", Given: true}, P: ppm(38), K: ppm(71), K2O: rate(0.003)}
	plot.Soil = &farm.Soil{Test: test}
	n = need()
	table, err := feeding.NeedOf("bell_pepper", "", *Derive(f).Feeding().Plots[0].P, *Derive(f).Feeding().Plots[0].K)
	require.NoError(t, err)
	require.Equal(t, feeding.Nutrients{N: 0.02, P2O5: table.P2O5.Mid(), K2O: 0.003}, n.Need.Mid())
	require.Equal(t, "this plan, Southeast, the laboratory's own recommendation", n.Need.Table)
	require.True(t, n.Unverified())
	names, unverified := n.NeedBy(feeding.N, feeding.K2O)
	require.Equal(t, "this plan, the laboratory's own recommendation", names)
	require.False(t, unverified)
}
