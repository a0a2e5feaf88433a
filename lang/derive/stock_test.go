package derive

import (
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
)

func TestStockIsUsedFirst(t *testing.T) {
	meal := &farm.Product{Name: farm.Text{Value: "feather meal", Given: true}}
	kilos := func(v float64) quantity.Quantity { return quantity.Of(v, quantity.Mass) }
	uses := []Use{
		{Ware: Ware{Kind: FertilizerWare, Of: meal, Name: "feather meal", Pack: kilos(20), Price: 40}, Amount: kilos(30), By: season.On(2027, 5, 1)},
		{Ware: Ware{Kind: TwineWare, Name: "twine"}, Amount: quantity.Meters(100)},
	}
	stocks := []*farm.Stock{
		{Product: meal, Amount: farm.Amount{Value: kilos(12), Given: true}},
		{Name: farm.Text{Value: "Twine", Given: true}, Amount: farm.Amount{Value: quantity.Meters(250), Given: true}},
		{Name: farm.Text{Value: "twine", Given: true}, Amount: farm.Amount{Value: kilos(3), Given: true}}, // another measure: not counted
	}
	wares := newShopping(uses, stocks).Wares
	require.Len(t, wares, 2)
	require.Equal(t, 1, wares[0].Packs)
	require.InDelta(t, 12, wares[0].Stock.SI, 1e-9)
	require.InDelta(t, 40, wares[0].Cost, 1e-9)
	require.Zero(t, wares[1].Buy.SI)
	require.InDelta(t, 100, wares[1].Stock.SI, 1e-9)
}
