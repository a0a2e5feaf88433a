package derive

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"haulm/lang/farm"
	"haulm/stdlib/crops"
	"haulm/stdlib/labor"
	"haulm/stdlib/nursery"
	"haulm/stdlib/quantity"
	"haulm/stdlib/season"
	"haulm/stdlib/support"
)

// TestPublishedSeason holds what the season's work is reckoned by against figures that others printed; the source
// stands in each row.
func TestPublishedSeason(t *testing.T) {
	f, err := os.Open("../../testdata/published/season.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 30)
	ids := map[string]bool{}
	for _, r := range rows[1:] {
		t.Run(r[0], func(t *testing.T) {
			require.False(t, ids[r[0]], "stands twice")
			ids[r[0]] = true
			require.NotEmpty(t, r[7], "a source")
			require.Contains(t, []string{"seen", "seen-inputs", "memory", "computed"}, r[6])
			in := readVector(t, r[2])
			if r[1] == "heat band" {
				require.Equal(t, r[3], labor.HeatOf(in.number("index")).String())
				return
			}
			require.InDelta(t, parsed(t, r[3]), in.published(r[1]), parsed(t, r[4])+1e-9)
		})
	}
}

// vector is what a row gives: name=value, some names more than once.
type vector struct {
	t      *testing.T
	values map[string][]string
}

func readVector(t *testing.T, text string) vector {
	g := vector{t, map[string][]string{}}
	for _, part := range strings.Split(text, ";") {
		name, value, ok := strings.Cut(part, "=")
		require.True(t, ok, part)
		g.values[name] = append(g.values[name], value)
	}
	return g
}

func (g vector) number(name string) float64 { return g.numbers(name)[0] }

func (g vector) numbers(name string) (all []float64) {
	require.NotEmpty(g.t, g.values[name], name)
	for _, v := range g.values[name] {
		all = append(all, parsed(g.t, v))
	}
	return all
}

func parsed(t *testing.T, text string) float64 {
	n, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return n
}

func (g vector) published(check string) float64 {
	const inch, pound = 0.0254, 0.45359237
	switch check {
	case "degree days":
		return g.degreeDays()
	case "seeds":
		return float64(nursery.Seeds(int(g.number("plants")), g.number("germination"), g.number("culls")))
	case "trays":
		return float64(nursery.Trays(int(g.number("cells")), int(g.number("per tray"))))
	case "trays for plants":
		cells := nursery.Cells(int(g.number("plants")), nursery.Stand(g.number("germination"), 1), 0)
		return float64(nursery.Trays(cells, int(g.number("per tray"))))
	case "hours per acre":
		acre, _ := quantity.UnitNamed("acre")
		hectare, _ := quantity.UnitNamed("ha")
		return g.number("hours per hectare") * acre.SI / hectare.SI
	case "posts":
		return float64(support.Posts(g.number("row"), g.number("spacing")))
	case "stakes":
		plants := int(math.Round(g.number("row") / g.number("plant spacing")))
		return float64(support.Stakes(plants, int(g.number("between"))))
	case "levels":
		return float64(support.Levels(g.number("top")*inch, g.number("first")*inch, g.number("interval")*inch))
	case "cage diameter":
		return support.CageDiameter(g.number("mesh"))
	case "heat index":
		return labor.HeatIndex(g.number("air"), g.number("humidity"))
	case "rail load":
		return g.railLoad()
	case "yield by plant", "yield by area":
		return g.harvest()
	case "lift":
		l := labor.Lift{Reach: g.number("reach") * inch, From: g.number("from") * inch, To: g.number("to") * inch,
			Twist: g.number("twist"), Often: 1, Grip: g.number("grip")}
		return l.Limit() / pound
	}
	require.Fail(g.t, "no such check", check)
	return 0
}

// degreeDays sums the days of a row, °F in and out.
func (g vector) degreeDays() float64 {
	celsius := func(f float64) float64 { return quantity.Fahrenheit(f).Celsius() }
	scale := season.DegreeDays{Base: celsius(g.number("base")), Upper: celsius(g.number("upper"))}
	for scale.Method.String() != g.values["method"][0] {
		require.Less(g.t, scale.Method, season.PenalizedDegrees, "no method of this name")
		scale.Method++
	}
	require.NoError(g.t, scale.Valid())
	highs, lows := g.numbers("high"), g.numbers("low")
	sum := 0.0
	for i := range highs {
		sum += scale.Of(celsius(lows[i]), celsius(highs[i])) * 1.8
	}
	return sum
}

// railLoad hangs vines from a rail between two posts, and gives what the heaviest of them weigh together, lb.
func (g vector) railLoad() float64 {
	const pound = 0.45359237
	usual, _ := support.Usual("drop line", "load")
	require.InDelta(g.t, g.number("laden")*pound, usual.High, 1e-9)
	f := newPlan(1)
	c := crop("tomato")
	c.Height = stated(2, 2)
	vines := int(g.number("vines"))
	r := f.row(f.plot("Top", 100, 10, 0), 5)
	f.plant(r, c, 0.5, counted(vines))
	d := &farm.Trellis{Row: r, Height: length(2), Posts: length(90)}
	d.Style, r.Trellis = farm.Text{Value: "drop line", Given: true}, d
	f.Trellises = append(f.Trellises, d)
	return derive(g.t, f).Support().Trellises[0].Load[1] / pound
}

// harvest gives what plants, or a bed, of a known yield give before losses, lb.
func (g vector) harvest() float64 {
	const pound, ft = 0.45359237, 0.3048
	f := newPlan(ft)
	c := crop("berry")
	c.Direct, c.MaturitySeed, c.HarvestDays, c.SaleUnit = true, stated(60, 60), stated(14, 14), "lb"
	yield := func(v float64, dim quantity.Dimension) crops.Range {
		return crops.Range{Low: v, High: v, Dim: dim, Grade: "A", Source: "of the row"}
	}
	width, plants := 30.0, 0
	if len(g.values["plants"]) > 0 {
		c.YieldPerPlant = yield(g.number("each")*pound, quantity.Mass)
		plants = int(g.number("plants"))
	} else { // a plant in each foot of a bed as wide as its plot
		c.YieldPerArea = yield(g.number("per area")*pound/(ft*ft), quantity.AreaMass)
		width, plants = g.number("width"), int(g.number("length"))
	}
	bed := f.row(f.plot("Top", 1e5, width, 0), width/2)
	f.plant(bed, c, 1, counted(plants), f.from(0.5)).On = on(5, 1)
	n := derive(g.t, f).Harvest().Plantings[0]
	require.Empty(g.t, n.Unknown)
	return n.Full
}
