package eval_test

import (
	"context"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"haulm/lang/eval"
	"haulm/lang/farm"
	"haulm/stdlib/quantity"
)

const traced = `load("crops", "tomato")
load("./beds.star", "bed")
here = site(latitude = 38.2, last_frost = "2027-04-24", first_frost = "2027-10-14")
farm("Ferry Bank", year = 2027, site = here, units = "us", access = None)
previous("2026")
bench = plot("Lower bench", length = 52 * ft, width = 40 * ft)
early = tomato.variety("Porch Red", days_to_maturity = (60, 68))
plant(bed(bench), early, fill = True, on = date(here.last_frost) + 2 * weeks)
history(bench, year = 2025, crops = ["kale", early])
`

// What a run notes of its calls: in order, with their values as they were understood.
func TestTrace(t *testing.T) {
	fsys := fstest.MapFS{
		"plans/farm.star":      {Data: []byte(traced)},
		"plans/beds.star":      {Data: []byte("def bed(p):\n    return rows(p, count = 2, first = 4 * ft, apart = 54 * inch)[1]\n")},
		"plans/2026/farm.star": {Data: []byte("farm(\"Ferry Bank\", year = 2026)\n")},
	}
	result, calls := eval.Trace(context.Background(), fsys, "plans/farm.star")
	require.Empty(t, result.Findings)
	var names []string
	by := map[string]*eval.Call{}
	for i := range calls {
		c := &calls[i]
		names = append(names, c.Of.Name)
		if !c.Earlier {
			by[c.Of.Name] = c
		}
	}
	require.Equal(t, []string{"site", "farm", "farm", "previous", "plot", "variety", "rows", "date", "plant", "history"}, names)
	require.True(t, calls[2].Earlier)
	require.Equal(t, "plans", by["previous"].Dir)
	require.Nil(t, by["farm"].Arg("access"), "None is not given")
	require.Equal(t, []any{any(result.Farm.Sites[0])}, by["farm"].Arg("site").Things)

	require.Len(t, by["rows"].Gave, 2)
	require.Equal(t, "54 * inch", by["rows"].Arg("apart").Written)
	require.Equal(t, quantity.Meters(54*0.0254), by["rows"].Arg("apart").Low)

	days := by["variety"].Arg("days_to_maturity")
	require.True(t, days.Pair)
	require.Equal(t, []float64{60, 68}, []float64{days.Low.SI, days.High.SI})
	require.Equal(t, "tomato", by["variety"].On.(*farm.Crop).Ident)

	on := by["plant"].Arg("on")
	require.Equal(t, "2027-05-08", on.Date.String())
	require.Equal(t, result.Farm.Sites[0], on.From.Site)
	require.False(t, on.From.First)
	require.Equal(t, by["rows"].Gave[1], by["plant"].Arg("row").Things[0])

	require.Equal(t, []any{"kale", any(result.Farm.Crops[0])}, by["history"].Arg("crops").Things)
}
