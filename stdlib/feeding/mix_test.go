package feeding

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var (
	balanced = Product{Name: "5-10-10", Analysis: Nutrients{0.05, 0.10, 0.10}}
	calcium  = Product{Name: "15-0-0", Analysis: Nutrients{N: 0.15}}
	feather  = Product{Name: "feather meal", Analysis: Nutrients{N: 0.12}, Available: Span{0.65, 0.80}, Organic: true}
	potash   = Product{Name: "0-0-50", Analysis: Nutrients{K2O: 0.50}}
	litter   = Product{Name: "litter pellets", Analysis: Nutrients{0.05, 0.04, 0.03}, Available: Span{0.4, 0.6}, Organic: true}
)

func anyOf(p Product, price float64) Offer { return Offer{Product: p, Price: price, Buy: math.Inf(1)} }

// masses writes a mix as the mass of each offer.
func masses(m Mix, offers []Offer) map[string]float64 {
	all := map[string]float64{}
	for _, p := range m.Parts {
		all[offers[p.Offer].Product.Name] += p.Mass()
	}
	return all
}

func TestBlend(t *testing.T) {
	capP := NoCaps()
	capP.P2O5 = 0.5
	noP := NoCaps()
	noP.P2O5 = 0
	for _, c := range []struct {
		name   string
		offers []Offer
		need   Nutrients
		caps   Caps
		want   map[string]float64
		cost   float64
	}{
		{"nitrogen from the cheaper source", []Offer{anyOf(calcium, 0.6), anyOf(feather, 2)}, Nutrients{N: 1.5}, NoCaps(),
			map[string]float64{"15-0-0": 10}, 6},
		{"organic nitrogen counts as it becomes available", []Offer{anyOf(feather, 2)}, Nutrients{N: 0.87}, NoCaps(),
			map[string]float64{"feather meal": 10}, 20},
		{"phosphorus from the blend, its nitrogen credited", []Offer{anyOf(balanced, 1), anyOf(calcium, 0.6)}, Nutrients{N: 2, P2O5: 1}, NoCaps(),
			map[string]float64{"5-10-10": 10, "15-0-0": 10}, 16},
		{"a soil rich in phosphorus", []Offer{anyOf(balanced, 0.1), anyOf(calcium, 0.6), anyOf(potash, 2)}, Nutrients{N: 1.5, K2O: 1}, noP,
			map[string]float64{"15-0-0": 10, "0-0-50": 2}, 10},
		{"up to the limit of phosphorus", []Offer{anyOf(balanced, 0.1), anyOf(potash, 2)}, Nutrients{K2O: 1}, capP,
			map[string]float64{"5-10-10": 5, "0-0-50": 1}, 2.5},
		{"leftovers first", []Offer{anyOf(calcium, 0.6), {Product: feather, Price: 2, Stock: 10}}, Nutrients{N: 1.5}, NoCaps(),
			map[string]float64{"feather meal": 10, "15-0-0": 4.2}, 2.52},
		{"no more of the leftovers than helps", []Offer{{Product: calcium, Stock: 50}}, Nutrients{N: 1.5}, NoCaps(),
			map[string]float64{"15-0-0": 10}, 0},
		{"of two alike the first", []Offer{anyOf(calcium, 0.6), anyOf(Product{Name: "another 15-0-0", Analysis: Nutrients{N: 0.15}}, 0.6)}, Nutrients{N: 1.5}, NoCaps(),
			map[string]float64{"15-0-0": 10}, 6},
		{"nothing is needed", []Offer{anyOf(calcium, 0.6)}, Nutrients{}, NoCaps(), map[string]float64{}, 0},
		{"nothing is needed and nothing offered", nil, Nutrients{}, NoCaps(), map[string]float64{}, 0},
		{"without a price, the lightest", []Offer{anyOf(calcium, math.NaN()), anyOf(feather, math.NaN())}, Nutrients{N: 1.5}, NoCaps(),
			map[string]float64{"15-0-0": 10}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := Blend(c.offers, c.need, c.caps)
			require.NoError(t, err)
			got := masses(m, c.offers)
			require.Len(t, got, len(c.want), "%v", got)
			for name, kg := range c.want {
				require.InDelta(t, kg, got[name], 1e-6, name)
			}
			require.InDelta(t, c.cost, m.Cost, 1e-6)
		})
	}
}

