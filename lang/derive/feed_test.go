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
