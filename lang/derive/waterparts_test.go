package derive

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

func TestPartsToBuy(t *testing.T) {
	p, _ := zoned(12, 11, regulated(10), func(z *farm.Zone) { z.Supply, z.Header = run(120, 1.25), run(50, 1) })
	p.Rows[0].Tapes = count(2)
	other := p.zone("roots", p.Sources[0], p.Tapes[0])
	p.row(p.Plots[0], 60, watered(other))
	p.zone("empty", p.Sources[0], p.Tapes[0])
	p.Sources[0].Backflow = farm.Text{Value: "double check valve", Given: true}
	uses := Derive(&p.Farm).Water.Uses()
	type line struct {
		where, name string
		amount      float64 // pieces, or ft
	}
	var got []line
	for _, u := range uses {
		require.NotEmpty(t, u.For)
		amount := u.Amount.SI
		if u.Amount.Dim == quantity.Length {
			amount = math.Round(amount/foot*100) / 100
		}
		got = append(got, line{u.Where.Title(), u.Ware.Name, amount})
	}
	require.Equal(t, []line{
		{"zone fruiting", "coupling from pipe to tape, with shutoff", 13},
		{"zone fruiting", "sleeve, cut from the tape", 13},
		{"zone fruiting", "valve", 1},
		{"zone fruiting", "polyethylene pipe, 1.25 in inside", 120},
		{"zone fruiting", "polyethylene pipe, 1 in inside", 50},
		{"zone fruiting", "pressure regulator, 10 psi", 1},
		{"zone fruiting", "air and vacuum vent", 1},
		{"zone roots", "coupling from pipe to tape, with shutoff", 1},
		{"zone roots", "sleeve, cut from the tape", 1},
		{"zone roots", "valve", 1},
		{"zone roots", "air and vacuum vent", 1},
		{"zone fruiting", "drip tape, 12 in between emitters, 0.34 gpm per 100 ft", 1305.42},
		{"zone roots", "drip tape, 12 in between emitters, 0.34 gpm per 100 ft", 100.42},
		{"", "filter, 150 mesh", 1},
		{"", "double check valve", 1},
	}, got)
	for _, line := range newShopping(uses, nil).Wares {
		if line.Ware.Kind == TapeWare {
			require.Equal(t, 2, line.Packs, "14 cuts of 100 ft 5 in, nine to a roll")
		}
	}

	p.Tapes[0].Flow = amount(0.22*gpm/(100*foot), quantity.LineFlow)
	p.Sources[0].Backflow.Value = "none"
	uses = Derive(&p.Farm).Water.Uses()
	require.Equal(t, "filter, 200 mesh", uses[13].Ware.Name, "0.13 gph is a fine emitter")
	require.Contains(t, uses[14].Ware.Name, "local code")
}