func TestBlendSaysWhyNot(t *testing.T) {
	capP := NoCaps()
	capP.P2O5 = 0.2
	salty := NoCaps()
	salty.Salt = 1
	for _, c := range []struct {
		name   string
		offers []Offer
		need   Nutrients
		caps   Caps
		want   string
	}{
		{"a nutrient that no product has", []Offer{anyOf(calcium, 1)}, Nutrients{N: 1, K2O: 2}, NoCaps(), "no mix meets the need: no product has K2O"},
		{"nothing at hand", nil, Nutrients{N: 1}, NoCaps(), "no mix meets the need: no product has N"},
		{"too little left over", []Offer{{Product: calcium, Stock: 4}}, Nutrients{N: 1.5}, NoCaps(),
			"no mix meets the need: the products give at most 0.6 kg N of 1.5 kg"},
		{"the limit on phosphorus", []Offer{anyOf(litter, 1)}, Nutrients{N: 0.5}, capP,
			"no mix meets the need: the products give at most 0.125 kg N of 0.5 kg; the limit of 0.2 kg P2O5 would have to be 0.8 kg"},
		{"the limit on salt for two needs that are possible alone", []Offer{anyOf(calcium, 1), anyOf(potash, 1)}, Nutrients{N: 0.8, K2O: 0.8}, salty,
			"no mix meets the need: the limit of 1 kg salt would have to be 1.6 kg"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Blend(c.offers, c.need, c.caps)
			var no *NoMixError
			require.ErrorAs(t, err, &no)
			require.Equal(t, c.want, err.Error())
		})
	}
}

func TestBlendRefusesNumbersThatAreNoAmounts(t *testing.T) {
	for _, o := range []Offer{
		{Product: calcium, Stock: -1}, {Product: calcium, Buy: math.NaN()}, {Product: calcium, Buy: 1, Price: -1},
		{Product: calcium, Buy: 1, Price: math.Inf(1)}, {Product: calcium, Buy: math.Inf(1), Price: 1, Stock: math.Inf(-1)},
	} {
		_, err := Blend([]Offer{o}, Nutrients{N: 1}, NoCaps())
		require.Error(t, err)
		require.False(t, errors.As(err, new(*NoMixError)), "%v", err)
	}
}

// drawMix draws offers of round numbers, so that ties, equal products and empty leftovers come up often.
func drawMix(t *rapid.T) ([]Offer, Nutrients, Caps) {
	tenth := func(low, high int, name string) float64 { return float64(rapid.IntRange(low, high).Draw(t, name)) / 10 }
	var offers []Offer
	for i := range rapid.IntRange(0, 6).Draw(t, "offers") {
		o := Offer{Product: Product{
			Name: fmt.Sprintf("product %d", i), Analysis: Nutrients{tenth(0, 4, "N") / 2, tenth(0, 3, "P2O5"), tenth(0, 4, "K2O") / 2},
		}, Price: tenth(0, 30, "price"), Buy: math.Inf(1)}
		if rapid.Bool().Draw(t, "organic") {
			o.Product.Available = Span{tenth(1, 5, "low"), tenth(5, 10, "high")}
		}
		switch rapid.IntRange(0, 4).Draw(t, "at hand") {
		case 0:
			o.Buy = 0
			o.Stock = tenth(0, 300, "stock")
		case 1:
			o.Stock = tenth(0, 100, "stock")
		case 2:
			o.Buy = tenth(0, 300, "buy")
		}
		offers = append(offers, o)
	}
	limit := func(name string) float64 {
		if rapid.Bool().Draw(t, "limited") {
			return tenth(0, 60, name)
		}
		return math.Inf(1)
	}
	return offers, Nutrients{tenth(0, 30, "need N"), tenth(0, 20, "need P2O5"), tenth(0, 30, "need K2O")},
		Caps{Nutrients{limit("cap N"), limit("cap P2O5"), limit("cap K2O")}, limit("cap salt")}
}

