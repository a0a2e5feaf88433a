package derive

import (
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

func TestFindWorkAndWares(t *testing.T) {
	p, d := grown(marketPepper())
	d.Crop.PackSeeds = count(100)
	d.Direct = true
	d.Crop.MaturitySeed = stated(70, 70)
	p.Stocks = []*farm.Stock{{Crop: d.Crop, Amount: farm.Amount{Value: quantity.Of(30, quantity.Ratio), Given: true}}}
	facts := derive(t, p)
	tests := []struct{ item, want string }{
		{"weeding", "weeding"}, {"Weeding/pepper", "weeding"}, {"weeding/bench", "weeding"}, {"bed-preparation", "bed preparation"},
		{"seed", "seed, pepper"}, {"seed, pepper", "seed, pepper"},
	}
	for _, tt := range tests {
		got, err := Find(facts, tt.item)
		require.NoError(t, err, tt.item)
		require.Equal(t, tt.want, got.Title(), tt.item)
		require.NotEmpty(t, got.Why(), tt.item)
	}
	weeding, _ := Find(facts, "weeding")
	require.Len(t, weeding.Why(), 1+2*3, "the sum, and hours and weeks of each")
	seed, _ := Find(facts, "seed")
	why := seed.Why()
	require.Equal(t, "30", why[1].Inputs[1].Value)
	for _, wrong := range []string{"weeding/okra", "dancing", "", "99"} {
		_, err := Find(facts, wrong)
		require.Error(t, err, wrong)
	}
}