// TestBlendKeepsToEverything: a mix meets every need and keeps to every cap, stock and limit; without any one of its
// parts no mix is cheaper; and twice the farm costs twice as much. Where there is no mix, lifting a cap to the least that
// is named makes one possible.
func TestBlendKeepsToEverything(t *testing.T) {
	const some = 1e-7
	rapid.Check(t, func(t *rapid.T) {
		offers, need, caps := drawMix(t)
		m, err := Blend(offers, need, caps)
		if err != nil {
			var no *NoMixError
			require.ErrorAs(t, err, &no)
			for _, c := range no.Conflicts {
				raised := caps
				least := c.Least*(1+some) + some
				switch c.Nutrient {
				case N:
					raised.N = least
				case P2O5:
					raised.P2O5 = least
				case K2O:
					raised.K2O = least
				default:
					raised.Salt = least
				}
				_, err := Blend(offers, need, raised)
				require.NoError(t, err, "%+v", c)
			}
			return
		}
		cost, salt := 0.0, 0.0
		for _, p := range m.Parts {
			o := offers[p.Offer]
			require.LessOrEqual(t, p.Leftover, o.Stock+some)
			require.LessOrEqual(t, p.Bought, o.Buy+some)
			require.Positive(t, p.Mass())
			cost += p.Bought * o.Price
			salt += o.Product.Salt(p.Mass())
		}
		require.InDelta(t, cost, m.Cost, some)
		require.InDelta(t, salt, m.Salt, some)
		require.LessOrEqual(t, salt, caps.Salt+some)
		for _, n := range Fed() {
			require.GreaterOrEqual(t, m.Gives.Of(n), need.Of(n)-some, n)
			require.LessOrEqual(t, m.Gives.Of(n), caps.Of(n)+some, n)
			require.InDelta(t, m.Gives.Of(n), (m.GivesLow.Of(n)+m.GivesHigh.Of(n))/2, some, n)
		}
		for _, p := range m.Parts {
			without := append([]Offer(nil), offers...)
			without[p.Offer].Stock, without[p.Offer].Buy = 0, 0
			if other, err := Blend(without, need, caps); err == nil {
				require.GreaterOrEqual(t, other.Cost, m.Cost-some*(1+m.Cost))
			}
		}
		twice, err := Blend(twofold(offers), need.Scale(2), Caps{caps.Scale(2), caps.Salt * 2})
		require.NoError(t, err)
		require.InDelta(t, 2*m.Cost, twice.Cost, some*(1+m.Cost))
	})
}

func twofold(offers []Offer) []Offer {
	out := append([]Offer(nil), offers...)
	for i := range out {
		out[i].Stock *= 2
		out[i].Buy *= 2
	}
	return out
}

func TestProgramWithoutBound(t *testing.T) {
	p := Program{Cost: []float64{-1, 1}, Rows: []ProgramRow{{"need", []float64{0, 1}, true, 1}}}
	_, err := p.Solve()
	require.ErrorIs(t, err, ErrUnbounded)
	p.Rows = append(p.Rows, ProgramRow{"nothing of it", []float64{0, 1}, false, 0})
	_, err = p.Solve()
	require.ErrorIs(t, err, ErrInfeasible)
	p.Rows[1] = ProgramRow{"at most 3 of the first", []float64{1, 0}, false, 3}
	x, err := p.Solve()
	require.NoError(t, err)
	require.InDeltaSlice(t, []float64{3, 1}, x, 1e-9)
	_, err = Program{Cost: []float64{1}, Rows: []ProgramRow{{"too short", nil, true, 1}}}.Solve()
	require.EqualError(t, err, `row "too short" has 0 coefficients for 1 columns`)
	_, err = Program{Cost: []float64{1}, Rows: []ProgramRow{{"below nothing", []float64{-1}, true, 1}}}.Solve()
	require.Error(t, err)
}

// BenchmarkBlend is one mix of five products with two caps.
func BenchmarkBlend(b *testing.B) {
	offers := []Offer{anyOf(balanced, 1), anyOf(calcium, 0.6), anyOf(feather, 2), anyOf(potash, 1.5), {Product: litter, Price: 0.5, Stock: 12, Buy: 60}}
	caps := NoCaps()
	caps.P2O5, caps.Salt = 1.4, 9
	for b.Loop() {
		if _, err := Blend(offers, Nutrients{3, 1, 2}, caps); err != nil {
			b.Fatal(err)
		}
	}
}
